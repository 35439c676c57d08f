"""Two pours beside each other: what differs of what shows, and from when to judge it."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta

from sqlmodel import Session

from models.errors import InputError
from models.facts.amounts import (
    COLOUR_JUDGED_D,
    COLOUR_STRIPPED_APART_H,
    COLOUR_WARMTH_APART_K,
    COLOUR_WATER_APART,
)
from models.simulation.batched import with_batches
from service.actions.windows import scenario_rows
from service.queries.pours import PourRows, load_pour, placed_before
from service.queries.rows import NoSuchRow

FIRST_DAYS = timedelta(days=7)  # whose covers the face remembers
Fact = float | str | None


@dataclass(frozen=True)
class Beside:
    """One fact of both pours; `differs`: by more than shows. `dimension` of a number."""

    what: str
    then: Fact
    now: Fact
    differs: bool
    dimension: str = ""


@dataclass(frozen=True)
class Likeness:
    """A pour beside one before it; colours are not judged before `judge_from`."""

    pour_id: int
    other_id: int
    piece: str
    other: str
    placed_at: datetime
    other_placed_at: datetime
    facts: tuple[Beside, ...]
    judge_from: datetime

    @property
    def unlike(self) -> tuple[Beside, ...]:
        return tuple(one for one in self.facts if one.differs)


def likeness(session: Session, pour_id: int, other_id: int | None = None) -> Likeness:
    """Beside another pour; None: the last one of the same piece before it.

    Raises NoSuchRow where there is none.
    """
    rows = load_pour(session, pour_id)
    before = placed_before(session, rows.pour) if other_id is None else None
    if other_id is None and before is None:
        allowed = "the key of another pour"
        raise NoSuchRow("other_id", None, "no pour of this piece was before it", allowed)
    key = other_id if before is None else before.id
    assert key is not None
    if key == pour_id:
        raise InputError("other_id", key, "the same pour", "the key of another pour")
    other = load_pour(session, key)
    later = max(rows.pour.placed_at, other.pour.placed_at)
    return Likeness(
        pour_id,
        key,
        rows.label,
        other.label,
        rows.pour.placed_at,
        other.pour.placed_at,
        tuple(_facts(session, other, rows)),
        later + timedelta(days=COLOUR_JUDGED_D),
    )


def _facts(session: Session, then: PourRows, now: PourRows) -> Iterator[Beside]:
    both = (then, now)

    def numbers(what: str, dimension: str, apart: float, values: list[float | None]) -> Beside:
        first, second = values
        known = first is not None and second is not None
        differs = abs(first - second) > apart if known else first != second  # type: ignore[operator]
        return Beside(what, first, second, differs, dimension)

    def words(what: str, values: list[str]) -> Beside:
        return Beside(what, values[0], values[1], values[0] != values[1])

    yield words("mix", [rows.mix.name for rows in both])
    yield numbers(
        "water_cement", "ratio", COLOUR_WATER_APART, [_water(session, rows) for rows in both]
    )
    yield words("lots", [_lots(rows) for rows in both])
    yield numbers(
        "concrete_C",
        "temperature_C",
        COLOUR_WARMTH_APART_K,
        [rows.pour.concrete_C for rows in both],
    )
    yield words("mould", [rows.mould.name if rows.mould else "" for rows in both])
    yield words("mould_face", [rows.mould.material if rows.mould else "" for rows in both])
    yield words("cover", [_covers(rows) for rows in both])
    yield words("place", [rows.place.name for rows in both])
    yield numbers(
        "stripped_after_h",
        "time_h",
        COLOUR_STRIPPED_APART_H,
        [_stripped_h(rows) for rows in both],
    )


def _water(session: Session, rows: PourRows) -> float | None:
    """Of what is in it: by its batches where they tell it, with what was added."""
    try:
        scenario = scenario_rows.planned(session, rows.pour)
        batches = [scenario_rows.batch_of(one) for one in rows.batches]
        return round(with_batches(scenario, batches).water_cement, 3)
    except InputError:
        return None


def _lots(rows: PourRows) -> str:
    return ", ".join(f"{p['kind']} {p['lot']}" for p in rows.mix.recipe if p.get("lot"))


def _covers(rows: PourRows) -> str:
    until = rows.pour.placed_at + FIRST_DAYS
    kinds = (one.kind for one in rows.protections if one.from_at < until)
    return ", ".join(dict.fromkeys(kinds))


def _stripped_h(rows: PourRows) -> float | None:
    at = next((one.at for one in rows.done if one.step == "strip"), None)
    return None if at is None else round((at - rows.pour.placed_at) / timedelta(hours=1), 1)
