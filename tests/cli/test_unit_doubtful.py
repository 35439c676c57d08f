"""Figures that only make sense in degF or in inches are asked about, never believed in silence."""

import json
from collections.abc import Callable
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from tests.support.command import castclock
from tests.support.raw import Json, JsonDict
from tests.support.words import tells

TEXT = """
[place]
kind = "open yard"
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
at = 2026-11-24T16:00:00-06:00
concrete_C = 12
"""
TYPED = "[weather]\nnight_low_C = {}\nday_high_C = {}\ndays = 5\n"
NOW = "2026-11-24T16:00-06:00"


@pytest.fixture
def asked(tmp_path: Path) -> Callable[..., Json]:
    """What a command says of a scenario text."""

    def ask(text: str, *more: str, command: str = "timeline") -> Json:
        file = tmp_path / "pour.toml"
        file.write_text(text, encoding="utf-8")
        code, out, err = castclock(command, file, "--now", NOW, *more)
        assert code == 0, err
        return json.loads(out) if "--json" in more else out

    return ask


def doubtful(told: JsonDict) -> list[str]:
    return [one["field"] for one in told["notes"] if one["code"] == "unit_doubtful"]


@pytest.mark.parametrize("command", ["timeline", "pour-check"])
def test_a_frosty_night_in_degf_is_a_warning_that_says_what_it_would_be(
    asked: Callable[..., Json], command: str
) -> None:
    told = asked(TEXT + TYPED.format(20, 34), "--json", command=command)
    assert "weather.day_high_C" in doubtful(told)
    (high,) = [one for one in told["notes"] if one["field"] == "weather.day_high_C"]
    assert high["value"] == 34
    assert high["other_unit"] == "degF"
    assert high["other_unit_value"] == pytest.approx(1.1, abs=0.05)
    meant = {"meant": "34 degF", "other": "1.1 degC"}
    assert any(tells(text, "unit_doubtful", **meant) for text in told["warnings"])
    table = asked(TEXT + TYPED.format(20, 34), command=command)
    assert tells(table, "unit_doubtful", **meant)


@pytest.mark.parametrize(("low", "high"), [(-7, 1), (2, 9), (-12, -3), ('"20 F"', '"34 F"')])
def test_what_november_has_is_no_warning(
    asked: Callable[..., Json], low: object, high: object
) -> None:
    told = asked(TEXT + TYPED.format(low, high), "--json")
    assert doubtful(told) == []


def hours(air: list[float]) -> str:
    begin = datetime.fromisoformat("2026-11-21T00:00-06:00")
    rows = [
        f"{(begin + timedelta(hours=k)).isoformat()},{one:.1f},60,2,0,50"
        for k, one in enumerate(air)
    ]
    return "\n".join(["time,air_C,rh_pct,wind_m_s,rain_mm,cloud_pct", *rows]) + "\n"


def test_a_logger_in_degf_under_a_degc_label_is_told(
    asked: Callable[..., Json], tmp_path: Path
) -> None:
    degC = [-3.0 + 5.0 * ((k % 24) / 12 - 1) ** 2 for k in range(24 * 12)]
    file = tmp_path / "logger.csv"
    file.write_text(hours(degC), encoding="utf-8")
    assert doubtful(asked(TEXT, "--json", "--weather", str(file))) == []
    file.write_text(hours([1.8 * one + 32 for one in degC]), encoding="utf-8")
    told = asked(TEXT, "--json", "--weather", str(file))
    assert any("air_C" in field for field in doubtful(told))
    assert {"degF"} == {one["other_unit"] for one in told["notes"]}
    assert any(tells(text, "unit_doubtful") for text in told["warnings"])


@pytest.mark.parametrize(
    ("old", "new", "field"),
    [
        ("length_mm = 1500", "length_mm = 60", "piece.length_mm"),
        ("thickness_mm = 50", "thickness_mm = 580", "piece.thickness_mm"),
        ("concrete_C = 12", "concrete_C = 50", "pour.concrete_C"),
    ],
)
def test_measures_and_mixes_in_the_other_unit_are_told(
    asked: Callable[..., Json], old: str, new: str, field: str
) -> None:
    told = asked(TEXT.replace(old, new) + TYPED.format(-3, 4), "--json")
    assert field in doubtful(told)


def test_a_reading_in_degf_is_told(asked: Callable[..., Json]) -> None:
    reading = '[[reading]]\nat = 2026-11-24T16:00:00-06:00\nkind = "{}"\nvalue = {}\n'
    for kind, value in (("concrete", 61), ("air", 30)):
        told = asked(TEXT + TYPED.format(-3, 4) + reading.format(kind, value), "--json")
        assert doubtful(told) == ["reading[0].value"]
    for kind, value in (("concrete", 16), ("air", 2)):
        told = asked(TEXT + TYPED.format(-3, 4) + reading.format(kind, value), "--json")
        assert doubtful(told) == []


def test_the_zone_of_a_place_without_coordinates_says_its_season(
    asked: Callable[..., Json],
) -> None:
    text = TEXT.replace("latitude = 44.0\nlongitude = -92.0\n", "")
    assert "weather.day_high_C" in doubtful(asked(text + TYPED.format(20, 34), "--json"))


def test_the_south_has_its_summer_in_november(asked: Callable[..., Json]) -> None:
    text = TEXT.replace("44.0", "-34.0").replace("-92.0", "151.0")
    text = text.replace("America/Chicago", "Australia/Sydney")
    assert doubtful(asked(text + TYPED.format(20, 34), "--json")) == []
