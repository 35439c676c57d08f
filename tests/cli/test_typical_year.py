"""`--weather FILE.epw`: a pour of the coming weeks, planned by a typical year."""

import json
import math
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from service import cli
from tests.support.command import castclock

HERON = Path(cli.__file__).parents[1] / "demo_data" / "heron-bench.toml"
HEAD = """\
LOCATION,Invented Yard,IA,USA,SAMPLE,000001,42.0,-93.0,-6.0,300.0
DESIGN CONDITIONS,0
TYPICAL/EXTREME PERIODS,0
GROUND TEMPERATURES,0
HOLIDAYS/DAYLIGHT SAVINGS,No,0,0,0
COMMENTS 1,invented
COMMENTS 2,
DATA PERIODS,1,1,Data,Sunday, 1/ 1,12/31
"""


@pytest.fixture(scope="module")
def year(tmp_path_factory: pytest.TempPathFactory) -> Path:
    begin = datetime(2001, 1, 1)  # noqa: DTZ001
    lines = []
    for k in range(8760):
        at = begin + timedelta(hours=k)
        air = 12.0 - 14.0 * math.cos(2 * math.pi * (k - 480) / 8760)
        air -= 5.0 * math.cos(2 * math.pi * (at.hour - 4) / 24)
        lines.append(
            f"2001,{at.month},{at.day},{at.hour + 1},0,?9,{air:.1f},{air - 4:.1f},75,98000,0,0,330,"
            f"0,0,0,0,0,0,0,210,2.0,4,4,16,77777,9,999999999,170,0.12,0,88,0.18,0.0,1.0"
        )
    path = tmp_path_factory.mktemp("year") / "Yard.EPW"
    path.write_text(HEAD + "\n".join(lines) + "\n", encoding="utf-8")
    return path


def told(*arguments: str | Path) -> str:
    ended = castclock(*arguments)
    assert ended.code == 0, ended.err
    return ended.out


def test_the_table_says_typical_year_in_its_head_and_its_warnings(year: Path) -> None:
    text = " ".join(told("timeline", HERON, "--weather", year).split())
    assert "weather: typical year of Invented Yard, no forecast (file Yard.EPW)" in text
    assert "8 °C warmer or colder" in text
    text = told("timeline", HERON, "--weather", year, "--all")
    assert "in a typical year; there is no forecast" in " ".join(text.split())


def test_a_pour_is_planned_but_not_cleared(year: Path) -> None:
    steps = json.loads(told("timeline", HERON, "--weather", year, "--json"))["steps"]
    assert {step["state"] for step in steps} == {"not yet"}
    answer = json.loads(told("pour-check", HERON, "--weather", year, "--json"))
    assert answer["answer_code"]["code"] == "wait"
    assert "No pour is cleared on a typical year" in answer["because"]


def test_once_it_is_poured_the_year_tells_nothing(year: Path) -> None:
    later = "2026-10-15T08:00-05:00"
    steps = json.loads(told("timeline", HERON, "--weather", year, "--now", later, "--json"))[
        "steps"
    ]
    assert {step["state"] for step in steps} == {"blocked"}
