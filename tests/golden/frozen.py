"""The frozen answers: every number and time of every scenario at several instants, no prose.

python tests/golden/frozen.py            holds them against the program, to the last digit
python tests/golden/frozen.py --write    writes them anew: only where an answer is meant to move
python tests/golden/frozen.py --prose F  writes every sentence of the same answers into the file F
python tests/golden/frozen.py --shift    prints the largest shift of each step against the file

The file was made on one machine; another may differ in the last digits, so that the tests compare
to 1e-9.
"""

import json
import math
import sys
from collections import defaultdict
from collections.abc import Iterator, Sequence
from datetime import datetime, timedelta
from itertools import zip_longest
from pathlib import Path
from typing import Any

import numpy as np

from models.message import Message
from models.planning import pour_check
from models.planning.timeline import project
from models.results import PourOption, Projection
from service import scenario_file
from service.answer_fields import as_json
from service.answers import pour_answer_json, projection_json
from service.weather import csv_file
from service.words import Reader

HERE = Path(__file__).parent
FILE = HERE / "frozen.json"
HERE_READS = Reader("UTC")
DATA = Path(scenario_file.__file__).parent / "demo_data"
LATER_H = (0, 20, 75, 400)
EVERY_H = 72
PROSE = frozenset(
    [
        "because",
        "code",
        "reasons",
        "earlier_if",
        "cautions",
        "sources",
        "missed",
        "warnings",
        "evidence",
        "text",
        "says",
        "why",
        "remedy",
        "quantity",
        "caution",
        "piece",
        "mix",
        "reason",
        "sealer",
        "fresh_mm",  # null where no lift was told; test_lifts.py has its numbers
        "ways",  # of a coat: their own test asks that the plan of each gives its hours
    ]
)


def scenarios() -> dict[str, Path]:
    """Every scenario file that ships or is golden, by name."""
    found = sorted(DATA.rglob("*.toml")) + sorted((HERE / "acceptance").glob("*.toml"))
    return {path.stem: path for path in found}


def answers(
    path: Path, instants: Sequence[int] = LATER_H, *, checked: bool = True
) -> dict[str, object]:
    """What a scenario is told at each instant, and of the next two days of pouring it.

    instants : hours after it is first asked; checked : with those two days
    """
    file = scenario_file.read(path)
    assert isinstance(file.weather, Path)
    assert file.asked_at is not None
    air = csv_file.read(file.weather, file.weather.name, issued_at=file.asked_at)
    told: dict[str, Any] = {}
    for later_h in instants:
        answer = project(file.scenario, air, file.asked_at + timedelta(hours=later_h))
        told[f"+{later_h} h"] = projection_json(answer, HERE_READS) | {"concrete": _history(answer)}
    if not checked:
        return told
    check = pour_check.check(file.scenario, air, file.asked_at, days=2)
    told["pour check"] = pour_answer_json(check, HERE_READS) | {
        "answer": _coded(check.answer),
        "options": _sums(check.options),
    }
    return told


def _sums(options: tuple[PourOption, ...]) -> dict[str, list[float]]:
    """By protection: how many starts pass, and the sums of what was reckoned of them."""
    sums: dict[str, list[float]] = {}
    for one in options:
        numbers = [one.passes, one.excess, one.frost_chance or 0.0, one.lowest_C or 0.0]
        numbers += [sum(risk.probability for risk in one.risks)]
        numbers += [sum(risk.value for risk in one.risks if math.isfinite(risk.value))]
        numbers += [at.timestamp() for at in (one.strip_p90, one.turn_p90) if at]
        old = sums.get(_coded(one.protection), [])
        sums[_coded(one.protection)] = [a + b for a, b in zip_longest(old, numbers, fillvalue=0.0)]
    return sums


def _history(answer: Projection) -> dict[str, object] | None:
    """Each band every 24 h to the last digit, and its sum."""
    if answer.concrete is None:
        return None
    history = vars(answer.concrete)
    return {
        f"{name} {end}": [*band[::EVERY_H].tolist(), float(np.nansum(band[np.isfinite(band)]))]
        for name, bands in history.items()
        if name != "times"
        for end, band in vars(bands).items()
    }


