"""Is this the unit that was meant? What people and instruments tell, before it is stored."""

from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime
from typing import Any

from sqlmodel import Session

from models import doubt
from models.air.series import AirSeries
from models.doubt import Doubt, Expected
from models.errors import Doubtful, Unknown
from models.records import Place, Pour, Reading
from models.simulation.scenario import TEMPERATURE_KINDS
from service import region
from service.actions.weather import place_air
from service.actions.windows import scenario_rows
from service.nouns.form import Form
from service.queries import weather_runs
from service.queries.pours import tile_before
from service.queries.rows import find

Doubts = list[Doubt | None]
MEASURES = ("length_mm", "width_mm", "thickness_mm", "height_mm", "wall_mm")
NIGHT = ("night_low_C", "day_high_C")
READ = ("value_C", "value_max_C")
MOST_HELD = 64  # places and days whose weather is held in the process
_held: dict[tuple[object, ...], AirSeries | Unknown] = {}
PLACED = {"concrete_C": "placed", "bag_C": "room", "board_C": "room"}


def ask(doubts: Iterable[Doubt | None], confirmed: bool) -> None:
    """Raise Doubtful unless nothing is doubtful or it was confirmed."""
    found = [one for one in doubts if one is not None]
    if found and not confirmed:
        raise Doubtful(found)


def of_night(
    session: Session,
    now: datetime,
    place_id: int,
    values: Mapping[str, Any],
    form: Form | None = None,
) -> Doubts:
    """Tonight's low and tomorrow's high as typed; without a form the keys name the unit."""
    place = find(session, Place, place_id, "place_id")
    expected = [one.of("typed") for one in _expected(session, now, place, now)]
    return [
        doubt.warmth(
            name,
            values[name],
            expected,
            typed_F=form is not None and name in form.typed_F,
            named=form is None or name in form.with_unit,
        )
        for name in NIGHT
        if values.get(name) is not None
    ]


def of_reading(
    session: Session,
    now: datetime,
    pour_id: int,
    kind: str,
    values: Mapping[str, Any],
    form: Form | None = None,
) -> Doubts:
    """Temperatures that were read; `values` has value_C, value_max_C and at."""
    if kind not in TEMPERATURE_KINDS:
        return []
    place_id = find(session, Pour, pour_id, "pour_id").place_id
    return _measured(session, now, place_id, values["at"], dict.fromkeys(READ, kind), values, form)


def of_typed(
    session: Session,
    now: datetime,
    pour_id: int,
    values: Mapping[str, Any],
    form: Form,
    before: int,
) -> Doubts:
    """What somebody types of a reading; `before` is its own key, so that it is no witness."""
    kind = values["kind"]
    if kind == "humidity":
        return [doubt.humidity("rh_pct", values["rh_pct"])]
    if kind == "tile":
        last_g = tile_before(session, pour_id, values["at"], before)
        return [] if last_g is None else [doubt.tile("mass_g", values["mass_g"], last_g)]
    return of_reading(session, now, pour_id, kind, values, form)


def of_pour(
    session: Session,
    now: datetime,
    place_id: int,
    at: datetime,
    values: Mapping[str, Any],
    form: Form | None = None,
) -> Doubts:
    """Concrete, bags and board of a pour."""
    return _measured(session, now, place_id, at, PLACED, values, form)


def of_piece(values: Mapping[str, Any], prefix: str = "") -> Doubts:
    """The measures of a piece."""
    return [
        doubt.length(prefix + name, values[name])
        for name in MEASURES
        if values.get(name) is not None
    ]


def _measured(
    session: Session,
    now: datetime,
    place_id: int,
    at: datetime,
    kinds: Mapping[str, str],
    values: Mapping[str, Any],
    form: Form | None,
) -> Doubts:
    """What an instrument showed in each field, of its kind."""
    fields = [name for name in kinds if values.get(name) is not None]
    if not fields:
        return []
    place = find(session, Place, place_id, "place_id")
    site, expected = scenario_rows.site_of(place), _expected(session, now, place, at)
    return [
        doubt.warmth(
            name,
            values[name],
            [one.of(kinds[name], site) for one in expected],
            measured=True,
            typed_F=form is not None and name in form.typed_F,
        )
        for name in fields
    ]


def of_rows(session: Session, now: datetime, place_id: int, rows: Sequence[Reading]) -> Doubts:
    """The doubt of each reading of a place, by one look at its weather."""
    felt = [row.at for row in rows if row.kind in TEMPERATURE_KINDS]
    if not felt:
        return [None] * len(rows)
    place = find(session, Place, place_id, "place_id")
    site, air = scenario_rows.site_of(place), _lately(session, now, place, min(felt))
    return [
        doubt.warmth(
            "value_C",
            row.value_C,
            [one.of(row.kind, site) for one in _against(place, row.at, air)],
            measured=True,
        )
        if row.kind in TEMPERATURE_KINDS
        else None
        for row in rows
    ]


def _expected(session: Session, now: datetime, place: Place, at: datetime) -> tuple[Expected, ...]:
    return _against(place, at, _air(session, now, place, at))


def _air(session: Session, now: datetime, place: Place, at: datetime) -> AirSeries | Unknown:
    since = min(now, at) - scenario_rows.BEFORE_PLACING
    return place_air.joined(session, place, now, since).air


def _lately(session: Session, now: datetime, place: Place, at: datetime) -> AirSeries | Unknown:
    """The same as it stood at some hour of the day, unless something new was fetched: putting it
    together is a third of what an instrument's reading costs."""
    since = min(now, at) - scenario_rows.BEFORE_PLACING
    newest = weather_runs.newest(session, place.id)
    key = (str(session.get_bind().engine.url), place.id, now.date(), since.date(), newest)
    found = _held.get(key)
    if found is None:
        begin = since.replace(hour=0, minute=0, second=0, microsecond=0)
        found = _held[key] = place_air.joined(session, place, now, begin).air
        for old in list(_held)[:-MOST_HELD]:
            _held.pop(old, None)
    return found


def _against(place: Place, at: datetime, air: AirSeries | Unknown) -> tuple[Expected, ...]:
    position = region.position_of(place.latitude, place.longitude, place.timezone)
    if isinstance(air, AirSeries) and air.typed:  # no witness for what a person types
        return doubt.expected(at, position)
    return doubt.expected(at, position, air)
