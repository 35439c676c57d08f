"""A typical year of an EPW file: read as pvlib reads it, laid over the dates, never a forecast.

The files are written here from the record of Newark 2013 in the shape of the EnergyPlus data
dictionary; pvlib's reader is the judge of that shape and of the values.
"""

import io
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path
from types import ModuleType

import numpy as np
import pytest
from pvlib.iotools import read_epw

from models.air.series import AirSeries
from models.errors import InputError
from models.units import Array
from service.weather import choose, epw

HOUR, DAY = timedelta(hours=1), timedelta(days=1)
FLAGS = "?9?9?9?9E0?9?9?9?9?9?9?9?9?9?9?9?9?9?9?9?9?9?9?9*9*9"
HEAD = (
    "LOCATION,Invented Yard,NJ,USA,SAMPLE,000001,40.69,-74.17,{tz},5.0",
    "DESIGN CONDITIONS,0",
    "TYPICAL/EXTREME PERIODS,0",
    "GROUND TEMPERATURES,0",
    "HOLIDAYS/DAYLIGHT SAVINGS,No,0,0,0",
    "COMMENTS 1,invented",
    "COMMENTS 2,",
    "DATA PERIODS,1,1,Data,Sunday, 1/ 1,12/31",
)


def row(
    at: datetime,
    air: float,
    dew: float,
    rh: float,
    wind: float,
    rain: float,
    sky: int = 3,
    ghi: float = 120.0,
    year: int = 2001,
    minute: int = 0,
    rain_h: str = "1.0",
) -> str:
    """The row of the hour that begins `at` by the file's own clock."""
    return (
        f"{year},{at.month},{at.day},{at.hour + 1},{minute},{FLAGS},{air:.1f},{dew:.1f},{rh:.0f},"
        f"101300,0,0,330,{ghi:g},0,0,0,0,0,0,210,{wind:.2f},{sky},{sky},16.0,77777,9,999999999,"
        f"170,0.1200,0,88,0.180,{rain:.2f},{rain_h}"
    )


@pytest.fixture(scope="session")
def newark(record_2013: ModuleType) -> AirSeries:
    """Hours of 2013 at Newark by its standard time, five hours behind UTC."""
    begin = datetime(2013, 1, 1, 5, tzinfo=UTC)
    air: AirSeries = record_2013.series_2013("EWR", begin, begin + 365 * DAY)
    return air


@pytest.fixture(scope="session")
def rows(newark: AirSeries) -> list[str]:
    """Row k: temperatures at the end of hour k, sun and rain of the hour itself."""
    clock = datetime(2013, 1, 1)  # noqa: DTZ001
    told = []
    for k in range(8760):

        def at(column: Array, missing: float, k: int = k) -> float:
            value = column[min(k + 1, len(column) - 1)]
            return float(value) if np.isfinite(value) else missing

        rain = newark.rain_mm[k]
        told.append(
            row(
                clock + k * HOUR,
                at(newark.air_C, 99.9),
                at(newark.dew_point_C, 99.9),
                999,
                at(newark.wind_m_s, 999.0),
                float(rain) if np.isfinite(rain) else 999.0,
                ghi=k % 900,
                sky=k % 11,
                year=2000 + k // 730 % 10,
            )
        )
    return told


@pytest.fixture
def written(tmp_path: Path, rows: list[str]) -> Callable[..., Path]:
    def write(
        body: list[str] | None = None,
        *,
        tz: str = "-5.0",
        end: str = "\n",
        code: str = "utf-8",
        head: tuple[str, ...] = HEAD,
    ) -> Path:
        path = tmp_path / "yard.epw"
        lines = [*(line.format(tz=tz) for line in head), *(rows if body is None else body)]
        path.write_bytes((end.join(lines) + end).encode(code))
        return path

    return write


def whole_year(path: Path, year: int = 2026) -> AirSeries:
    begin = datetime(year, 1, 1, 5, tzinfo=UTC)
    return epw.read(path, begin, begin + 359 * DAY)


