"""Weather from a maker's CSV: what is read, and what is refused with line, column and remedy."""

from datetime import UTC, datetime, timedelta
from pathlib import Path
from types import ModuleType

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from models.air.series import AirSeries
from models.errors import InputError
from service.weather import csv_file

DATA = Path(__file__).parents[1] / "data"
HEADER = "time,air_C,dew_point_C,wind_m_s,rain_mm,cloud_pct"
PLAIN = f"""{HEADER}
2026-10-14T18:00-05:00,12.1,7.5,1.5,0.0,10
2026-10-14T19:00-05:00,10.4,7.2,1.0,0.2,20
2026-10-14T20:00-05:00,9.0,,0.0,,
"""


def table(*rows: str, header: str = HEADER) -> str:
    return "\n".join([header, *rows]) + "\n"


def refused(text: str) -> str:
    with pytest.raises(InputError) as caught:
        csv_file.read(text, "yard.csv")
    return str(caught.value)


def test_a_plain_file_is_read_in_utc() -> None:
    air = csv_file.read(PLAIN, "yard.csv")
    assert air.start == datetime(2026, 10, 14, 23, tzinfo=UTC)
    assert air.air_C.tolist() == [12.1, 10.4, 9.0]
    assert air.cloud_fraction[:2].tolist() == [0.1, 0.2]
    assert air.rain_mm[:2].tolist() == [0.0, 0.2]
    assert air.source == "file yard.csv"


def test_an_empty_cell_is_missing_and_never_nought() -> None:
    air = csv_file.read(PLAIN, "yard.csv")
    assert np.isnan(air.dew_point_C[2])
    assert np.isnan(air.rain_mm[2])
    assert np.isnan(air.cloud_fraction[2])
    assert np.isnan(air.shortwave_W_m2).all()
    assert air.wind_m_s[2] == 0.0


def test_rows_count_as_observed_up_to_the_last_unless_told_otherwise() -> None:
    assert csv_file.read(PLAIN).issued_at == datetime(2026, 10, 15, 1, tzinfo=UTC)
    told = datetime(2026, 10, 14, 23, 30, tzinfo=UTC)
    assert csv_file.read(PLAIN, issued_at=told).issued_at == told


def test_humidity_stands_in_for_the_dew_point() -> None:
    """Magnus over water by hand: 20 C and 50 % make 9.3 C."""
    text = table(
        "2026-10-14T18:00Z,20.0,50,1,0,300",
        header="time,air_C,rh_pct,wind_m_s,rain_mm,shortwave_W_m2",
    )
    air = csv_file.read(text)
    assert air.dew_point_C[0] == pytest.approx(9.26, abs=0.05)
    assert air.shortwave_W_m2[0] == 300.0


def test_where_both_stand_the_dew_point_counts_and_humidity_fills_its_gaps() -> None:
    header = "time,air_C,dew_point_C,rh_pct,wind_m_s,rain_mm,cloud_pct"
    air = csv_file.read(
        table("2026-10-14T18:00Z,20,5,50,1,0,0", "2026-10-14T19:00Z,20,,50,1,0,0", header=header)
    )
    assert air.dew_point_C == pytest.approx([5.0, 9.26], abs=0.05)


@pytest.mark.parametrize(
    "text",
    [
        "\ufeff" + PLAIN,
        PLAIN.replace("\n", "\r\n"),
        PLAIN.replace("\n", "\n\n"),
        PLAIN.replace(",", ", "),
        PLAIN.replace(",", ";").replace(".", ","),
        PLAIN.replace(",", ";"),
        '"' + PLAIN.replace(",", '","').replace("\n", '"\n"')[:-1],
        PLAIN.splitlines()[0] + "\n" + "\n".join(reversed(PLAIN.splitlines()[1:])),
        PLAIN + PLAIN.splitlines()[1] + "\n",
    ],
    ids=[
        "BOM",
        "CRLF",
        "blank lines",
        "spaces",
        "semicolons and decimal commas",
        "semicolons",
        "quotes",
        "unordered",
        "a row twice",
    ],
)
def test_the_same_weather_however_the_file_is_written(text: str, tmp_path: Path) -> None:
    file = tmp_path / "yard.csv"
    file.write_bytes(text.encode())
    wanted = csv_file.read(PLAIN)
    for air in (csv_file.read(text), csv_file.read(file)):
        assert air.start == wanted.start
        for name in ("air_C", "dew_point_C", "wind_m_s", "rain_mm", "cloud_fraction"):
            np.testing.assert_array_equal(getattr(air, name), getattr(wanted, name))


