"""Files of any logger: signs, columns, units, clocks, over both nights in which clocks change."""

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from models.errors import InputError
from service.weather import logger_clock, logger_file, logger_table
from service.weather.logger_file import Layout, Logged, LoggerFile

BERLIN = "Europe/Berlin"
CHICAGO = "America/Chicago"
TEN = timedelta(minutes=10)


def understood(
    text: str | bytes, zone: str = BERLIN, unit: str = "C"
) -> tuple[LoggerFile, Layout, set[str]]:
    content = text if isinstance(text, bytes) else text.encode()
    table = logger_table.read(content, "the file")
    layout, unsaid = logger_file.guessed(table, zone, unit, month_first=zone == CHICAGO)
    return logger_file.read(table, layout), layout, unsaid


def values(found: LoggerFile) -> list[tuple[str, float, float | None]]:
    return [(f"{one.at:%d %H:%M}", round(one.air_C, 2), one.rh_pct) for one in found.readings]


def test_decimal_commas_semicolons_and_local_time_are_read_right() -> None:
    """A logger sold in Germany: 18:00 there in October is 16:00 UTC."""
    text = (
        "Logger 3;Seriennummer 1234\n\n"
        "Nr.;Datum;Uhrzeit;Temperatur [°C];Luftfeuchte [%];Taupunkt [°C]\n"
        "1;14.10.2026;18:00:00;8,5;81,5;5,4\n"
        "2;14.10.2026;18:10:00;-0,25;82;-3\n"
    )
    found, layout, unsaid = understood(text)
    assert values(found) == [("14 16:00", 8.5, 81.5), ("14 16:10", -0.25, 82.0)]
    assert (layout.delimiter, layout.decimal, layout.unit, layout.zone) == (";", ",", "C", BERLIN)
    assert (layout.date_column, layout.time_column) == ("Datum", "Uhrzeit")
    assert unsaid == {"zone"}


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("Time,Temp (F)\n10/14/2026 6:00 PM,50\n", ("14 23:00", 10.0, None)),
        ("Time\tTemp °C\n2026-10-14 18:00\t8.5\n", ("14 23:00", 8.5, None)),
        ("Time|Temp C\n2026-10-14T18:00Z|8.5\n", ("14 18:00", 8.5, None)),
        ('"Time, local","Temp, C","RH, %"\n"10/14/26 18:00","8.5","81"\n', ("14 23:00", 8.5, 81.0)),
        ("Time,Temp\n10/14/2026 18:00,50 °F\n", ("14 23:00", 10.0, None)),
        ("10/14/2026 18:00;x;8,5\n", ("14 23:00", 8.5, None)),  # no headings at all
        ("when;Sensor 1\n10/14/2026 18:00;8,5\n", ("14 23:00", 8.5, None)),  # none that we know
        ("Temp 1 (C),Temp 2 (C),Date Time\n8.5,40,10/14/2026 18:00\n", ("14 23:00", 8.5, None)),
        ("Time,Temp,Temp\n10/14/2026 18:00,8.5,40\n", ("14 23:00", 8.5, None)),  # a name twice
    ],
)
def test_one_row_of_many_kinds_of_loggers(
    text: str, wanted: tuple[str, float, float | None]
) -> None:
    found, _, _ = understood(text, CHICAGO)
    assert values(found) == [wanted]


@pytest.mark.parametrize(
    "written",
    [
        "2026/10/14 18:00:00Z",
        "2026-10-14 18:00 UTC",
        "14/10/2026 18:00 UTC",
        "14/10/2026 18:00:30.5 gmt",
        "14/10/2026 06:00 PM +0000",
        "14/10/2026 13:00 -0500",
        "14/10/2026 01:00 p.m. -05:00",
        "14/10/2026 20:00 GMT+2",
        "14/10/2026 23:30 UTC+05:30",
        "14/10/2026 13:00 \u221205:00",
    ],
)
def test_an_offset_counts_however_the_date_before_it_is_written(written: str) -> None:
    found, _, unsaid = understood(f"Time;Temp C\n{written};8.5\n")
    assert values(found) == [("14 18:00", 8.5, None)]
    assert found.zoned
    assert "zone" not in unsaid


@pytest.mark.parametrize("after", ["CDT", "(EST)", "-19:00", "UTC+25", "+05:75", "18:10"])
def test_a_time_with_something_unknown_after_it_is_not_read_by_the_clock_of_the_place(
    after: str,
) -> None:
    with pytest.raises(InputError) as error:
        understood(f"Time;Temp C\n14/10/2026 18:00 {after};8.5\n")
    assert (error.value.field, error.value.value) == ("line 2, time", f"14/10/2026 18:00 {after}")


