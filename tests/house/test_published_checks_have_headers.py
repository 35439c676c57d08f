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


@pytest.mark.parametrize("file", FILES, ids=lambda f: f.stem)
def test_header_has_its_four_lines_in_order(file: Path) -> None:
    got = header(file)
    assert list(got) == list(LINES)
    assert all(len(text) > 4 for text in got.values())


@pytest.mark.parametrize("file", FILES, ids=lambda f: f.stem)
def test_status_is_of_a_known_kind(file: Path) -> None:
    assert header(file)["Status"].startswith(KINDS), header(file)["Status"]


@pytest.mark.parametrize("file", FILES, ids=lambda f: f.stem)
def test_keys_named_as_source_are_in_the_bibliography(file: Path) -> None:
    unknown = [key for key in KEY.findall(header(file)["Source"]) if key not in SOURCES]
    assert not unknown


@pytest.mark.parametrize("file", FILES, ids=lambda f: f.stem)
def test_a_published_file_holds_checks_of_the_program(file: Path) -> None:
    text = file.read_text(encoding="utf-8")
    assert re.search(r"^from models", text, re.MULTILINE)
    assert text.count("\ndef test_") >= 1
    assert "assert" in text


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