def _coded(told: Message) -> str:
    """A code and its values as one word, whatever the catalogue makes of it."""
    return json.dumps(as_json(told)).replace("/", " per ")


def leaves(value: object, at: str = "") -> Iterator[tuple[str, object]]:
    """Every value with its path, prose too."""
    if isinstance(value, dict):
        for key, inner in value.items():
            yield from leaves(inner, f"{at}/{key}")
    elif isinstance(value, list | tuple):
        for k, inner in enumerate(value):
            name = inner.get("step", k) if isinstance(inner, dict) else k
            yield from leaves(inner, f"{at}/{name}")
    else:
        yield at, None if isinstance(value, float) and math.isnan(value) else value


def is_prose(path: str) -> bool:
    return any(part in PROSE or part.endswith(("_code", "_codes")) for part in path.split("/"))


def bare(value: object) -> object:
    """An answer without its prose."""
    if isinstance(value, dict):
        return {key: bare(inner) for key, inner in value.items() if not is_prose(key)}
    return [bare(inner) for inner in value] if isinstance(value, list | tuple) else value


def numbers(told: dict[str, object]) -> dict[str, object]:
    """The leaves that are no prose."""
    return dict(leaves(bare(told)))


def differences(want: dict[str, object], got: dict[str, object], rel: float) -> list[str]:
    """What differs: a path, what was frozen, what is said now."""
    out = []
    for path in sorted(want.keys() | got.keys()):
        old, new = want.get(path, "missing"), got.get(path, "missing")
        if isinstance(old, float) and isinstance(new, int | float):
            if math.isclose(old, new, rel_tol=rel, abs_tol=rel):
                continue
        elif old == new:
            continue
        out.append(f"{path}: {old} -> {new}")
    return out


def _shifts(want: dict[str, object], got: dict[str, object]) -> dict[str, float]:
    """Largest shift of each step's hours [h]."""
    most: dict[str, float] = defaultdict(float)
    for path, old in want.items():
        parts = path.split("/")
        if "steps" not in parts or parts[-1] not in ("p50", "p90", "safe", "latest"):
            continue
        name, new = f"{parts[parts.index('steps') + 1]} {parts[-1]}", got.get(path)
        if old is None or new is None:
            most[name] = most[name] if old == new else math.inf
        else:
            apart = abs(datetime.fromisoformat(str(new)) - datetime.fromisoformat(str(old)))
            most[name] = max(most[name], apart / timedelta(hours=1))
    return most


def frozen() -> dict[str, dict[str, object]]:
    """What the file holds, by scenario and path."""
    held = json.loads(FILE.read_text(encoding="utf-8"))
    return {name: dict(leaves(one)) for name, one in held.items()}


def main(arguments: list[str]) -> int:
    told = {name: answers(path) for name, path in scenarios().items()}
    if arguments[:1] == ["--prose"]:
        lines = [f"{at}: {value}" for at, value in leaves(told) if is_prose(at) and value]
        Path(arguments[1]).write_text("\n".join(lines) + "\n", encoding="utf-8")
        return 0
    if arguments == ["--write"]:
        lines = [f'"{name}": {json.dumps(bare(one))}' for name, one in told.items()]
        FILE.write_text("{\n" + ",\n".join(lines) + "\n}\n", encoding="utf-8")
        return 0
    got = {name: numbers(one) for name, one in told.items()}
    want = frozen()
    if arguments == ["--shift"]:
        for name in want:
            for step, hours in _shifts(want[name], got[name]).items():
                if hours:
                    sys.stdout.write(f"{name} {step}: {hours:.2f} h\n")
        return 0
    wrong = [
        f"{name}{line}"
        for name in sorted(want.keys() | got.keys())
        for line in differences(want.get(name, {}), got.get(name, {}), 0.0)
    ]
    sys.stdout.write("\n".join(wrong) + f"\n{len(wrong)} values differ\n")
    return bool(wrong)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
