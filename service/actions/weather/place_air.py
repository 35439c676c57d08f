"""AirSeries <-> WeatherRun, and the join of several runs into the air of one place."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import numpy as np
from sqlmodel import Session

from models.air import score, series
from models.air.ensemble import Ensemble
from models.air.score import LeadScore
from models.air.series import ANALYSED, BRIDGED_GAP_H, OBSERVED, AirSeries
from models.errors import Unknown
from models.message import Message
from models.records import Place, Reading, WeatherRun
from models.units import Array
from service.actions.weather import ensemble_rows
from service.queries import weather_runs
from service.queries.weather_runs import ARCHIVED, FORECAST, PAST
from service.weather import choose

COLUMNS = (
    "air_C",
    "dew_point_C",
    "wind_m_s",
    "rain_mm",
    "cloud_fraction",
    "shortwave_W_m2",
    "rain_chance",
    "spread_K",
    "lead_h",
)
SELDOM_GIVEN = ("spread_K", "lead_h")  # left out of a row where it has none
HOUR = timedelta(hours=1)
TYPED_YIELDS = timedelta(hours=24)  # a typed night gives way to a service's run not older than this
GUESSED_LEAD_H = (
    60.0  # where table of spread.py tells 2.1 K, as typed nights err (OWN_MEASURED_2013)
)
MEMBERS_COUNT = timedelta(hours=24)  # an ensemble older than this says nothing of a newer run
SAME_REFRESH = timedelta(minutes=1)  # answers of one refresh are kept within it
SPAN_DAYS = 3  # more than any reading of low and high spans
ALWAYS_TAKEN = 3  # newest runs, so that one may fill the other's gaps
NEXT_BACK = timedelta(hours=6)  # hours that no run saw may be told by one made so long before
# which of several accounts of one hour counts: the least of these, and then the newest
AHEAD, STATION, ANALYSIS, ARCHIVE, FORETOLD, GUESSED, NEVER = 0.0, 1e2, 2e2, 3e2, 1e3, 1e5, np.inf


@dataclass(frozen=True)
class Joined:
    """The air of a place, which run it mostly came from, and what is to be said about it."""

    air: AirSeries | Unknown
    run_id: int | None
    source: str
    issued_at: datetime | None
    warnings: tuple[Message, ...] = ()


def run_of(air: AirSeries, place_id: int, now: datetime, kind: str = FORECAST) -> WeatherRun:
    """A row that holds every hour of the series."""
    return WeatherRun(
        place_id=place_id,
        provider=air.source,
        kind=kind,
        typed=air.typed,
        issued_at=air.issued_at,
        fetched_at=now,
        start_at=air.start,
        hour_count=air.hours,
        hours={
            name: [float(v) if np.isfinite(v) else None for v in getattr(air, name)]
            for name in COLUMNS
            if name not in SELDOM_GIVEN or np.isfinite(getattr(air, name)).any()
        },
        ensemble=ensemble_rows.packed(air.ensemble) if air.ensemble else None,
        created_at=now,
    )


def air_of(run: WeatherRun) -> AirSeries:
    """The series a row holds."""
    columns: dict[str, Any] = {name: _column(run, name) for name in COLUMNS}
    columns["ensemble"] = run.ensemble and ensemble_rows.unpacked(run.ensemble, run.hour_count)
    return AirSeries(
        start=run.start_at,
        issued_at=run.issued_at,
        source=run.provider,
        typed=run.typed,
        **columns,
    )


def joined(
    session: Session,
    place: Place,
    now: datetime,
    begin: datetime,
    read: Sequence[Reading] = (),
    since: datetime | None = None,
) -> Joined:
    """The newest run of a place and, for hours it lacks, older ones; Unknown when there is none.

    read, since : where no run reaches back to then, what a maker read of the air tells its hours
    """
    ranked = _ranked(weather_runs.heads(session, place.id, now), now)
    if not ranked:
        return Joined(choose.nothing(place), None, "", None)
    lead = ranked[0]
    chosen = _chosen(session, ranked, begin)
    air = _merge(chosen, now)
    if air is None:
        return Joined(choose.too_old(place, lead, now), None, "", None)
    if since is not None and air.start > since:
        air = _merge([*chosen, *_of_readings(read, place)], now) or air
    if not lead.typed:
        air = score.corrected(air, forecast_scores(place))
    return Joined(air, lead.id, air.source, lead.issued_at, choose.age_messages(lead, now))


def _of_readings(read: Sequence[Reading], place: Place) -> list[WeatherRun]:
    """What low and high were read of the hours before a reading, as runs that were typed by then:
    a guess between the two for hours that no service told."""
    found = []
    for one in read:
        if one.wrong or one.kind != "air-min-max" or one.value_max_C is None:
            continue
        start = one.at - timedelta(hours=one.span_h)
        span = series.from_low_high(
            one.value_C, one.value_max_C, local_time(start, place.timezone), days=SPAN_DAYS
        )
        found.append(run_of(span.between(start, one.at), place.id, one.at))
    return found


def leading(runs: Sequence[WeatherRun], now: datetime) -> WeatherRun | None:
    """Of the newest runs of a place the one whose word counts for the hours to come."""
    ranked = _ranked(runs, now)
    return ranked[0] if ranked else None


def past_of(
    session: Session, place: Place, now: datetime, begin: datetime, *, always: bool = False
) -> WeatherRun | None:
    """One run of the hours from `begin` to now as services told them, with their leads.

    None where the newest run and the archive have seen all of it themselves; always : even then.
    """
    services = [run for run in weather_runs.heads(session, place.id, now) if not run.typed]
    if not services:
        return None
    chosen = _chosen(session, _ranked(services, now), begin)
    air = _merge(chosen, now)
    if air is None or now < air.start + HOUR:
        return None
    past = air.between(max(begin, air.start), now - HOUR)
    lasting = [chosen[0]] + [run for run in chosen if run.kind == ARCHIVED]
    forced = always or any(run.kind == PAST for run in chosen)
    if not forced and _cover_the_past(lasting, past, now):
        return None
    sources = list(dict.fromkeys(name for run in chosen for name in run.heard or [run.provider]))
    source = f"earlier runs of {'; '.join(sources)}"
    row = run_of(replace(past, issued_at=now, source=source), place.id, now, PAST)
    row.heard = sources
    return row


def _cover_the_past(runs: list[WeatherRun], past: AirSeries, now: datetime) -> bool:
    """Whether these have seen what is told of the past, but for hours that can be bridged."""
    alone = _merge(runs, now)
    if alone is None:
        return False
    for name in ("air_C", "dew_point_C"):
        values = getattr(alone, name)
        observed = np.flatnonzero(np.isfinite(values) & (alone.leads() < 0))
        row = observed + round((alone.start - past.start) / HOUR)
        lost = np.isfinite(getattr(past, name))
        lost[row[(row >= 0) & (row < past.hours)]] = False
        if int(lost.sum()) > BRIDGED_GAP_H:
            return False
    return True


def last_forecast(session: Session, place: Place, now: datetime) -> AirSeries | None:
    """The newest run of a service for the place's own coordinates, while it counts."""
    heads = weather_runs.heads(session, place.id, now)
    for run in _ranked([run for run in heads if not run.typed], now):
        own = run.kind == FORECAST and not run.moved
        if own and choose.grade(run.issued_at, now) != "none":
            return air_of(_chosen(session, [run], now)[0])
    return None


