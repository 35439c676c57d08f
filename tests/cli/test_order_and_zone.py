"""A scenario file that tells things in no order of the trade, or a place in a strange zone."""

from collections.abc import Callable
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from models.errors import InputError, Unknown
from service import scenario_file
from service.cli import scenario_air
from tests.support.command import castclock

TEXT = """
[place]
kind = "covered"
latitude = 44.0
longitude = -92.0
timezone = "America/Chicago"
[mix]
class = "general-purpose"
[piece]
shape = "panel"
length_mm = 1500
width_mm = 600
thickness_mm = 50
[pour]
at = 2026-10-14T19:00:00-05:00
"""
DONE = '[[done]]\nstep = "{}"\nat = 2026-10-{}:00-05:00\n'
READ = '[[reading]]\nkind = "{}"\nat = 2026-{}:00-05:00\nvalue = 9\n'
Read = Callable[[str], scenario_file.ScenarioFile]


@pytest.fixture
def read(tmp_path: Path) -> Read:
    def at(text: str) -> scenario_file.ScenarioFile:
        file = tmp_path / "pour.toml"
        file.write_text(text, encoding="utf-8")
        return scenario_file.read(file)

    return at


@pytest.mark.parametrize(
    ("more", "field", "wrong"),
    [
        (DONE.format("strip", "14T18:00"), "done[0].at", "before the pour"),
        (
            DONE.format("strip", "17T18:00") + DONE.format("turn", "17T17:00"),
            "done[1].at",
            "turn before strip",
        ),
        (
            DONE.format("hone", "20T18:00") + DONE.format("sand", "21T17:00"),
            "done[0].at",
            "hone before sand",
        ),
        (
            DONE.format("coat-2", "20T18:00") + DONE.format("coat-1", "21T17:00"),
            "done[0].at",
            "coat-2 before coat-1",
        ),
        (READ.format("air", "09-14T18:00"), "reading[0].at", "before the pour"),
        (READ.format("concrete", "10-14T18:00"), "reading[0].at", "before the pour"),
    ],
)
def test_what_no_maker_can_have_done_is_refused_by_its_key(
    tmp_path: Path,
    more: str,
    field: str,
    wrong: str,
) -> None:
    file = tmp_path / "pour.toml"
    file.write_text(TEXT + more, encoding="utf-8")
    code, out, err = castclock("timeline", file, "--now", "2026-10-25T19:00-05:00")
    assert (code, out) == (2, "")
    assert err.startswith(f"pour.toml: {field} = ")
    assert wrong in err


def test_the_order_of_the_trade_and_the_air_of_the_day_before_are_taken(read: Read) -> None:
    steps = (
        ("cover", "14T23:00"),
        ("strip", "16T08:00"),
        ("turn", "16T08:00"),
        ("sand", "18T08:00"),
        ("hone", "19T08:00"),
        ("coat-1", "22T08:00"),
        ("coat-2", "22T12:00"),
    )
    told = read(
        TEXT + "".join(DONE.format(*one) for one in steps) + READ.format("air", "10-14T07:00")
    )
    told.scenario.checked_order()
    assert len(told.scenario.done) == len(steps)


def test_a_step_of_the_future_is_named_as_the_file_names_it(read: Read) -> None:
    told = read(TEXT + DONE.format("strip", "20T08:00")).scenario
    with pytest.raises(InputError) as refused:
        told.checked_against(datetime.fromisoformat("2026-10-15T08:00-05:00"))
    assert refused.value.field == "done[0].at"


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ('"America/Chicago"', '"Asia/Tokyo"'),
        ('"America/Chicago"', '"UTC"'),
        ("longitude = -92.0", "longitude = 92.0"),
    ],
)
def test_a_zone_on_the_other_side_of_the_world_is_refused_with_both_named(
    read: Read, old: str, new: str
) -> None:
    with pytest.raises(InputError) as refused:
        read(TEXT.replace(old, new))
    assert refused.value.field == "place.timezone"
    assert "longitude" in str(refused.value)
    assert "92" in str(refused.value)
    assert "America/Chicago" in str(refused.value) or "Asia" in str(refused.value)


@pytest.mark.parametrize(
    ("latitude", "longitude", "zone"),
    [
        (44.0, -92.0, "America/Chicago"),
        (48.2, 16.4, "Europe/Vienna"),
        (35.7, 139.7, "Asia/Tokyo"),
        (-33.9, 151.2, "Australia/Sydney"),
        (27.5, -99.5, "America/Chicago"),
    ],
)
def test_a_place_without_a_zone_has_that_of_its_position(
    read: Read, latitude: float, longitude: float, zone: str
) -> None:
    text = TEXT.replace('timezone = "America/Chicago"\n', "")
    text = text.replace("44.0", str(latitude)).replace("-92.0", str(longitude))
    assert read(text).scenario.site.timezone == zone


def test_a_place_without_a_zone_has_its_night_at_night(
    read: Read,
) -> None:
    """The typed low stands at five in the morning there, not at five of UTC."""
    file = read(
        TEXT.replace('timezone = "America/Chicago"\n', "")
        + "[weather]\nnight_low_C = 2\nday_high_C = 14\n"
    )
    air = scenario_air.of(file, None, file.scenario.placement.at)
    assert not isinstance(air, Unknown)
    coldest = air.start + int(air.air_C[:24].argmin()) * timedelta(hours=1)
    assert coldest.hour == 10  # five in the morning, CDT


def test_weather_of_next_year_is_refused(tmp_path: Path) -> None:
    file, csv = tmp_path / "pour.toml", tmp_path / "air.csv"
    file.write_text(TEXT, encoding="utf-8")
    begin = datetime.fromisoformat("2027-10-14T00:00-05:00")
    rows = [f"{(begin + timedelta(hours=k)).isoformat()},9,60,2,0,50" for k in range(200)]
    csv.write_text("\n".join(["time,air_C,rh_pct,wind_m_s,rain_mm,cloud_pct", *rows]) + "\n")
    for command in ("timeline", "pour-check"):
        now = "2026-10-14T19:00-05:00"
        code, _, err = castclock(command, file, "--weather", csv, "--now", now)
        assert code == 2
        assert "air.csv: time = '2027-10-14" in err
