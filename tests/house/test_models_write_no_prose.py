"""The science gives codes and numbers: sentences stand in models/ only in docstrings and errors."""

import ast
import re
from collections import Counter
from importlib import import_module
from pathlib import Path
from pkgutil import iter_modules

from service.words import en

MODELS = Path(__file__).parents[2] / "models"
IN_A_ROW = re.compile(r"(\b[a-z][a-z']*\b[ ,]+){5,}", re.IGNORECASE)  # five words
# titles of sources, names of units, SQL of tables, lines of the log
NOT_PROSE = ("sources/", "facts/conversions.py", "records/", "_jit.py")
# texts of errors that are put together before they are raised
ERRORS = (
    "quantity.py",
    "units.py",
    "air/plausible.py",
    "concrete/mixture.py",
    "air/series.py",
    "piece/impossible.py",
)
FILES = [
    path
    for path in sorted(MODELS.rglob("*.py"))
    if not str(path.relative_to(MODELS)).startswith((*NOT_PROSE, *ERRORS))
]


def prose(source: str) -> list[str]:
    """Texts of several words in a row that are neither docstrings nor handed to an error."""
    tree = ast.parse(source)
    kept = set()
    for node in ast.walk(tree):
        name = ""
        if isinstance(node, ast.Call):
            name = getattr(node.func, "id", getattr(node.func, "attr", ""))
        if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant):
            kept.add(id(node.value))
        if isinstance(node, ast.Raise) or name.endswith(("Error", "Conflict", "within")):
            kept |= {id(inner) for inner in ast.walk(node)}
    return [
        node.value
        for node in ast.walk(tree)
        if isinstance(node, ast.Constant)
        and isinstance(node.value, str)
        and id(node) not in kept
        and IN_A_ROW.search(f"{node.value} ")
    ]


def test_no_sentence_stands_in_the_science() -> None:
    assert len(FILES) > 100
    told = {str(path.relative_to(MODELS)): prose(path.read_text()) for path in FILES}
    assert {name: found for name, found in told.items() if found} == {}


def test_a_sentence_would_be_found() -> None:
    assert prose('why = f"frost: {chance} chance that the corner freezes"') != []
    assert prose('"""Only a docstring of several words."""') == []


def test_no_code_has_two_templates() -> None:
    rooms = [import_module(f"service.words.en.{room.name}") for room in iter_modules(en.__path__)]
    counted = Counter(code for room in rooms for code in room.TEMPLATES)
    assert [code for code, times in counted.items() if times > 1] == []


def test_every_code_that_is_told_has_its_words() -> None:
    told = {
        code
        for path in sorted(MODELS.rglob("*.py"))
        for code in re.findall(r'\bMessage\(\s*"(\w+)"', path.read_text())
    }
    assert told
    assert sorted(told - en.TEMPLATES.keys()) == []