def test_an_hour_without_a_row_is_missing() -> None:
    text = "".join(line for k, line in enumerate(PLAIN.splitlines(True)) if k != 2)
    air = csv_file.read(text)
    assert air.hours == 3
    assert np.isnan(air.air_C[1])


def test_half_hour_offsets_are_read_when_they_meet_a_whole_hour_of_utc() -> None:
    air = csv_file.read(table("2026-10-14T18:30+05:30,12,7,1,0,10"))
    assert air.start == datetime(2026, 10, 14, 13, tzinfo=UTC)


@pytest.mark.parametrize(
    "stamp", ["2026-10-14T18:00+05:30", "2026-10-14T18:30Z", "2026-10-14T18:00:07Z"]
)
def test_times_beside_the_whole_hour_are_refused_not_moved(stamp: str) -> None:
    said = refused(table(f"{stamp},12,7,1,0,10"))
    assert said.startswith(f"yard.csv:2: time = '{stamp}': not a whole hour of UTC")
    assert "give one row an hour" in said


@pytest.mark.parametrize(
    ("cell", "column", "allowed"),
    [
        ("NaN", "air_C", "-60 to 60 degC"),
        ("inf", "air_C", "-60 to 60 degC"),
        ("n/a", "air_C", "-60 to 60 degC"),
        ("1_0", "air_C", "-60 to 60 degC"),
        ("١٢", "air_C", "-60 to 60 degC"),
        ("0x10", "air_C", "-60 to 60 degC"),
        ("12 C", "air_C", "-60 to 60 degC"),
        ("285", "air_C", "-60 to 60 degC"),
        ("-3", "wind_m_s", "0 to 75 m/s"),
        ("468.6", "wind_m_s", "0 to 75 m/s"),
        ("-0.1", "rain_mm", "0 to 300 mm"),
        ("101", "cloud_pct", "0 to 100 %"),
        ("1e3", "cloud_pct", "0 to 100 %"),
    ],
)
def test_a_value_that_cannot_be_is_named_with_line_column_and_range(
    cell: str, column: str, allowed: str
) -> None:
    good = dict(
        zip(HEADER.split(","), ["2026-10-14T19:00-05:00", "12", "7", "1", "0", "10"], strict=True)
    )
    said = refused(table(PLAIN.splitlines()[1], ",".join((good | {column: cell}).values())))
    assert said.startswith(f"yard.csv:3: {column} = '{cell}': ")
    assert f"give {allowed}, or nothing when it is missing." in said


def test_a_dew_point_above_the_air_is_refused() -> None:
    said = refused(table("2026-10-14T18:00Z,12,15,1,0,10"))
    assert said.startswith("yard.csv:2: dew_point_C = 15.0: ")
    assert "at most 12 degC" in said


@pytest.mark.parametrize("stamp", ["2026-10-14T18:00", "2026-10-14", "2026-10-14 18:00"])
def test_a_time_without_offset_is_refused(stamp: str) -> None:
    said = refused(table(f"{stamp},12,7,1,0,10"))
    assert said.startswith(f"yard.csv:2: time = '{stamp}': has no offset from UTC; give ISO 8601")


@pytest.mark.parametrize("stamp", ["", "14/10/2026 18:00", "6 pm", "0001-01-01T00:00+14:00"])
def test_a_time_that_is_none_is_refused(stamp: str) -> None:
    assert f"yard.csv:2: time = '{stamp}': not a time" in refused(table(f"{stamp},12,7,1,0,10"))


