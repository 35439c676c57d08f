"""Is this the unit that was meant? What people and instruments tell, before it is stored."""

from collections.abc import Container, Iterable, Mapping
from datetime import datetime
from typing import Any

from sqlmodel import Session

from models import doubt
from models.air.series import AirSeries
from models.doubt import Doubt, Expected
from models.errors import Doubtful
from models.records import Place, Pour
from models.simulation.scenario import TEMPERATURE_KINDS
from service import expected
from service.actions import _scenario, place_air
from service.queries.rows import find

MEASURES = ("length_mm", "width_mm", "thickness_mm", "height_mm", "wall_mm")
PLACED = (("concrete_C", "placed"), ("bag_C", "room"), ("board_C", "room"))


def ask(doubts: Iterable[Doubt | None], confirmed: bool) -> None:
    """Raise Doubtful unless nothing is doubtful or it was confirmed."""
    found = [one for one in doubts if one is not None]
    if found and not confirmed:
        raise Doubtful(found)


def of_night(
    session: Session,
    now: datetime,
    place_id: int,
    low_C: float | None,
    high_C: float | None,
    typed_F: Container[str] = (),
    named: Container[str] | None = None,
) -> list[Doubt | None]:
    """Tonight's low and tomorrow's high as they are typed.

    named : fields in which the unit was typed; None: the keys name it
    """
    held = [one.of("typed") for one in _held(session, now, place_id, now)]
    told = (("night_low_C", low_C), ("day_high_C", high_C))
    return [
        doubt.warmth(
            name, value, held, typed_F=name in typed_F, named=named is None or name in named
        )
        for name, value in told
        if value is not None
    ]


def of_reading(
    session: Session,
    now: datetime,
    pour_id: int,
    kind: str,
    told: Mapping[str, Any],
    typed_F: Container[str] = (),
) -> list[Doubt | None]:
    """Temperatures that were read; `told` has value_C, value_max_C and at."""
    if kind not in TEMPERATURE_KINDS:
        return []
    place_id = find(session, Pour, pour_id, "pour_id").place_id
    site = _scenario.site_of(find(session, Place, place_id, "place_id"))
    held = [one.of(kind, site) for one in _held(session, now, place_id, told["at"])]
    ends = (("value_C", told.get("value_C")), ("value_max_C", told.get("value_max_C")))
    return [
        doubt.warmth(name, value, held, measured=True, typed_F=name in typed_F)
        for name, value in ends
        if value is not None
    ]


def of_pour(
    session: Session,
    now: datetime,
    place_id: int,
    at: datetime,
    told: Mapping[str, Any],
    typed_F: Container[str] = (),
) -> list[Doubt | None]:
    """Concrete, bags and board of a pour."""
    if all(told.get(name) is None for name, _ in PLACED):
        return []
    site = _scenario.site_of(find(session, Place, place_id, "place_id"))
    held = _held(session, now, place_id, at)
    return [
        doubt.warmth(
            name,
            told[name],
            [one.of(kind, site) for one in held],
            measured=True,
            typed_F=name in typed_F,
        )
        for name, kind in PLACED
        if told.get(name) is not None
    ]


def of_piece(told: Mapping[str, Any], prefix: str = "") -> list[Doubt | None]:
    """The measures of a piece."""
    return [
        doubt.length(prefix + name, told[name]) for name in MEASURES if told.get(name) is not None
    ]


def _held(session: Session, now: datetime, place_id: int, at: datetime) -> tuple[Expected, ...]:
    place = find(session, Place, place_id, "place_id")
    air = place_air.joined(session, place, now, min(now, at) - _scenario.LOOK_BACK).air
    site = _scenario.site_of(place)
    if isinstance(air, AirSeries) and air.typed:  # no witness for what a person types
        return expected.season(site, at)
    return expected.around(site, air, at)
