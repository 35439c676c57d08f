"""The seven invented scenarios answer as they did when somebody last looked at the answers.

These files prove nothing about concrete; they show when an answer moves. What the answers must be
is held by test_invented_scenarios.py. To accept a move: python tests/golden/rewrite.py KEY.
"""

import json
import runpy
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

HERE = Path(__file__).parent
REWRITE = runpy.run_path(str(HERE / "rewrite.py"))
TOLERANCE = timedelta(minutes=30)


def apart(a: str | None, b: str | None) -> bool:
    if a is None or b is None:
        return a is not b
    return abs(datetime.fromisoformat(a) - datetime.fromisoformat(b)) > TOLERANCE


@pytest.mark.parametrize("key", list(REWRITE["SCENARIOS"]))
def test_a_scenario_answers_as_it_did_to_half_an_hour(key: str) -> None:
    expected = json.loads((HERE / key / "expected.json").read_text(encoding="utf-8"))
    got: dict[str, dict[str, Any]] = REWRITE["answers"](key)
    assert list(got) == list(expected)
    moved = [
        f"{name} {step} {what}: {was[what]} -> {got[name][step][what]}"
        for name, steps in expected.items()
        for step, was in steps.items()
        for what in ("state", "p50", "p90", "latest")
        if (
            was[what] != got[name][step][what]
            if what == "state"
            else apart(was[what], got[name][step][what])
        )
    ]
    assert moved == []
    assert [list(got[name]) for name in got] == [list(expected[name]) for name in expected]


def test_every_scenario_says_who_may_change_its_answer() -> None:
    for key in REWRITE["SCENARIOS"]:
        text = (HERE / key / "why.md").read_text(encoding="utf-8")
        assert "Who may change" in text, key