def _chosen(session: Session, ranked: list[WeatherRun], begin: datetime) -> list[WeatherRun]:
    chosen = _thinned(ranked, begin)
    weather_runs.fill_hours(session, chosen)
    return chosen


def forecast_scores(place: Place) -> list[LeadScore]:
    """What kept forecasts of a place have taught so far."""
    return [LeadScore(**one) for one in place.learned_forecast or ()]  # type: ignore[arg-type]


def by_hand(
    night_low_C: float, day_high_C: float, place: Place, now: datetime, days: int = 3
) -> AirSeries:
    """The air of the coming nights from two typed numbers."""
    return series.from_low_high(night_low_C, day_high_C, local_time(now, place.timezone), days=days)


def local_time(at: datetime, timezone: str) -> datetime:
    return at.astimezone(ZoneInfo(timezone))


def one_a_day(runs: Sequence[tuple[int, int, datetime]]) -> list[int]:
    """Of key, place and time of runs the key of one a day and place, at a clock hour that wanders.

    Kept always at one hour of the day, forecasts twelve hours ahead would all be of the night.
    """
    nearest: dict[tuple[int, object], tuple[float, int]] = {}
    for run_id, place_id, at in runs:
        wanted = at.date().toordinal() * 7 % 24
        off = (abs(at.hour + at.minute / 60 - wanted), -run_id)
        day = (place_id, at.date())
        nearest[day] = min(nearest.get(day, off), off)
    return [-key for _, key in nearest.values()]