def test_decimal_commas_in_quotes_are_read_between_commas_too() -> None:
    text = 'Time,Temp C,RH\n14.10.2026 18:00,"8,5","81,5"\n14.10.2026 19:00,"-0,9",82\n'
    found, layout, _ = understood(text)
    assert values(found) == [("14 16:00", 8.5, 81.5), ("14 17:00", -0.9, 82.0)]
    assert (layout.delimiter, layout.decimal) == (",", ",")


def test_decimal_commas_that_part_the_columns_are_refused() -> None:
    """Minus 0.9 degrees was read as none, with a humidity of 9 per cent."""
    text = "Logger 3\nTime,Temp C,RH\n14.10.2026 18:00,-0,9,81,5\n14.10.2026 19:00,-1,2,80,0\n"
    with pytest.raises(InputError, match="more cells than headings") as error:
        understood(text)
    assert (error.value.field, error.value.value) == ("line 3, row", "14.10.2026 18:00,-0,9,81,5")
    beside = "Time,Temp C\n14.10.2026 18:00,8.5,,\n14.10.2026 19:00,8.5,battery low\n"
    beside += "14.10.2026 20:00,8.5\n"
    assert len(understood(beside)[0].readings) == 3


def test_of_every_three_hours_the_first_is_kept_and_the_low() -> None:
    """A dip to minus 6 at 5:30 may have frozen what the reading of 3:00 says was safe."""
    begins = datetime(2026, 10, 14, 3, tzinfo=UTC)
    airs = [2.0, 1.0, 0.0, -1.0, -4.0, -6.0, -2.0, 1.0, 3.0, 5.0]  # every half hour
    logged = [Logged(begins + k * timedelta(minutes=30), c, None) for k, c in enumerate(airs)]
    kept = [(f"{one.at:%H:%M}", one.air_C) for one in logger_file.thinned(logged[::-1])]
    assert kept == [("03:00", 2.0), ("05:30", -6.0), ("06:00", -2.0)]
    nights = [
        Logged(begins + k * timedelta(hours=1), -float(k % 3), None)
        for k in range(3 * (logger_file.MOST + 5))
    ]
    most = logger_file.thinned(nights)
    assert len(most) == 2 * logger_file.MOST
    assert most[-1] == nights[-1]
    assert most[0] == nights[15]


def test_utf_16_and_old_degree_signs_are_read() -> None:
    text = "Time;Temp (°F)\n14.10.2026 18:00;50,0\n"
    for content in (text.encode("utf-16"), text.encode("cp1252"), text.encode("utf-8-sig")):
        assert values(understood(content)[0]) == [("14 16:00", 10.0, None)]


def eleven(zone: str, night: str) -> datetime:
    return datetime.fromisoformat(f"{night}T23:00").replace(tzinfo=ZoneInfo(zone))


def over_night(zone: str, night: str, steps: int, every: timedelta) -> str:
    """A file as a clock writes it that is changed that night."""
    start = eleven(zone, night)
    walls = [(start.astimezone(UTC) + k * every).astimezone(ZoneInfo(zone)) for k in range(steps)]
    rows = [f"{one:%Y-%m-%d %H:%M};{k / 10:.1f}".replace(".", ",") for k, one in enumerate(walls)]
    return "Zeit;Temperatur °C\n" + "\n".join(rows) + "\n"


@pytest.mark.parametrize("every", [TEN, timedelta(minutes=30), timedelta(hours=1)])
@pytest.mark.parametrize(
    ("zone", "night"),
    [
        (BERLIN, "2026-10-24"),
        (BERLIN, "2026-03-28"),
        (CHICAGO, "2026-10-31"),
        (CHICAGO, "2026-03-07"),
    ],
)
def test_a_clock_that_is_changed_runs_on_through_both_nights(
    zone: str, night: str, every: timedelta
) -> None:
    text = over_night(zone, night, int(timedelta(hours=8) / every), every)
    found, layout, _ = understood(text, zone)
    assert layout.zone == zone
    gaps = {b.at - a.at for a, b in zip(found.readings, found.readings[1:], strict=False)}
    assert gaps == {every}
    head, *rows = text.strip().split("\n")
    backwards, _, _ = understood("\n".join([head, *reversed(rows)]), zone)
    assert list(reversed(backwards.readings)) == list(found.readings)


@pytest.mark.parametrize(
    ("zone", "night", "offset"),
    [
        (BERLIN, "2026-10-24", "UTC+02:00"),
        (BERLIN, "2026-03-28", "UTC+01:00"),
        (CHICAGO, "2026-10-31", "UTC-05:00"),
        (CHICAGO, "2026-03-07", "UTC-06:00"),
    ],
)
def test_a_clock_that_nobody_changed_is_seen_to_be_so(zone: str, night: str, offset: str) -> None:
    begins = eleven(zone, night)  # to the wall clock of which ten minutes are added, never an hour
    rows = "".join(f"{begins + k * TEN:%Y-%m-%d %H:%M};{k / 10}\n" for k in range(48))
    found, layout, _ = understood(f"Zeit;Temperatur °C\n{rows}", zone)
    assert layout.zone == offset
    ends = found.readings[0].at, found.readings[-1].at
    assert ends[1] - ends[0] == 47 * TEN
    assert ends[0] == begins.astimezone(UTC)


