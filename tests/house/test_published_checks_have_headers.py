"""Rule 6: a published check names source, page, status, tolerance; pages count as pages."""

import re
import sys
from collections import Counter
from pathlib import Path

import pytest

from models.sources import SOURCES

FOLDER = Path(__file__).parents[1] / "published"
FILES = sorted(FOLDER.glob("test_*.py"))
LINES = ("Source", "Page says", "Status", "Tolerance")
KINDS = (
    "page",
    "second-hand",
    "exact mathematics",
    "library",
    "open data",
    "from memory",
    "common practice",
)
KEY = re.compile(r"\b[A-Z][A-Z0-9]*(?:_[A-Z0-9]+)+\b")


def header(file: Path) -> dict[str, str]:
    text = file.read_text(encoding="utf-8")
    docstring = text.split('"""')[1]
    out: dict[str, str] = {}
    for line in docstring.splitlines():
        for name in LINES:
            if line.startswith(name.ljust(11)):
                out[name] = line[11:].strip()
                break
        else:
            if out and line.startswith(" " * 11):
                out[list(out)[-1]] += " " + line.strip()
    return out


def test_every_header_has_its_four_lines_in_order() -> None:
    assert len(FILES) > 50
    told = {file.stem: header(file) for file in FILES}
    assert {name: got for name, got in told.items() if list(got) != list(LINES)} == {}
    assert [name for name, got in told.items() if min(map(len, got.values())) <= 4] == []


def test_every_status_is_of_a_known_kind() -> None:
    told = {file.stem: header(file)["Status"] for file in FILES}
    assert {name: status for name, status in told.items() if not status.startswith(KINDS)} == {}


def test_keys_named_as_source_are_in_the_bibliography() -> None:
    named = [(file.stem, key) for file in FILES for key in KEY.findall(header(file)["Source"])]
    assert named
    assert [(name, key) for name, key in named if key not in SOURCES] == []


def test_every_published_file_holds_checks_of_the_program() -> None:
    texts = {file.stem: file.read_text(encoding="utf-8") for file in FILES}
    wanted = (r"^from models", r"^def test_", r"\bassert\b")
    empty = [
        (name, pattern)
        for name, text in texts.items()
        for pattern in wanted
        if not re.search(pattern, text, re.MULTILINE)
    ]
    assert empty == []


def test_count_by_status(capsys: pytest.CaptureFixture[str]) -> None:
    checks: Counter[str] = Counter()
    for file in FILES:
        status = header(file)["Status"]
        kind = next(kind for kind in KINDS if status.startswith(kind))
        checks[kind] += file.read_text(encoding="utf-8").count("\ndef test_")
    told = ", ".join(f"{kind} {checks[kind]}" for kind in KINDS)
    with capsys.disabled():
        sys.stdout.write(f"\npublished checks by status: {told}; {len(FILES)} files\n")
    assert checks["page"] + checks["exact mathematics"] + checks["library"] >= 30