def test_every_column_is_as_pvlib_reads_it(written: Callable[..., Path]) -> None:
    """pvlib labels the row of hour 1 with 00:00 and leaves the codes for missing in place."""
    path = written()
    theirs, meta = read_epw(io.StringIO(path.read_text()), coerce_year=2026)
    ours = whole_year(path)
    n = ours.hours
    assert meta["TZ"] == -5.0
    assert theirs.index[0].tz_convert("UTC").to_pydatetime() == ours.start

    def known(column: str, missing: float) -> "np.ndarray[tuple[int], np.dtype[np.float64]]":
        values = theirs[column].to_numpy(dtype=float)
        return np.where(values >= missing, np.nan, values)

    # what is at the end of their row k is ours at hour k + 1
    for mine, column, missing, factor in (
        ("air_C", "temp_air", 99.9, 1.0),
        ("wind_m_s", "wind_speed", 999.0, 1.0),
        ("cloud_fraction", "total_sky_cover", 99.0, 0.1),
    ):
        np.testing.assert_allclose(
            getattr(ours, mine)[1:], factor * known(column, missing)[: n - 1], atol=1e-9
        )
    dew, air = known("temp_dew", 99.9)[: n - 1], known("temp_air", 99.9)[: n - 1]
    np.testing.assert_allclose(ours.dew_point_C[1:], np.minimum(dew, air), atol=1e-9)
    # what is of the hour of their row k is ours at hour k
    np.testing.assert_allclose(ours.shortwave_W_m2, known("ghi", 9999.0)[:n], atol=1e-9)
    np.testing.assert_allclose(
        ours.rain_mm, known("liquid_precipitation_depth", 999.0)[:n], atol=1e-9
    )


def test_the_year_of_2013_comes_back_on_its_own_instants(
    written: Callable[..., Path], newark: AirSeries
) -> None:
    ours = whole_year(written(), 2013)
    np.testing.assert_allclose(ours.air_C[1:], newark.air_C[1 : ours.hours], atol=0.051)
    np.testing.assert_allclose(ours.rain_mm, newark.rain_mm[: ours.hours], atol=0.0051)


def test_it_says_what_it_is_and_no_age_makes_it_fresh(written: Callable[..., Path]) -> None:
    air = whole_year(written())
    assert air.source == "typical year of Invented Yard, no forecast (file yard.epw)"
    assert air.typical
    assert air.between(air.start, air.start + DAY).typical
    assert air.bridged()[0].typical
    assert choose.grade(air.issued_at, air.start) == "none"


def test_new_year_is_passed_as_if_the_year_began_again(
    written: Callable[..., Path], newark: AirSeries
) -> None:
    """Case 53."""
    begin = datetime(2026, 12, 31, 5, tzinfo=UTC)
    air = epw.read(written(), begin, begin + 2 * DAY)
    np.testing.assert_allclose(air.air_C[25:], newark.air_C[1:25], atol=0.051)
    np.testing.assert_allclose(air.air_C[1:24], newark.air_C[364 * 24 + 1 : 365 * 24], atol=0.051)
    np.testing.assert_allclose(air.rain_mm[24:48], newark.rain_mm[:24], atol=0.0051)


@pytest.mark.parametrize("own", [True, False])
def test_a_leap_day_has_its_own_rows_or_those_of_the_day_before(
    written: Callable[..., Path], rows: list[str], own: bool
) -> None:
    """Cases 51 and 57: 8784 rows, and 8760 asked in a leap year."""
    leap = [row(datetime(2000, 2, 29, h), -7.0, -9.0, 80, 1.0, 0.0) for h in range(24)]  # noqa: DTZ001
    path = written(rows[: 59 * 24] + (leap if own else []) + rows[59 * 24 :])
    begin = datetime(2028, 2, 28, 5, tzinfo=UTC)
    air = epw.read(path, begin, begin + 3 * DAY)
    there = air.air_C[25:48]
    np.testing.assert_array_equal(there, -7.0 if own else air.air_C[1:24])
    usual = epw.read(path, datetime(2027, 2, 28, 5, tzinfo=UTC), datetime(2027, 3, 2, tzinfo=UTC))
    np.testing.assert_array_equal(usual.air_C[25:40], air.air_C[49:64])
    assert -7.0 not in usual.air_C[1:24]


def test_half_hour_zones_lie_between_the_rows(written: Callable[..., Path]) -> None:
    """Case 52: at 00:00 UTC it is 05:30 in the file."""
    at = datetime(2026, 6, 1, tzinfo=UTC)
    india = epw.read(written(tz="5.5"), at, at + DAY)
    utc = epw.read(written(tz="0"), at, at + 2 * DAY)
    np.testing.assert_allclose(india.air_C[:20], (utc.air_C[5:25] + utc.air_C[6:26]) / 2)
    np.testing.assert_allclose(
        india.shortwave_W_m2[:20], (utc.shortwave_W_m2[5:25] + utc.shortwave_W_m2[6:26]) / 2
    )


@pytest.mark.parametrize(
    ("end", "code", "mark"),
    [
        ("\r\n", "utf-8", ""),
        ("\n", "utf-8-sig", ""),
        ("\r\n", "latin-1", "Señal"),
        ("\n", "utf-8", "Señal"),
    ],
    ids=["CRLF", "BOM", "Latin-1", "UTF-8"],
)
def test_files_as_they_are_found(
    written: Callable[..., Path], end: str, code: str, mark: str
) -> None:
    """Case 50."""
    head = (HEAD[0].replace("Invented Yard", mark or "Yard"), *HEAD[1:])
    path = written(end=end, code=code, head=head)
    assert (mark or "Yard") in whole_year(path).source
    np.testing.assert_array_equal(whole_year(path).air_C, whole_year(written()).air_C)


