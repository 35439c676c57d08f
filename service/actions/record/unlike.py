"""What two pours of one piece differ in: rows, weights, temperatures, covers."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta

from service.queries.poured import TABLES, copy_of
from service.queries.pours import PourRows

MEASURED = (
    "water_added_l",
    "concrete_C",
    "bags",
    "bag_C",
    "water_C",
    "board_C",
    "placing_h",
)
AT_ONCE = timedelta(hours=1)  # a cover laid by then was laid as it was poured
CHANGED = "changed"


@dataclass(frozen=True)
class Difference:
    """One field and what it was in each, in SI; None: not told, or none.

    Of a row of the shop its name; where one name stands for another row by now `changed`.
    """

    field: str
    before: str | float | None
    now: str | float | None


def differences(before: PourRows, now: PourRows) -> list[Difference]:
    """The first named first: what it is made of, then what was measured, then how it was kept."""
    pairs = [(noun, _name(before, noun), _name(now, noun)) for noun in TABLES]
    found = [Difference(*one) for one in pairs if one[1] != one[2]]
    found += [
        Difference(noun, name, CHANGED)
        for noun, name, same in pairs
        if name == same and _copy(before, noun) != _copy(now, noun)
    ]
    for name in MEASURED:
        was, is_now = getattr(before.pour, name), getattr(now.pour, name)
        if was != is_now:
            found.append(Difference(name, was, is_now))
    measures = [", ".join(sorted(rows.pour.measures)) or None for rows in (before, now)]
    covers = [", ".join(_covers(rows)) or None for rows in (before, now)]
    over = [", ".join(row.name for row in rows.then) or None for rows in (before, now)]
    for name, (was, is_now) in (("sealer_then", over), ("measures", measures), ("cover", covers)):
        if was != is_now:
            found.append(Difference(name, was, is_now))
    return found


def _name(rows: PourRows, noun: str) -> str | None:
    row = getattr(rows, noun)
    return None if row is None else str(row.name)


def _copy(rows: PourRows, noun: str) -> object:
    """Its row but for its price, which makes no piece another."""
    row = getattr(rows, noun)
    return None if row is None else {**copy_of(row), "price_l": None}


def _covers(rows: PourRows) -> Sequence[str]:
    laid = (row for row in rows.protections if row.from_at <= rows.pour.placed_at + AT_ONCE)
    return [f"{row.kind} ({row.faces})" if row.faces != "top" else row.kind for row in laid]
