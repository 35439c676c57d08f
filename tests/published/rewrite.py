"""Writes what `castclock sources` prints: python tests/published/rewrite.py; read the diff."""

import json
import math
import sys
from collections.abc import Iterable
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))

from service.published import Row  # noqa: E402
from tests.published.facts import facts  # noqa: E402
from tests.published.register import CHECKS  # noqa: E402

FILE = ROOT / "service" / "published.json"


def as_data(row: Row) -> dict[str, object]:
    """Nine digits of ours, the same on every machine; null where there is no number."""
    return {
        "source": row.source,
        "quantity": row.quantity,
        "unit": row.unit,
        "published": row.published,
        "ours": float(f"{row.ours:.9g}") if math.isfinite(row.ours) else None,
        "tolerance": row.tolerance,
        "status": row.status,
        "where": row.where,
    }


def written(rows: Iterable[Row]) -> str:
    """The file: a source a line, then a row a line, then a constant of models/facts a line."""
    rows = tuple(rows)
    named = {row.source: (row.title, row.place) for row in rows}
    sources = [f"{json.dumps(key)}: {json.dumps(value)}" for key, value in named.items()]
    lines = [json.dumps(as_data(row)) for row in rows]
    constants = [json.dumps(one) for one in facts()]
    inside = [",\n".join(part) for part in (sources, lines, constants)]
    return (
        f'{{"sources": {{\n{inside[0]}\n}}, "rows": [\n{inside[1]}\n],'
        f' "facts": [\n{inside[2]}\n]}}\n'
    )


if __name__ == "__main__":
    FILE.write_text(written(check.compare() for check in CHECKS), encoding="utf-8")