@pytest.mark.parametrize(
    ("gone", "named"),
    [
        ("time", "no column time"),
        ("air_C", "no column air_C"),
        ("dew_point_C", "no column dew_point_C or rh_pct"),
        ("wind_m_s", "no column wind_m_s"),
        ("rain_mm", "no column rain_mm"),
        ("cloud_pct", "no column cloud_pct or shortwave_W_m2"),
    ],
)
def test_a_missing_column_is_named(gone: str, named: str) -> None:
    kept = [name for name in HEADER.split(",") if name != gone]
    said = refused(",".join(kept) + "\n" + ",".join("1" for _ in kept) + "\n")
    assert named in said
    assert csv_file.HEADER in said


@pytest.mark.parametrize("wrong", ["air_F", "AIR_C", "temp", "", "time"])
def test_a_wrong_column_is_named_with_the_right_ones(wrong: str) -> None:
    said = refused(table("x", header=HEADER + "," + wrong))
    assert said.startswith(f"yard.csv:1: column 7 = '{wrong}': ")
    assert "one of time | air_C" in said or "each column once" in said


def test_decimal_commas_between_commas_are_refused() -> None:
    said = refused(table("2026-10-14T18:00Z,12,1,7,5,1,0,10"))
    assert "yard.csv:2: row" in said
    assert "8 cells where the header has 6" in said
    quoted = refused(table('2026-10-14T18:00Z,"12,1",7,1,0,10'))
    assert quoted.startswith("yard.csv:2: air_C = '12,1': not a number")


@pytest.mark.parametrize("text", ["", "\n\n", "\ufeff", "   "])
def test_an_empty_file_is_refused(text: str) -> None:
    assert "empty" in refused(text)


def test_a_header_without_rows_is_refused() -> None:
    assert "a header and no rows" in refused(HEADER + "\n")


def test_the_same_hour_twice_with_other_values_is_refused() -> None:
    said = refused(table(PLAIN.splitlines()[1], "2026-10-14T18:00-05:00,12.9,7.5,1.5,0.0,10"))
    assert said.startswith("yard.csv:3: air_C = 12.9: the same hour stands in line 2 with 12.1")


def test_an_hour_twice_once_with_a_gap_is_refused() -> None:
    said = refused(table("2026-10-14T18:00Z,12,7,1,0,10", "2026-10-14T18:00Z,12,,1,0,10"))
    assert "dew_point_C = None: the same hour stands in line 2 with 7" in said


def test_mixed_offsets_are_refused_with_line_and_value() -> None:
    said = refused(
        table(
            "2026-10-14T18:00-05:00,12,7,1,0,10",
            "2026-10-14T19:00-05:00,11,7,1,0,10",
            "2026-10-14T21:00-04:00,10,7,1,0,10",
        )
    )
    assert said.startswith("yard.csv:4: time = '2026-10-14T21:00-04:00': another offset than ")
    assert "line 2" in said
    assert "give one offset in the whole file" in said


def test_offsets_that_change_to_and_fro_are_refused() -> None:
    rows = [f"2026-11-01T{h:02d}:00-0{5 + h % 2}:00,12,7,1,0,10" for h in range(0, 6)]
    assert "another offset" in refused(table(*rows))


@pytest.mark.parametrize(
    ("file", "first", "hours", "missing"),
    [
        ("ewr-2013-03-10.csv", datetime(2013, 3, 10, 5, tzinfo=UTC), 12, 0),
        ("ewr-2013-11-03.csv", datetime(2013, 11, 3, 5, tzinfo=UTC), 13, 0),
    ],
)
def test_the_day_the_clocks_change_is_one_record(
    file: str, first: datetime, hours: int, missing: int
) -> None:
    """Case 55: real hours of Newark; no 02:00 in March, 01:00 twice in November."""
    air = csv_file.read(DATA / file)
    assert air.start == first
    assert air.hours == hours
    assert int(np.isnan(air.air_C).sum()) == missing


def test_a_clock_change_on_the_wrong_day_is_refused() -> None:
    text = (DATA / "ewr-2013-11-03.csv").read_text().replace("2013-11-03", "2013-11-05")
    assert "no time zone changes its clocks so" in refused(text)


def test_a_whole_summer_and_winter_of_one_zone_are_one_record() -> None:
    rows = ["2026-01-15T12:00+11:00,25,7,1,0,10", "2026-07-15T12:00+10:00,12,7,1,0,10"]
    assert csv_file.read(table(*rows)).hours == 181 * 24 + 2