def _ranked(heads: Sequence[WeatherRun], now: datetime) -> list[WeatherRun]:
    """Who leads, and who is heard after it: the freshest that counts, past records last.

    A service that was asked last leads while what it says is not a day old; then whatever was
    made or typed last.
    """
    past = [run for run in heads if run.kind != FORECAST]
    services = [run for run in heads if not run.typed and run.kind == FORECAST]
    typed = [run for run in heads if run.typed]
    services.sort(key=lambda run: _age_grade(run, now))
    if services and _age_grade(services[0], now) == 0:
        return services + typed + past
    others = sorted(services + typed, key=_made, reverse=True)
    others.sort(key=lambda run: choose.grade(_made(run), now) == "none")
    return others + past


def _made(run: WeatherRun) -> datetime:
    return run.fetched_at if run.typed else run.issued_at


def _age_grade(run: WeatherRun, now: datetime) -> int:
    """0 for a forecast not a day old, 1 for one not three days old, 2 for one of no use."""
    return {"none": 2, "stale": 1}.get(choose.grade(run.issued_at, now), 0)


def _thinned(ranked: list[WeatherRun], begin: datetime) -> list[WeatherRun]:
    """The newest runs, and as few older ones as leave no hour untold that any of them saw.

    Where none saw an hour, one that foretold it not long before is taken.
    """
    chosen = list(ranked[:ALWAYS_TAKEN])
    rest = sorted(ranked[ALWAYS_TAKEN:], key=lambda run: run.start_at)  # the longest reach first
    edge = min([run.issued_at for run in chosen] + [run.start_at for run in chosen if _saw(run)])
    folded = max((run.fetched_at for run in rest if run.kind == PAST), default=None)
    chosen += [run for run in rest if run.typed or run.kind == PAST or _is_not_in(folded, run)]
    edge = min([edge] + [run.start_at for run in chosen if run.kind == PAST])
    rest = [run for run in rest if run not in chosen]
    while edge > begin:
        reach = next((run for run in rest if run.issued_at >= edge > run.start_at), None)
        if reach is None:
            reach = next((run for run in rest if edge > run.issued_at >= edge - NEXT_BACK), None)
        if reach is None:
            reach = max((run for run in rest if run.issued_at < edge), key=_made, default=None)
        if reach is None:
            break
        chosen.append(reach)
        rest.remove(reach)
        edge = reach.start_at if _saw(reach) else reach.issued_at
    return chosen


def _is_not_in(folded: datetime | None, run: WeatherRun) -> bool:
    """Whether a run, or without a fold a record, may tell what the fold does not."""
    if folded is None:
        return run.kind == ARCHIVED
    return run.fetched_at >= folded - SAME_REFRESH


def _saw(run: WeatherRun) -> bool:
    """Whether it tells hours before it was made."""
    return run.start_at < run.issued_at - HOUR


