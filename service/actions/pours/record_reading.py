"""A temperature was read, a witness tile weighed, a set seen, a taped film looked at."""

from datetime import datetime

from sqlmodel import Session

from models.errors import InputError, renamed
from models.instants import not_ahead, not_before_the_pour
from models.records import Mix, Place, Pour, Reading
from models.records.reading import AIR_KINDS, ReadingBase
from models.simulation.scenario import (
    HUMIDITY_PCT,
    READING_KINDS,
    SET_KINDS,
    TEMPERATURE_KINDS,
    TILE_G,
)
from service.actions.shop import calibrate, jobs
from service.actions.windows import scenario_rows
from service.nouns.reading import ReadingCreate
from service.queries.rows import find


def record_reading(session: Session, now: datetime, pour_id: int, wanted: ReadingCreate) -> Reading:
    """The reading, checked and stored; one of the air counts for every pour of the place.

    air-min-max : the low in value_C, the high in value_max_C, over the span_h hours before `at`
    initial-set, final-set, film-wet, film-dry, corner-sound, corner-frosted : seen; no value
    tile : the mass of the witness tile in mass_g, of no other kind
    humidity : relative humidity of the air in rh_pct, of no other kind
    """
    _has_what_its_kind_needs(wanted)
    pour, at = find(session, Pour, pour_id, "pour_id"), wanted.at or now
    not_ahead("at", at, now)
    not_before_the_pour("at", at, pour.placed_at)
    reading = reading_of(now, pour, wanted, at)
    session.add(reading)
    session.flush()
    _due(session, now, pour, reading.kind)
    return reading


def reading_of(now: datetime, pour: Pour, wanted: ReadingCreate, at: datetime) -> Reading:
    """The row, checked, not yet stored."""
    _has_what_its_kind_needs(wanted)
    reading = Reading(
        created_at=now,
        pour_id=pour.id,
        place_id=pour.place_id,
        at=at,
        value_C=wanted.value_C or 0.0,
        **{name: getattr(wanted, name) for name in ReadingBase.model_fields},
    )
    _checked(reading)
    return reading


def _has_what_its_kind_needs(wanted: ReadingCreate) -> None:
    """A temperature, a mass, a humidity, or nothing: each kind has its own and no other."""
    kind, value = wanted.kind, wanted.value_C
    if kind in READING_KINDS and kind not in TEMPERATURE_KINDS and value is not None:
        raise InputError("value_C", value, f"{kind} has no temperature", "leave it out")
    if kind in TEMPERATURE_KINDS and value is None:
        raise InputError("value_C", None, "a reading of this kind has a value", "-50 to 95 degC")
    if (kind == "tile") != (wanted.mass_g is not None):
        wrong = "a tile is weighed" if kind == "tile" else "only a tile is weighed"
        allowed = "{:g} to {:g} g for a tile, else nothing".format(*TILE_G)
        raise InputError("mass_g", wanted.mass_g, wrong, allowed)
    if (kind == "humidity") != (wanted.rh_pct is not None):
        untold = wanted.rh_pct is None
        wrong = "humidity is told in percent" if untold else "only of a humidity reading"
        allowed = "{:g} to {:g} % for humidity, else nothing".format(*HUMIDITY_PCT)
        raise InputError("rh_pct", wanted.rh_pct, wrong, allowed)


def mark_reading(session: Session, now: datetime, reading_id: int, *, wrong: bool) -> Reading:
    """Its instrument was wrong, or was not after all: the reading is kept either way."""
    reading = find(session, Reading, reading_id, "reading_id")
    reading.wrong = wrong
    session.add(reading)
    session.flush()
    reading_changed(session, now, reading)
    return reading


def remove_reading(session: Session, now: datetime, reading_id: int) -> None:
    """It was logged by mistake."""
    reading = find(session, Reading, reading_id, "reading_id")
    session.delete(reading)
    session.flush()
    reading_changed(session, now, reading)


def reading_changed(session: Session, now: datetime, reading: Reading) -> None:
    """What was learned from it is learned anew, and the windows are asked again."""
    pour = find(session, Pour, reading.pour_id, "pour_id")
    if reading.kind in SET_KINDS:
        calibrate.calibrate_again(find(session, Mix, pour.mix_id, "mix_id"))
    elif reading.kind in TEMPERATURE_KINDS:
        calibrate.calibrate_again(find(session, Place, pour.place_id, "place_id"))
    _due(session, now, pour, reading.kind)


def _checked(reading: Reading) -> None:
    value = {"tile": "mass_g", "humidity": "rh_pct"}.get(reading.kind, "value_C")
    with renamed({"value": value, "value_max": "value_max_C"}):
        scenario_rows.observation_of(reading)


def _due(session: Session, now: datetime, pour: Pour, kind: str) -> None:
    if kind in AIR_KINDS:
        jobs.projections_due_at(session, now, pour.place_id)
    else:
        jobs.windows_due(session, now, pour)
