"""What kept forecasts of a place were off, once it is known what came."""

from collections.abc import Sequence
from dataclasses import asdict
from datetime import UTC, datetime, timedelta

import numpy as np
from sqlalchemy.orm import defer
from sqlmodel import Session, col, select

from models.air import score, spread
from models.air.members import SITE_SD_K
from models.air.series import HOUR, AirSeries
from models.records import Place, Reading, WeatherRun
from models.units import Array
from service.actions import _air
from service.actions._rows import find
from service.store import Store

LOOK_BACK = timedelta(days=60)
OUTDOORS = ("open yard", "covered")  # elsewhere a reading tells of the room
LONGEST_LEAD_H = score.CLASSES_H[-1][1]
EPOCH = datetime(1970, 1, 1, tzinfo=UTC)


def score_all(store: Store, now: datetime) -> None:
    """The daily round: every place that has coordinates."""
    with store.reading() as session:
        places = session.exec(select(Place.id).where(col(Place.latitude).is_not(None))).all()
    for place_id in places:
        score_place(store, now, place_id)


def score_place(store: Store, now: datetime, place_id: int) -> None:
    """One run a day of the newest service against what later runs had seen, and readings.

    Handed the store, since no transaction may be open while it calculates. Runs from before
    the place was told to forget do not count.
    """
    with store.reading() as session:
        place = find(session, Place, place_id, "place_id")
        since = max(now - LOOK_BACK, place.forgotten_at or EPOCH)
        runs = [_air.air_of(run) for run in _one_a_day(session, place_id, since, now)]
        readings = _outdoor_readings(session, place, since, now)
    learned = score.scores(_misses(runs, readings))
    with store.unit_of_work() as session:
        kept = find(session, Place, place_id, "place_id")
        if kept.forgotten_at != place.forgotten_at:
            return
        kept.learned_forecast = [asdict(one) for one in learned] or None
        session.add(kept)


def _one_a_day(
    session: Session, place_id: int, since: datetime, now: datetime
) -> Sequence[WeatherRun]:
    """Runs of the service that spoke last, oldest first."""
    heads = session.exec(
        select(WeatherRun.id, WeatherRun.place_id, WeatherRun.fetched_at, WeatherRun.provider)
        .where(
            WeatherRun.place_id == place_id,
            col(WeatherRun.typed).is_(False),
            WeatherRun.fetched_at > since,
            WeatherRun.fetched_at <= now,
        )
        .order_by(col(WeatherRun.fetched_at), col(WeatherRun.id))
    ).all()
    same = [head[:3] for head in heads if head[3] == heads[-1][3]]
    chosen = _air.one_a_day(same)
    return session.exec(
        select(WeatherRun)
        .where(col(WeatherRun.id).in_(chosen))
        .options(defer(WeatherRun.ensemble))  # type: ignore[arg-type]
        .order_by(col(WeatherRun.fetched_at), col(WeatherRun.id))
    ).all()


def _outdoor_readings(
    session: Session, place: Place, since: datetime, now: datetime
) -> list[tuple[datetime, float]]:
    """Instants and temperatures of the air outdoors, the place's own excess taken off."""
    if place.kind not in OUTDOORS:
        return []
    over = place.offset_K if place.offset_K is not None else place.learned_offset_K or 0.0
    rows = session.exec(
        select(Reading.at, Reading.value_C).where(
            Reading.place_id == place.id, Reading.kind == "air",
            Reading.created_at > since, Reading.at > since, Reading.at <= now,
        )
    ).all()  # fmt: skip
    return [(at, value - over) for at, value in rows]


def _misses(runs: Sequence[AirSeries], readings: Sequence[tuple[datetime, float]]) -> score.Misses:
    """Every run on the whole hours ahead of it of which it is known what came."""
    nothing = np.empty(0)
    if not runs:
        return score.Misses(nothing, nothing, nothing, nothing)
    start = min(run.start for run in runs)
    hours = max(round((run.end - start) / HOUR) for run in runs) + 1
    came, by_reading = _what_came(runs, readings, start, hours)
    parts = [_of_run(run, came, by_reading, round((run.start - start) / HOUR)) for run in runs]
    lead, error, stated, row = (np.concatenate(columns) for columns in zip(*parts, strict=True))
    return score.Misses(lead, error, stated, (row + (start - EPOCH) / HOUR) // 24)


def _what_came(
    runs: Sequence[AirSeries], readings: Sequence[tuple[datetime, float]], start: datetime,
    hours: int,
) -> tuple[Array, Array]:  # fmt: skip
    """Air of each hour as the newest run had seen it, else as it was read; and which were read."""
    came = np.full(hours, np.nan)
    for run in runs:
        first = round((run.start - start) / HOUR)
        seen = np.arange(run.hours) < run.hour_of(run.issued_at)
        seen &= np.isfinite(run.air_C)
        came[first : first + run.hours][seen] = run.air_C[seen]
    read = np.zeros(hours)
    for at, value in readings:
        row = round((at - start) / HOUR)
        if 0 <= row < hours and np.isnan(came[row]):
            came[row], read[row] = value, 1.0
    return came, read


def _of_run(run: AirSeries, came: Array, read: Array, first: int) -> tuple[Array, ...]:
    """Lead, error, stated spread and row of the hours ahead of one run, where it is known."""
    rows = slice(first, first + run.hours)
    lead = np.arange(float(run.hours)) - run.hour_of(run.issued_at)
    table = spread.lead_sd(lead, np.zeros(run.hours, dtype=bool))
    stated = np.hypot(spread.told_sd(run, lead, table), SITE_SD_K * read[rows])
    error = run.air_C - came[rows]
    ok = (lead >= 0) & (lead < LONGEST_LEAD_H) & np.isfinite(error)
    return lead[ok], error[ok], stated[ok], first + np.flatnonzero(ok).astype(float)