def test_codes_for_missing_are_missing(written: Callable[..., Path], rows: list[str]) -> None:
    """Case 51; a humidity helps out where the dew point is missing; minute 60 is minute 0."""
    bare = row(datetime(2001, 1, 1, 9), 99.9, 99.9, 999, 999.0, 999.0, 99, 9999, minute=60)  # noqa: DTZ001
    damp = row(datetime(2001, 1, 1, 10), 10.0, 99.9, 100, 1.0, 2.0, rain_h="6.0")  # noqa: DTZ001
    air = whole_year(written([*rows[:9], bare, damp, *rows[11:]]))
    for column in (air.air_C, air.dew_point_C, air.wind_m_s, air.cloud_fraction):
        assert np.isnan(column[10])
    assert np.isnan(air.shortwave_W_m2[9])
    assert np.isnan(air.rain_mm[9])
    assert air.dew_point_C[11] == pytest.approx(10.0, abs=0.01)
    assert np.isnan(air.rain_mm[10]), "of six hours together"


def changed(rows: list[str], k: int, field: int, text: str) -> list[str]:
    cells = rows[k].split(",")
    cells[field] = text
    return [*rows[:k], ",".join(cells), *rows[k + 1 :]]


@pytest.mark.parametrize(
    ("field", "text", "said"),
    [
        (3, "0", "yard.epw:9: hour = '0': outside"),
        (3, "25", "hour = '25'"),
        (1, "13", "month = '13'"),
        (2, "32", "day = '32'"),
        (6, "warm", "air_C = 'warm': not a number"),
        (6, "-61", "air_C = '-61': outside the allowed range; give -60 to 60"),
        (6, "nan", "air_C = 'nan'"),
        (21, "-1", "wind_m_s"),
        (33, "inf", "rain_mm"),
        (3, "2", "yard.epw:10: hour = '1/1/2': also in line 9"),
    ],
)
def test_a_row_that_cannot_be_is_named_by_its_line(
    written: Callable[..., Path], rows: list[str], field: int, text: str, said: str
) -> None:
    with pytest.raises(InputError, match=said):
        whole_year(written(changed(rows, 0, field, text)))


@pytest.mark.parametrize(
    ("spoil", "said"),
    [
        (lambda h: h[1:], "line 1 of the header must begin with LOCATION"),
        (lambda h: h[:6] + h[7:], "line 7 of the header must begin with COMMENTS 2"),
        (lambda h: (h[0].replace("{tz}", "east"), *h[1:]), "time zone = 'east'"),
        (lambda h: (h[0].replace("{tz}", "nan"), *h[1:]), "time zone = 'nan'"),
        (lambda h: (h[0].replace("{tz}", "0.1"), *h[1:]), "time zone = 0.1"),
        (lambda h: (*h[:7], "DATA PERIODS,1,4,Data,Sunday, 1/ 1,12/31"), "records per hour = '4'"),
        (lambda h: (*h[:7], "DATA PERIODS"), "records per hour = ''"),
    ],
)
def test_a_header_that_is_none_is_refused(
    written: Callable[..., Path], spoil: Callable[[tuple[str, ...]], tuple[str, ...]], said: str
) -> None:
    """Case 51: with seven lines the first row would be lost in silence."""
    with pytest.raises(InputError, match=said):
        whole_year(written(head=spoil(HEAD)))


def test_half_a_year_and_short_rows_are_refused(
    written: Callable[..., Path], rows: list[str]
) -> None:
    with pytest.raises(InputError, match="rows = 8759: not a whole year"):
        whole_year(written(rows[:-1]))
    with pytest.raises(InputError, match=r"yard.epw:9: row = '34 fields': too short"):
        whole_year(written([rows[0].rpartition(",")[0], *rows[1:]]))
    with pytest.raises(InputError, match="header"):
        whole_year(written([], head=()))


def test_a_file_that_is_not_there_or_too_long(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="cannot be read"):
        whole_year(tmp_path / "none.epw")
    (tmp_path / "long.epw").write_bytes(b"x" * 10_000_001)
    with pytest.raises(InputError, match="too large"):
        whole_year(tmp_path / "long.epw")


@pytest.mark.parametrize("days", [-1, 361, 100_000])
def test_dates_that_a_year_does_not_hold(written: Callable[..., Path], days: int) -> None:
    begin = datetime(2026, 1, 1, tzinfo=UTC)
    with pytest.raises(InputError, match="up to 360 days"):
        epw.read(written(), begin, begin + days * DAY)
