"""`castclock honesty`: what it prints, and its picture."""

import json
from pathlib import Path

from models.errors import InputError
from models.planning.honesty import FEWEST
from service import honesty_told
from service.actions.record.honesty import Honesty
from service.cli.terminal import plain, wrapped


def as_text(found: Honesty) -> str:
    lines = wrapped(plain("honesty_how"))
    count = len(found.cases)
    if not count:
        lines += ["", *wrapped(plain("honesty_none"))]
    else:
        lines += ["", plain("honesty_count", cases=count, pours=found.pours)]
        if count < FEWEST:
            lines += wrapped(plain("honesty_few", fewest=FEWEST))
        lines += ["", *honesty_told.as_text(found.cases)]
    if found.untold:
        lines += ["", plain("honesty_untold", untold=found.untold)]
    if weak := found.outcomes:
        lines += ["", *wrapped(plain("honesty_weak", **vars(weak)))] if weak.count else []
    return "\n".join(lines)


def as_json(found: Honesty) -> str:
    content = {
        "pours": found.pours,
        "untold": found.untold,
        "observations": len(found.cases),
        "fewest": FEWEST,
        "rows": honesty_told.as_objects(found.cases),
        "outcomes": vars(found.outcomes),
    }
    return json.dumps(content, indent=2, allow_nan=False)


def draw(found: Honesty, path: Path) -> None:
    """The picture into a new or former .svg file; nothing else is written over."""
    if path.suffix.lower() != ".svg":
        raise InputError("--svg", str(path), "not the name of an SVG file", "FILE.svg")
    try:
        path.write_text(honesty_told.picture(found.cases, alone=True), encoding="utf-8")
    except OSError as error:
        reason = error.strerror or "cannot be written"
        raise InputError("--svg", str(path), reason, "a file that can be written") from None