def test_a_year_that_is_a_slip_of_the_pen_is_refused() -> None:
    said = refused(table("2026-10-14T18:00Z,12,7,1,0,10", "2062-10-14T19:00Z,12,7,1,0,10"))
    assert "yard.csv:3: time = '2062-10-14T19:00Z'" in said
    assert "at most 800 days" in said


def test_more_than_ten_megabytes_are_refused(tmp_path: Path) -> None:
    text = PLAIN + " " * 10_000_000
    assert "10 MB" in refused(text)
    big = tmp_path / "big.csv"
    big.write_text(text)
    with pytest.raises(InputError, match="10 MB"):
        csv_file.read(big)


def test_a_file_that_cannot_be_read_is_named(tmp_path: Path) -> None:
    for path in (tmp_path / "none.csv", tmp_path):
        with pytest.raises(InputError, match="cannot be read") as caught:
            csv_file.read(path)
        assert str(path) in str(caught.value)


def test_bytes_that_are_no_text_are_refused(tmp_path: Path) -> None:
    file = tmp_path / "yard.csv"
    file.write_bytes(PLAIN.encode("utf-16"))
    with pytest.raises(InputError, match="not UTF-8"):
        csv_file.read(file)


@pytest.mark.parametrize("text", ['time,"air', HEADER + '\n"a"b,1,2,3,4,5\n', HEADER + "\n\x00\n"])
def test_a_broken_table_is_refused(text: str) -> None:
    assert "yard.csv:" in refused(text)


@given(text=st.text(max_size=60), stamp=st.text(max_size=20), cell=st.text(max_size=8))
def test_whatever_stands_in_a_file_it_is_read_or_refused_with_words(
    text: str, stamp: str, cell: str
) -> None:
    for tried in (text, HEADER + "\n" + text, table(f"{stamp},{cell},7,1,0,10")):
        said = ""
        try:
            csv_file.read(tried, "yard.csv")
        except InputError as error:
            said = str(error)
        assert not said or (said.startswith("yard.csv") and "; give " in said)


columns = st.lists(
    st.tuples(
        st.none() | st.floats(-40, 40),
        st.none() | st.floats(0, 20),
        st.none() | st.floats(0, 70),
        st.none() | st.floats(0, 200),
        st.none() | st.floats(0, 1),
        st.none() | st.floats(0, 1400),
        st.none() | st.floats(0, 1),
    ),
    min_size=1,
    max_size=40,
)


@given(rows=columns)
def test_what_is_written_is_read_again(rows: list[tuple[float | None, ...]]) -> None:
    air, spread, wind, rain, cloud, sun, chance = np.array(rows, dtype=np.float64).T
    start = datetime(2026, 3, 28, 20, tzinfo=UTC)
    series = AirSeries(
        start=start,
        air_C=air,
        dew_point_C=air - spread,
        wind_m_s=wind,
        rain_mm=rain,
        cloud_fraction=cloud,
        shortwave_W_m2=sun,
        issued_at=start + timedelta(hours=3),
        source="made up",
        rain_chance=chance,
    )
    again = csv_file.read(csv_file.write(series), issued_at=series.issued_at)
    assert again.start == series.start
    assert again.issued_at == series.issued_at
    for name in (
        "air_C",
        "dew_point_C",
        "wind_m_s",
        "rain_mm",
        "cloud_fraction",
        "shortwave_W_m2",
        "rain_chance",
    ):
        np.testing.assert_allclose(
            getattr(again, name), getattr(series, name), rtol=1e-9, atol=1e-9, err_msg=name
        )


def test_a_week_of_newark_goes_through_a_file(record_2013: ModuleType, tmp_path: Path) -> None:
    begin = datetime(2013, 10, 25, tzinfo=UTC)
    series = record_2013.series_2013("EWR", begin, begin + timedelta(days=7))
    file = tmp_path / "newark.csv"
    file.write_text(csv_file.write(series))
    again = csv_file.read(file)
    assert np.isnan(again.air_C).sum() == 6, "the record has no rows for six hours of that week"
    np.testing.assert_allclose(again.air_C, series.air_C, rtol=1e-9)
