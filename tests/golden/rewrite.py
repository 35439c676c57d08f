"""Write expected.json anew: python tests/golden/rewrite.py [KEY ...]; without a key, all of them.

Read the difference before it is committed, and say in the commit why the answer moved: the why.md
beside each expected.json names what may move it.
"""

import json
import sys
from datetime import datetime, timedelta
from pathlib import Path

from models.planning.timeline import project
from service import scenario_file
from service.weather import csv_file

HERE = Path(__file__).parent
DATA = Path(scenario_file.__file__).parent / "demo_data"
SCENARIOS = {
    "heron-bench": ("heron-bench",),
    "larch-table": ("larch-table",),
    "quarry-planter": ("quarry-planter",),
    "salt-counter": ("salt-counter",),
    "kiln-step": ("kiln-step",),
    "ember-surround": ("ember-surround", "ember-base"),
    "two-moulds": tuple(
        f"two-moulds/{name}"
        for name in (
            "1-long-bench",
            "2-square-top",
            "3-long-shelf",
            "4-square-slab",
            "5-long-step",
        )
    ),
}
HALF_HOUR = timedelta(minutes=30)


def answers(key: str) -> dict[str, object]:
    """State and instants of every step of every file of a scenario, to the half hour."""
    return {name: _answer(DATA / f"{name}.toml") for name in SCENARIOS[key]}


def _answer(path: Path) -> dict[str, object]:
    file = scenario_file.read(path)
    assert isinstance(file.weather, Path)
    assert file.asked_at is not None
    air = csv_file.read(file.weather, file.weather.name, issued_at=file.asked_at)
    told = project(file.scenario, air, file.asked_at)
    return {
        step.step: {
            "state": step.state,
            "p50": _rounded(step.p50),
            "p90": _rounded(step.p90),
            "latest": _rounded(step.latest),
        }
        for step in told.steps
    }


def _rounded(at: datetime | None) -> str | None:
    if at is None:
        return None
    midnight = at.replace(hour=0, minute=0, second=0, microsecond=0)
    halves = round((at - midnight) / HALF_HOUR)
    return (midnight + halves * HALF_HOUR).isoformat(timespec="minutes")


def main(keys: list[str]) -> None:
    for key in keys or list(SCENARIOS):
        target = HERE / key / "expected.json"
        target.write_text(json.dumps(answers(key), indent=1) + "\n", encoding="utf-8")
        sys.stdout.write(f"{target}\n")


if __name__ == "__main__":
    main(sys.argv[1:])