def test_of_the_doubled_hour_alone_the_later_counts() -> None:
    """Nothing is taken for older than it is; rows that go back in it show the first pass."""
    (only,) = understood("Zeit;Temp °C\n2026-10-25 02:30;8\n")[0].readings
    assert f"{only.at:%H:%M}" == "01:30"
    rows = "2026-10-25 02:50;8\n2026-10-25 02:05;8\n2026-10-25 02:20;8\n"
    found = understood(f"Zeit;Temp C\n{rows}")[0].readings
    assert [f"{one.at:%H:%M}" for one in found] == ["00:50", "01:05", "01:20"]


def test_a_time_that_no_clock_of_the_zone_showed_is_named() -> None:
    table = logger_table.read(b"Zeit;Temp C\n2026-03-29 01:00;8\n2026-03-29 02:30;8\n", "x")
    layout, _ = logger_file.guessed(table, BERLIN, "C", month_first=False)
    assert layout.zone == "UTC+01:00"
    assert BERLIN in logger_file.zones(table, layout, BERLIN)
    wrong = Layout(**{**vars(layout), "zone": BERLIN})
    (unread,) = logger_file.read(table, wrong).unread
    assert (unread.field, unread.value) == ("line 3, time", "2026-03-29 02:30")
    assert "clocks of Europe/Berlin" in unread.wrong


ROWS = "".join(f"2026-10-14 {h:02d}:00,{h}.5\n" for h in range(20))


@pytest.mark.parametrize(
    ("text", "field", "value"),
    [
        ("Time,Temp (C)\n2026-10-14 18:00,warm\n", "line 2, Temp (C)", "warm"),
        ("Time,Temp (C)\nyesterday,8.5\n", "line 2, time", "yesterday"),
        ("Time,Temp (C)\n2026-10-14,8.5\n", "line 2, time", "2026-10-14"),
        ("Time,Temp (C)\n2026-13-14 18:00,8.5\n", "line 2, time", "2026-13-14 18:00"),
        ("Time,Temp (C)\n\n2026-10-14 18:00,412\n", "line 3, Temp (C)", "412 C"),
        ("Time;Temp (C)\n14.10.2026 18:00;8,5 V\n", "line 2, Temp (C)", "8,5 V"),
        ("", "file", None),
        ("just\nsome,words\n", "line 1, row", "just"),
        ("\x00\x01\x02", "line 1, row", "\x00\x01\x02"),
        ('Time,Temp\n"2026-10-14 18:00,8\n', "row", "unexpected end of data"),
        ("Time,Temp (C)\n2026-10-14 18:00,\n", "file", "Temp (C)"),
    ],
)
def test_garbage_is_named_by_its_line_field_and_value(
    text: str, field: str, value: str | None
) -> None:
    with pytest.raises(InputError) as error:
        understood(text)
    assert (error.value.field, error.value.value) == (field, value)
    assert error.value.allowed


def test_a_few_rows_that_are_none_are_told_and_silence_is_counted() -> None:
    text = f"Time,Temp (C)\n{ROWS}2026-10-14 21:00,ERR\n2026-10-14 22:00,--\nEnd of file\n"
    found, _, _ = understood(text)
    assert (len(found.readings), found.silent) == (20, 1)
    assert [one.field for one in found.unread] == ["line 22, Temp (C)", "line 24, time"]
    broken = text.replace(".5\n", "..5\n")
    with pytest.raises(InputError, match=r"line 2, Temp \(C\) = '0..5'"):
        understood(broken)


def test_a_wrong_sign_or_column_is_refused_and_not_read_as_something_else() -> None:
    table = logger_table.read(b"Zeit;Temp C;Volt\n14.10.2026 18:00;8,5;3,1\n", "x")
    layout, _ = logger_file.guessed(table, BERLIN, "C", month_first=False)
    for name, value, field in (
        ("decimal", ".", "line 2, Temp C"),
        ("air_column", "Druck", "column"),
        ("decimal", ";", "decimal"),
        ("unit", "K", "unit"),
        ("zone", "UTC+25:00", "zone"),
        ("zone", "Mars/Olympus", "zone"),
    ):
        with pytest.raises(InputError) as error:
            logger_file.read(table, Layout(**{**vars(layout), name: value}))
        assert error.value.field == field
    other = Layout(**{**vars(layout), "air_column": "Volt"})
    assert logger_file.read(table, other).readings[0].air_C == 3.1


def test_a_clock_of_its_own_is_named_by_its_offset() -> None:
    assert logger_clock.zone_of("UTC-05:30").utcoffset(None) == -timedelta(hours=5, minutes=30)
