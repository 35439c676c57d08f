"""Every constant of models/facts with how it is known, read from the comments and keys beside it.

A comment behind a constant, or within it, speaks for it; else the comments over its paragraph do,
else the head of its file. Rows that carry `sources` speak for themselves.
"""

import ast
import io
import re
import tokenize
from collections.abc import Iterator
from pathlib import Path

from models.sources import SOURCES

FOLDER = Path(__file__).parents[2] / "models" / "facts"
KEY = re.compile(r"\b[A-Z][A-Z0-9]*(?:_[A-Z0-9]+)+\b")
# what outranks the first key: the weakest word beside a number is the one that is told
WORDS = (
    ("from memory", re.compile(r"from memory|TYPICAL_SHEET")),
    ("own judgement", re.compile(r"OWN_JUDGEMENT")),
    ("common practice", re.compile(r"COMMON_PRACTICE|[Cc]ommon practice")),
    ("definition", re.compile(r"definition|\bexact\b|geography|beam theory")),
)
OF_BASIS = {"own": "own judgement"}
KINDS = (
    "page",
    "second-hand",
    "standard",
    "library",
    "open data",
    "definition",
    "common practice",
    "own judgement",
    "from memory",
)
# names, not numbers: what may be chosen, and where it is chosen
NO_FACTS = (
    "after.FIRE_ADVICE",
    "air.LATITUDE",
    "codes.AMERICAN_ZONES",
    "codes.OTHER",
    "codes.QUICK",
    "composition.CLINKER",
    "fumes.SOURCES",
    "handling.UNSEALED_BOARDS",
    "protection.HEATERS",
)


def facts() -> tuple[tuple[str, str, str], ...]:
    """(file and name, kind, keys) of every constant, in the order of the files."""
    return tuple(
        (f"{file.stem}.{name}", kind_of(text), ", ".join(keys_of(text)))
        for file in sorted(FOLDER.glob("*.py"))
        for name, text in _named(file)
        if f"{file.stem}.{name}" not in NO_FACTS
    )


def keys_of(text: str) -> list[str]:
    return list(dict.fromkeys(key for key in KEY.findall(text) if key in SOURCES))


def kind_of(text: str) -> str:
    """The weakest word of a text, else the basis of its first key; none where it says neither."""
    for kind, word in WORDS:
        if word.search(text):
            return kind
    basis = next((SOURCES[key].basis for key in keys_of(text)), "")
    return OF_BASIS.get(basis, basis)


def _named(file: Path) -> Iterator[tuple[str, str]]:
    """Every constant of a file, and every row of a table of rows, with what is said of it."""
    source = file.read_text(encoding="utf-8")
    tree, lines = ast.parse(source), source.splitlines()
    comments = _comments(source)
    head = ast.get_docstring(tree) or ""
    over = ""
    ended = 0
    for node in tree.body:
        if not isinstance(node, ast.Assign | ast.AnnAssign) or node.value is None:
            continue
        first, last = node.lineno, node.end_lineno or node.lineno
        block: list[str] = []
        line = first - 1
        while line > ended and lines[line - 1].startswith("#"):
            block.insert(0, comments.get(line, ""))
            line -= 1
        if block:
            over = " ".join(block)
        elif any(not lines[k - 1].strip() for k in range(ended + 1, first)):
            over = ""
        ended = last
        beside = " ".join(comments[k] for k in range(first, last + 1) if k in comments)
        targets = node.targets if isinstance(node, ast.Assign) else [node.target]
        names = [name for target in targets for name in _stored(target)]
        said = next((t for t in (beside, over, head) if kind_of(t)), "")
        for name in names:
            if name.startswith("_"):
                continue
            rows = dict(_rows(node.value))
            if rows:
                yield from ((f"{name}.{row}", text) for row, text in rows.items())
            else:
                yield name, said


def _stored(target: ast.AST) -> list[str]:
    return [one.id for one in ast.walk(target) if isinstance(one, ast.Name)]


def _rows(value: ast.AST) -> Iterator[tuple[str, str]]:
    """Rows that carry keys of their own: those of a table, or one record."""
    if not isinstance(value, ast.Dict):
        keys = _keys(value)
        if isinstance(value, ast.Call) and keys:
            yield "row", keys
        return
    for key, row in zip(value.keys, value.values, strict=True):
        keys = _keys(row)
        if isinstance(key, ast.Constant) and isinstance(row, ast.Call) and keys:
            yield str(key.value), keys


def _keys(node: ast.AST) -> str:
    texts = (one.value for one in ast.walk(node) if isinstance(one, ast.Constant))
    return " ".join(text for text in texts if isinstance(text, str) and text in SOURCES)


def _comments(source: str) -> dict[int, str]:
    tokens = tokenize.generate_tokens(io.StringIO(source).readline)
    return {t.start[0]: t.string for t in tokens if t.type == tokenize.COMMENT}
