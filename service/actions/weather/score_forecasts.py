"""What kept forecasts of a place were off, once it is known what came."""

from collections.abc import Sequence
from dataclasses import asdict, dataclass
from datetime import UTC, datetime, timedelta

import numpy as np
from sqlmodel import Session

from models.air import score, spread
from models.air.series import ANALYSED, HOUR, AirSeries
from models.facts.forecast import PAST_SD_K, SITE_SD_K
from models.records import Place, WeatherRun
from models.units import Array
from service.actions.weather import place_air
from service.actions.weather.known_air import outdoor_readings
from service.queries import weather_runs
from service.queries.places import with_coordinates
from service.queries.rows import find
from service.store import Store

WINDOW = timedelta(days=60)
NEAR_H = 6.0  # foretold so shortly before, an hour may stand for what came, OWN_JUDGEMENT
APART_H = 6.0  # and is compared with what was said so much earlier, not with itself
LONGEST_LEAD_H = score.CLASSES_H[-1][1]
EPOCH = datetime(1970, 1, 1, tzinfo=UTC)


def score_all(store: Store, now: datetime) -> None:
    """The daily round: every place that has coordinates."""
    with store.reading() as session:
        place_ids = with_coordinates(session)
    for place_id in place_ids:
        score_place(store, now, place_id)


def score_place(store: Store, now: datetime, place_id: int) -> None:
    """One run a day of the newest service against what later runs had seen, and readings.

    Handed the store, since no transaction may be open while it calculates. Runs from before
    the place was told to forget do not count.
    """
    with store.reading() as session:
        place = find(session, Place, place_id, "place_id")
        since = max(now - WINDOW, place.forgotten_at or EPOCH)
        runs = [place_air.air_of(run) for run in _one_a_day(session, place_id, since, now)]
        folded = weather_runs.fold_of(session, place_id)
        past_air = None if folded is None else place_air.air_of(folded)
        readings = outdoor_readings(session, place, since, now)
    calibrated = score.scores(_misses(runs, readings, past_air))
    with store.unit_of_work() as session:
        stored = find(session, Place, place_id, "place_id")
        if stored.forgotten_at != place.forgotten_at:
            return
        stored.learned_forecast = [asdict(one) for one in calibrated] or None
        session.add(stored)


def _one_a_day(
    session: Session, place_id: int, since: datetime, now: datetime
) -> Sequence[WeatherRun]:
    """Runs of the service that spoke last, oldest first."""
    heads = weather_runs.fetched_between(session, place_id, since, now)
    same = [head[:3] for head in heads if head[3] == heads[-1][3]]
    return weather_runs.by_ids(session, place_air.one_a_day(same))


@dataclass(frozen=True)
class _Came:
    """What came at each hour (hours,): air [degC], its doubt beside what was stated [K], and how
    long ahead it was said [h], negative where it was seen or read."""

    air_C: Array
    read_sd_K: Array
    sd_K: Array
    lead_h: Array


def _misses(
    runs: Sequence[AirSeries],
    readings: Sequence[tuple[datetime, float]],
    past_air: AirSeries | None,
) -> score.Misses:
    """Every run on the whole hours ahead of it of which it is known what came."""
    nothing = np.empty(0)
    if not runs:
        return score.Misses(nothing, nothing, nothing, nothing)
    start = min(run.start for run in runs)
    hours = max(round((run.end - start) / HOUR) for run in runs) + 1
    came = _what_came(runs, readings, past_air, start, hours)
    parts = [_of_run(run, came, round((run.start - start) / HOUR)) for run in runs]
    lead, error, stated, sd, row = (np.concatenate(columns) for columns in zip(*parts, strict=True))
    return score.Misses(lead, error, stated, (row + (start - EPOCH) / HOUR) // 24, sd)


def _what_came(
    runs: Sequence[AirSeries],
    readings: Sequence[tuple[datetime, float]],
    past_air: AirSeries | None,
    start: datetime,
    hours: int,
) -> _Came:
    """Air of each hour as the newest run had seen it, else as it was read, else as it was
    foretold just before: services that tell no past are held against that, with its doubt."""
    air, read = np.full(hours, np.nan), np.zeros(hours)
    sd, lead = np.full(hours, PAST_SD_K), np.full(hours, ANALYSED)
    for run in runs:
        first = round((run.start - start) / HOUR)
        observed = (run.leads() < 0) & np.isfinite(run.air_C)
        air[first : first + run.hours][observed] = run.air_C[observed]
    for at, value in readings:
        row = round((at - start) / HOUR)
        if 0 <= row < hours and np.isnan(air[row]):
            air[row], read[row] = value, SITE_SD_K
    if past_air is not None:
        at_row = round((past_air.start - start) / HOUR) + np.arange(past_air.hours)
        usable = (at_row >= 0) & (at_row < hours) & np.isfinite(past_air.air_C)
        usable &= past_air.leads() < NEAR_H
        usable[usable] &= np.isnan(air[at_row[usable]])
        at_row, ahead = at_row[usable], np.maximum(past_air.leads()[usable], 0.0)
        air[at_row], lead[at_row] = past_air.air_C[usable], past_air.leads()[usable]
        sd[at_row] = spread.lead_sd(ahead, np.zeros(len(ahead), dtype=bool), past_air.air_C[usable])
    return _Came(air, read, sd, lead)


def _of_run(run: AirSeries, came: _Came, first: int) -> tuple[Array, ...]:
    """Lead, error, stated spread, doubt of what came, row of the hours ahead, where it is known."""
    rows = slice(first, first + run.hours)
    lead = run.leads()
    table = spread.lead_sd(lead, np.zeros(run.hours, dtype=bool), run.air_C)
    stated = np.hypot(spread.stated_sd(run, lead, table), came.read_sd_K[rows])
    error = run.air_C - came.air_C[rows]
    ok = (lead >= 0) & (lead < LONGEST_LEAD_H) & np.isfinite(error)
    ok &= (came.lead_h[rows] < 0) | (lead >= came.lead_h[rows] + APART_H)
    row = first + np.flatnonzero(ok).astype(float)
    return lead[ok], error[ok], stated[ok], came.sd_K[rows][ok], row
