"""What readings teach of a place and results of a mix, for the next pour; and how to forget it."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime, timedelta

import numpy as np
from sqlalchemy import ColumnElement
from sqlmodel import Session, col

from models.air import calibrated_place, place
from models.air.calibrated_place import CalibratedPlace, MinMax
from models.air.series import AirSeries
from models.concrete.calibrated_mix import calibrate
from models.concrete.mixture import Mixture
from models.errors import InputError, Unknown
from models.records import Mix, Place, Pour, Reading
from models.simulation import residuals
from models.simulation.scenario import Scenario
from service.actions.shop import jobs
from service.actions.weather import place_air
from service.actions.windows import scenario_rows
from service.queries import calibration
from service.queries.calibration import ALWAYS
from service.queries.pours import active_where
from service.queries.rows import by_name, find
from service.store import Store

WINDOW = timedelta(days=45)
SPIN_UP = timedelta(hours=72)
MOST_READINGS = 60
MOST_POURS = 8
PLACE_NUMBERS = ("lag_h", "lag_spread", "offset_K", "offset_sd_K")
MIX_NUMBERS = ("strength_factor", "strength_sd", "set_factor", "set_sd")


def calibrate_from_pours(store: Store, now: datetime, pour_ids: Sequence[int]) -> None:
    """Learn of the places and the mixes of pours when there is anything new about them."""
    with store.reading() as session:
        pours = [find(session, Pour, pour_id, "pour_id") for pour_id in pour_ids]
        of_place = [
            key
            for key in dict.fromkeys(pour.place_id for pour in pours)
            if _has_news(session, now, find(session, Place, key, "place_id"))
        ]
        of_mix = [
            key
            for key in dict.fromkeys(pour.mix_id for pour in pours)
            if _has_news(session, now, find(session, Mix, key, "mix_id"))
        ]
    for place_id in of_place:
        calibrate_place(store, now, place_id)
    for mix_id in of_mix:
        calibrate_mix(store, now, mix_id)


def calibrate_all(store: Store, now: datetime) -> None:
    """The daily round: every place and mix with anything new, or with nothing learned so far."""
    with store.reading() as session:
        places = [row.id for row in by_name(session, Place) if _has_news(session, now, row, True)]
        mixes = [row.id for row in by_name(session, Mix) if _has_news(session, now, row, True)]
    for place_id in places:
        calibrate_place(store, now, place_id)
    for mix_id in mixes:
        calibrate_mix(store, now, mix_id)


def calibrate_place(store: Store, now: datetime, place_id: int) -> None:
    """Lag and offset of a place from the readings of its air, or its offset alone outdoors.

    Handed the store, since no transaction may be open while it calculates. Where the readings
    of the last weeks say too little, what was learned before stays.
    """
    with store.reading() as session:
        row = find(session, Place, place_id, "place_id")
        readings = calibration.readings_between(session, row, now - WINDOW, now, MOST_READINGS)
        ever = calibration.has_reading(session, row)
        weather = None
        if readings and row.kind != "heated room":
            begin = min(r.at - timedelta(hours=r.span_h) for r in readings) - SPIN_UP
            weather = place_air.joined(session, row, now, begin)
    calibrated = None
    if weather is not None:
        calibrated = _fitted(row, weather.air, readings)
    with store.unit_of_work() as session:
        stored = find(session, Place, place_id, "place_id")
        if stored.forgotten_at != row.forgotten_at:
            return
        stored.learned_at = now
        if calibrated is not None or not ever:
            _write(stored, PLACE_NUMBERS, calibrated, calibrated.readings if calibrated else 0)
        stored.learned_from_count = stored.learned_from_count or 0
        session.add(stored)


def calibrate_mix(store: Store, now: datetime, mix_id: int) -> None:
    """How strong and how late a mix is by the cubes and seen sets of its newest pours.

    Handed the store, since no transaction may be open while it calculates. Each pour is
    foreseen by the label alone, as if none of its results were known.
    """
    with store.reading() as session:
        mix = find(session, Mix, mix_id, "mix_id")
        plain = scenario_rows.mixture_of(mix)
        pours = calibration.newest_pours(session, mix, MOST_POURS)
        gathered = [_gathered(session, now, pour_id) for pour_id in pours]
    found = [
        residuals.of(replace(one.scenario, mixture=_unlearned(one.scenario)), one.air, now)
        for one in gathered
        if one
    ]
    strength = [one.strength for one in found if one.strength is not None]
    setting = [one.setting for one in found if one.setting is not None]
    calibrated = calibrate(strength, setting, labelled=bool(plain.label))
    with store.unit_of_work() as session:
        stored = find(session, Mix, mix_id, "mix_id")
        if stored.forgotten_at != mix.forgotten_at:
            return
        stored.learned_at = now
        _write(stored, MIX_NUMBERS, calibrated if calibrated.results else None, calibrated.results)
        session.add(stored)


def still_to_read(session: Session, now: datetime, row: Place) -> Unknown | None:
    """What a place lacks to be learned, with how many readings more; None where it has enough."""
    least = calibrated_place.LEAST_READINGS
    readings = calibration.readings_between(session, row, now - WINDOW, now, least)
    return calibrated_place.too_few(len(readings)) if len(readings) < least else None


def forget_place(session: Session, now: datetime, place_id: int) -> Place:
    """Nothing learned stands; readings noticed from now on teach anew. Its pours go back too."""
    row = find(session, Place, place_id, "place_id")
    row.learned_forecast = None
    _forget(session, now, row, PLACE_NUMBERS, col(Pour.place_id) == place_id)
    return row


def forget_mix(
    session: Session, now: datetime, mix_id: int, pours: ColumnElement[bool] | None = None
) -> Mix:
    """Nothing learned stands; pours placed from now on teach anew. Its pours go back too, or
    those of which `pours` holds."""
    row = find(session, Mix, mix_id, "mix_id")
    _forget(session, now, row, MIX_NUMBERS, col(Pour.mix_id) == mix_id if pours is None else pours)
    return row


def calibrate_again(row: Place | Mix) -> None:
    """What it was learned from was taken back: learn anew at the next occasion."""
    if row.learned_at is not None:
        row.learned_at = None


def _forget(
    session: Session,
    now: datetime,
    row: Place | Mix,
    numbers: Sequence[str],
    pours: ColumnElement[bool],
) -> None:
    _write(row, numbers, None, None)
    row.learned_at, row.forgotten_at = None, now
    session.add(row)
    for pour in active_where(session, pours):
        left = {k: v for k, v in (pour.learned or {}).items() if k not in numbers}
        if left != (pour.learned or {}):
            pour.learned = left or None
            session.add(pour)
            jobs.projection_due(session, now, pour.id)


def _write(row: Place | Mix, numbers: Sequence[str], calibrated: object, count: int | None) -> None:
    for name in numbers:
        setattr(row, f"learned_{name}", getattr(calibrated, name, None))
    row.learned_from_count = count


def _fitted(
    row: Place, air: AirSeries | Unknown, readings: Sequence[Reading]
) -> CalibratedPlace | None:
    """None where fewer than two readings count, or the weather is a person's guess."""
    if isinstance(air, Unknown) or air.typed:
        return None
    series, _ = air.bridged()
    outdoor, best = series.air_C, None
    known = np.isfinite(outdoor)
    edges = np.flatnonzero(np.diff(np.concatenate(([False], known, [False])).astype(np.int8)))
    before = calibrated_place.prior(row.kind, row.lag_h, row.offset_K)
    for begin, end in zip(edges[::2], edges[1::2], strict=True):
        points = [_point(one, series.hour_of(one.at) - begin) for one in readings]
        got = calibrated_place.fit_room(outdoor[begin:end], points, before)
        if isinstance(got, CalibratedPlace) and (best is None or got.readings > best.readings):
            best = got
    if best is None or not place.OFFSETS_K[0] <= best.offset_K <= place.OFFSETS_K[1]:
        return None
    return best


def _point(reading: Reading, hour: float) -> tuple[float, float] | MinMax:
    if reading.value_max_C is None:
        return hour, reading.value_C
    return MinMax(hour, reading.value_C, reading.value_max_C, reading.span_h)


def _has_news(session: Session, now: datetime, row: Place | Mix, again: bool = False) -> bool:
    """Something new since it was last looked at; `again`: or nothing usable was found then."""
    if row.learned_at is None and row.learned_from_count:
        return True
    unused = again and not row.learned_from_count
    looked = row.learned_at
    since = ALWAYS if looked is None or looked > now or unused else looked
    if isinstance(row, Place):
        return calibration.has_reading(session, row, since)
    return calibration.has_result(session, row, since)


def _unlearned(scenario: Scenario) -> Mixture:
    """The mix as it went into a pour, its water by the bucket too, without what results taught."""
    return replace(scenario.mixture, strength_factor=1.0, set_factor=1.0)


def _gathered(session: Session, now: datetime, pour_id: int) -> scenario_rows.Gathered | None:
    """None for a pour whose rows do not fit together any more: it teaches nothing."""
    try:
        return scenario_rows.gather(session, now, pour_id)
    except InputError:
        return None
