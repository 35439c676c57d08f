"""One value of a JSON text, by names and places as RFC 9535 writes them: $.sensors[0].air."""

import re
from typing import Any

from models.errors import InputError

EXAMPLE = "names and places, as temperature or $.sensors[0].air or $['air.C']"
_STEP = re.compile(r"\.?(?P<name>[^\W\d][\w-]*)|\[(?P<place>\d{1,4})\]|\['(?P<quoted>[^'\]]+)'\]")


def steps(field: str, path: str) -> list[str | int]:
    """The names and places of a path; InputError where it says something else."""
    rest = path.strip().removeprefix("$")
    found: list[str | int] = []
    while rest:
        step = _STEP.match(rest)
        if step is None:
            raise InputError(field, path, "not a path", EXAMPLE)
        place = step["place"]
        found.append(int(place) if place is not None else step["name"] or step["quoted"])
        rest = rest[step.end() :]
    return found


def value_at(field: str, path: str, told: Any) -> Any:
    """What stands there.

    >>> value_at("value_path", "$.sensors[1].air", {"sensors": [{}, {"air": 8.5}]})
    8.5
    """
    here = told
    for step in steps(field, path):
        there = isinstance(here, list) if isinstance(step, int) else isinstance(here, dict)
        if not there or (step not in here if isinstance(step, str) else step >= len(here)):
            known = ", ".join(map(str, here)) if isinstance(here, dict) else "the message as it is"
            raise InputError(field, path, f"{step} is not in the message", known[:200] or EXAMPLE)
        here = here[step]
    return here
