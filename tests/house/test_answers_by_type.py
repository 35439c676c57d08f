"""Nobody takes an answer by string keys: it is read by its types, through one door."""

import re
from pathlib import Path

import pytest

SERVICE = Path(__file__).parents[2] / "service"
DOORS = ("answers.py", "answer_models.py")
FILES = [path for path in sorted(SERVICE.rglob("*.py")) if path.name not in DOORS]
BY_KEY = re.compile(
    r"\banswer\[[\"']|\[[\"'](steps|earliest|coat_plan|frost_watch|alerts|options|risks)[\"']\]\["
    r"|\banswer\.get\("
)


@pytest.mark.parametrize("path", FILES, ids=lambda path: str(path.relative_to(SERVICE)))
def test_no_answer_is_read_by_string_keys(path: Path) -> None:
    found = [line for line in path.read_text().splitlines() if BY_KEY.search(line)]
    assert found == []


def test_the_search_would_find_one() -> None:
    assert BY_KEY.search('sure = step["earliest"]["p90"]')
    assert BY_KEY.search('for step in row.answer["steps"]:')