def _merge(runs: list[WeatherRun], now: datetime) -> AirSeries | None:
    """The first run wins each hour to come; None when nothing that counts is left.

    Of the past, what a station observed goes before what a service analysed, that before the
    archive, and that before what was foretold, the nearest ahead of the hour first. A typed night
    is a guess for hours that were over. Where a run lacks the dew point of an hour, the next says
    how far it lies under the air.
    """
    start = min(run.start_at for run in runs)
    hours = round((max(run.start_at + run.hour_count * HOUR for run in runs) - start) / HOUR)
    values = {name: np.full((len(runs), hours), np.nan) for name in COLUMNS}
    worth = np.full((len(runs), hours), NEVER)
    leading = choose.grade(_made(runs[0]), now) != "none"
    for k, run in enumerate(runs):
        first = round((run.start_at - start) / HOUR)
        span = slice(first, first + run.hour_count)
        for name in COLUMNS:
            values[name][k, span] = _column(run, name)
        worth[k, span], values["lead_h"][k, span] = _worth(run, now, leading=leading)
        worth[k, span] += 1e-3 * k
    order = np.argsort(worth, axis=0, kind="stable")
    counts = np.isfinite(np.take_along_axis(worth, order, axis=0))
    values = {
        name: np.where(counts, np.take_along_axis(column, order, axis=0), np.nan)
        for name, column in values.items()
    }
    pick = np.isfinite(values["air_C"]).argmax(axis=0)
    row = np.arange(hours)
    under = values["air_C"] - values["dew_point_C"]
    columns: dict[str, Any] = {name: _first(column) for name, column in values.items()}
    air, dew = columns["air_C"], values["dew_point_C"][pick, row]
    if not np.isfinite(air).any():
        return None
    for name in SELDOM_GIVEN:
        columns[name] = values[name][pick, row]
    columns["dew_point_C"] = np.where(np.isnan(dew), air - _first(under), dew)
    used = set(order[pick, row][np.isfinite(air)].tolist())
    used |= set(order[np.isfinite(under).argmax(axis=0), row][np.isnan(dew)].tolist())
    sources = [run.provider for k, run in enumerate(runs) if k in used or k == 0]
    columns["ensemble"] = _newest_members(runs, now, start, hours)
    source = _named(list(dict.fromkeys(sources)))
    lead = runs[0]
    return AirSeries(
        start=start, issued_at=lead.issued_at, source=source, typed=lead.typed, **columns
    )


def _first(column: Array) -> Array:
    """Of several accounts of each hour the first that there is (hours,)."""
    chosen: Array = column[np.isfinite(column).argmax(axis=0), np.arange(column.shape[1])]
    return chosen


def _named(sources: Sequence[str]) -> str:
    """The lead, and who else was heard for hours that it lacks."""
    others = ", ".join(sources[1:])
    return f"{sources[0]}; hours it lacks from {others}" if others else sources[0]


def _newest_members(
    runs: list[WeatherRun], now: datetime, start: datetime, hours: int
) -> Ensemble | None:
    """The members of the newest run that has any, on these hours; none beside typed weather."""
    if runs[0].typed:
        return None
    for run in runs:
        if run.ensemble and now - run.fetched_at < MEMBERS_COUNT:
            first = round((start - run.start_at) / HOUR)
            return ensemble_rows.unpacked(run.ensemble, run.hour_count).rows(first, first + hours)
    return None


def _worth(run: WeatherRun, now: datetime, *, leading: bool) -> tuple[Array, Array]:
    """How much an account of each hour counts, the least first; and its lead [h], (hours,).

    leading : whether a run leads that is fresh enough; without one only what was seen counts
    """
    hour = np.arange(float(run.hour_count))
    by_issue = hour - (run.issued_at - run.start_at) / HOUR
    stored_lead = _column(run, "lead_h")
    lead = np.where(
        np.isfinite(stored_lead), stored_lead, np.where(by_issue < 0, ANALYSED, by_issue)
    )
    now_h = (now - run.start_at) / HOUR
    worth = np.where(lead >= 0, FORETOLD + lead, np.where(lead == OBSERVED, STATION, ANALYSIS))
    if run.kind == ARCHIVED:
        worth = np.full(run.hour_count, ARCHIVE)
    if run.typed:
        since = hour - (run.fetched_at - run.start_at) / HOUR
        behind = FORETOLD + since + TYPED_YIELDS / HOUR
        worth, past = np.where(since >= 0, behind, GUESSED), hour <= now_h - 1
        lead = np.where(past, GUESSED_LEAD_H, np.maximum(lead, 0.0))
    if choose.grade(_made(run), now) != "none" and run.kind == FORECAST:
        worth = np.where(hour > now_h - 1, AHEAD, worth)
    if not leading:
        worth = np.where(lead >= 0, NEVER, worth)
    return worth, lead


def _column(run: WeatherRun, name: str) -> Array:
    values = run.hours.get(name)
    if values is None:
        return np.full(run.hour_count, np.nan)
    return np.array(values, dtype=np.float64)  # a null becomes NaN
