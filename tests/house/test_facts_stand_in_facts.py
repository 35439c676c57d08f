"""A figure that somebody printed, or that the trade takes, stands in models/facts and nowhere else.

Beside it in the other rooms stand settings of a calculation and thresholds of what is worth a word,
which are ours.
"""

import ast
import re
from pathlib import Path

import models
from models.sources import SOURCES

ROOT = Path(models.__file__).parent
ROOMS = ("facts", "sources", "records")
OURS = ("OWN_JUDGEMENT",)
KEY = re.compile(r"\b(" + "|".join([*(set(SOURCES) - set(OURS)), "from memory"]) + r")\b")
FILES = [
    path for path in sorted(ROOT.rglob("*.py")) if path.relative_to(ROOT).parts[0] not in ROOMS
]


def numbers(path: Path) -> list[tuple[str, str]]:
    """Each number at the top of a module: its name, and what is said beside and over it."""
    text = path.read_text("utf-8")
    lines = text.splitlines()
    found = []
    for node in ast.parse(text).body:
        if not isinstance(node, ast.Assign | ast.AnnAssign) or node.value is None:
            continue
        if not any(
            isinstance(one, ast.Constant) and type(one.value) in (int, float)
            for one in ast.walk(node.value)
        ):
            continue
        first, last = node.lineno - 1, node.end_lineno or node.lineno
        said = [line.partition("#")[2] for line in lines[first:last]]
        while first and lines[first - 1].startswith("#"):
            first -= 1
            said.insert(0, lines[first][1:])
        found.append((ast.unparse(node).partition(" =")[0], " ".join(said)))
    return found


def test_a_number_with_a_printed_source_is_a_fact() -> None:
    assert len(FILES) > 100
    told = [
        (path.relative_to(ROOT).as_posix(), name, found)
        for path in FILES
        for name, said in numbers(path)
        if (found := KEY.findall(said))
    ]
    assert told == []


def test_the_search_finds_what_stands_in_facts() -> None:
    found = dict(numbers(ROOT / "facts" / "air.py"))
    assert KEY.findall(found["PSYCHROMETRIC_HPA_K"]) == ["FAO_56"]
