"""`castclock sources`: published values beside ours, as text, Markdown and JSON."""

import json
import math
import re
from dataclasses import replace

import pytest

from service import published
from tests.support.command import castclock

ROWS = published.rows()


@pytest.fixture
def one_off(monkeypatch: pytest.MonkeyPatch) -> None:
    """A program whose first value has drifted from its source and whose second is lost."""
    drifted = replace(ROWS[0], ours=ROWS[0].published + 1.0)
    lost = replace(ROWS[1], ours=math.nan)
    monkeypatch.setattr(published, "rows", lambda: (drifted, lost, *ROWS[2:5]))


def test_every_row_is_printed_and_the_last_line_counts_them() -> None:
    code, out, err = castclock("sources")
    assert (code, err) == (0, "")
    lines = out.rstrip("\n").splitlines()
    for heading in ("source", "quantity", "published", "ours", "difference", "tolerance", "status"):
        assert heading in lines[0]
    assert len(lines) == len(ROWS) + 4 + len(published.of_facts(published.facts()))
    counts = dict(
        re.findall(
            r"(page|second-hand|library|open data|fit|mathematics|from memory) (\d+)", lines[-1]
        )
    )
    assert int(counts["page"]) == sum(row.status == "page" for row in ROWS)
    assert lines[-1].startswith(f"{len(ROWS)} rows")
    assert lines[-1].endswith("all within tolerance")


def test_the_constants_are_told_by_kind_and_those_from_memory_by_name() -> None:
    """12-answers F5, F6: what stays from memory is listed."""
    _, out, _ = castclock("sources")
    told = published.facts()
    kinds = {"page", "second-hand", "library", "open data", "own judgement", "from memory"}
    (line,) = (line for line in out.splitlines() if "constants of models/facts" in line)
    counts = dict(re.findall(r"([a-z -]+?) (\d+)(?:,|$)", line.split(":")[1]))
    assert {name.strip() for name in counts} >= kinds
    assert sum(map(int, counts.values())) == len(told)
    named = [
        re.split(r"\s{2,}", line)[1]
        for line in out.splitlines()
        if line.startswith("from memory  ")
    ]
    assert named == [one.name for one in told if one.kind == "from memory"]
    assert "moisture.SPALLING_PCT" in named
    assert not any(name.startswith("protection.FROST") for name in named)


def test_the_wet_evening_dew_point_stands_with_its_difference() -> None:
    _, out, _ = castclock("sources")
    (line,) = (line for line in out.splitlines() if "dew point of vapour at 22 hPa" in line)
    assert re.split(r"\s{2,}", line) == [
        "METPY",
        "dew point of vapour at 22 hPa",
        "19.0291 degC",
        "19.058",
        "+0.028",
        "0.05",
        "library",
    ]


def test_markdown_is_a_whole_table_with_the_sources_under_it() -> None:
    code, out, _ = castclock("sources", "--markdown")
    assert code == 0
    rows = [line for line in out.splitlines() if line.startswith("|")]
    assert len(rows) == len(ROWS) + 2
    assert {len(re.findall(r"(?<!\\)\|", row)) for row in rows} == {8}
    for key in {row.source for row in ROWS}:
        assert f"\n- {key}: " in out


def test_json_tells_where_each_value_is_printed() -> None:
    code, out, _ = castclock("sources", "--json")
    told = json.loads(out)
    assert code == 0
    assert told["outside"] == 0
    assert sum(told["by_status"].values()) == len(told["rows"]) == len(ROWS)
    for row in told["rows"]:
        assert row["within"] is True
        assert row["where"]
        assert row["difference"] == pytest.approx(row["ours"] - row["published"])


@pytest.mark.usefixtures("one_off")
def test_a_value_that_has_drifted_is_marked_and_ends_with_1() -> None:
    code, out, err = castclock("sources")
    assert (code, err) == (1, "")
    lines = out.splitlines()
    assert [line.endswith("OUTSIDE") for line in lines[1:6]] == [True, True, False, False, False]
    assert "no value" in lines[2]
    assert "2 outside tolerance" in lines[-1]


@pytest.mark.usefixtures("one_off")
def test_a_lost_value_is_null_in_json() -> None:
    code, out, _ = castclock("sources", "--json")
    told = json.loads(out)
    assert code == 1
    assert told["outside"] == 2
    assert told["rows"][1]["ours"] is None
    assert told["rows"][1]["within"] is False


def test_one_form_at_a_time() -> None:
    code, out, err = castclock("sources", "--json", "--markdown")
    assert (code, out) == (2, "")
    assert "--markdown" in err


def test_a_bar_in_a_quantity_does_not_split_the_markdown_row() -> None:
    barred = replace(ROWS[0], quantity="dew | point")
    (row,) = (
        line
        for line in published.as_markdown([barred]).splitlines()
        if "dew" in line and line.startswith("|")
    )
    assert "dew \\| point" in row
