"""Every hour at which a pour may start, with the air that follows it: starts x members abreast."""

from dataclasses import dataclass, fields, replace
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

import numpy as np

from models.air import place, sky
from models.air.series import HOUR, AirSeries
from models.concrete import heat
from models.concrete import prior as priors
from models.errors import InputError
from models.facts.air import CIVIL_DUSK_DEG
from models.facts.frost import FROST_LIES_KH
from models.message import Message
from models.quantile import quantiles
from models.simulation import calibrate, physics, stays, thermal, weather
from models.simulation.scenario import Scenario
from models.units import Array, Mask

WATCH_H = 72  # how long after its start a pour is watched
MEMBERS = physics.MEMBERS
WHOLE = ("start", "error_sd_K", "heated", "site_K")  # of the air at the piece: not by start
WATCH_ROWS = WATCH_H + 2  # rows of air that a start needs


@dataclass(frozen=True)
class Starts:
    """Starts at one place. `hours` and `starts` are its lengths; wide is starts x members.

    local : (hours, members), rows of `local` at which a pour starts in `rows` (starts,)
    exposure, air_C, rh, wind_m_s, rain_mm : (WATCH_ROWS, wide), what each start feels
    base_C : (wide,) [degC], the mould or the ground that the concrete meets
    frost_Kh : (wide,) [K h], what lies in the ground of the frost before and has not thawed
    requested_row : row of the start that was asked about
    dusk_row : hours from the first row at which the light goes, one a day
    dark, off_hours : (hours,) whether it is dark, and outside the shop's hours
    """

    at: tuple[datetime, ...]
    rows: Array
    local: place.AtPiece
    requested_row: int
    exposure: heat.Exposure
    air_C: Array
    rh: Array
    wind_m_s: Array
    rain_mm: Array
    base_C: Array
    frost_Kh: Array
    dusk_row: Array
    dark: Mask
    off_hours: Mask
    notes: tuple[Message, ...]

    @property
    def count(self) -> int:
        return len(self.rows)

    @property
    def members(self) -> int:
        return int(self.local.air_C.shape[1])

    def each(self, of_member: Array) -> Array:
        """(members,) beside every start, (wide,)."""
        return np.tile(of_member, self.count)

    def every(self, of_start: Array) -> Array:
        """(starts,) beside every member, (wide,)."""
        return np.repeat(of_start, self.members)

    def fraction(self, bad: Mask) -> Array:
        """Fraction of the members of each start, (starts,)."""
        return self.mean(bad.astype(np.float64))

    def mean(self, values: Array) -> Array:
        """Mean of the members of each start, (starts,)."""
        means: Array = values.reshape(self.count, self.members).mean(axis=1)
        return means

    def quantile(self, values: Array, q: float) -> Array:
        at: Array = quantiles(values.reshape(self.count, self.members), (q,))[0]
        return at

    def only(self, chosen: Mask) -> "Starts":
        """Some of the starts; chosen (starts,) is boolean."""
        if chosen.all():
            return self
        wide = np.repeat(chosen, self.members)
        felt = {name: getattr(self.exposure, name)[:, wide] for name in heat.EXPOSED}
        return replace(
            self,
            at=tuple(at for at, taken in zip(self.at, chosen, strict=True) if taken),
            rows=self.rows[chosen],
            exposure=heat.Exposure(0.0, **felt),
            air_C=felt["air_C"],
            rh=self.rh[:, wide],
            wind_m_s=self.wind_m_s[:, wide],
            rain_mm=self.rain_mm[:, wide],
            base_C=self.base_C[wide],
            frost_Kh=self.frost_Kh[wide],
        )

    def prior(self, prior: priors.Prior) -> priors.Prior:
        """The members of the mix, the same at every start."""
        return prior.only(np.tile(np.arange(self.members), self.count))


def rows_of(series: AirSeries, now: datetime, requested: datetime, days: int) -> Array:
    """Rows at which a pour may start and be watched to its end, from `now`, with `requested`.

    series : hourly, gaps bridged; days : how far ahead. Empty where the hour asked about lacks one.
    """
    first = int(np.ceil(series.hour_of(now) - 1e-9))
    wanted = int(np.ceil(series.hour_of(requested) - 1e-9))
    if wanted - first >= 24 * days:
        first = wanted
    last = min(first + 24 * days - 1, series.hours - WATCH_ROWS)
    rows = np.arange(max(first, 0), last + 1)
    if first < 0 or wanted > last:
        return np.empty(0, dtype=int)
    bad = ~(np.isfinite(series.air_C) & np.isfinite(series.dew_point_C))
    holes = np.concatenate(([0], np.cumsum(bad)))
    whole = holes[rows + WATCH_ROWS] == holes[rows]
    return rows[whole] if whole[wanted - rows[0]] else np.empty(0, dtype=int)


def at_place(
    scenario: Scenario, series: AirSeries, rows: Array, requested: datetime, chosen: Array
) -> Starts:
    """Some starts at the place of a scenario; the draws are those of all, whichever are watched.

    series : hourly, gaps bridged; rows : of `rows_of`; chosen : those of them to watch
    """
    first = max(0, int(rows[0]) - weather.SPIN_UP_H)
    known = np.isfinite(series.air_C) & np.isfinite(series.dew_point_C)
    gap = np.flatnonzero(~known[: int(rows[0]) + 1])
    first = max(first, int(gap[-1]) + 1 if len(gap) else 0)
    span = series.between(
        series.start + first * HOUR, series.start + (int(rows[-1]) + WATCH_ROWS - 1) * HOUR
    )
    faces = thermal.body(scenario).faces
    _, local, odd = calibrate.air_at_piece(
        scenario.site, scenario.observations, span, MEMBERS, faces=faces
    )
    requested_row = row_at(series, rows, requested) - first
    notes = calibrate.messages(odd)
    before = np.nan_to_num(series.air_C[:first])
    owed = 0.0 if scenario.site.is_room else float(unthawed_Kh(before)[-1:].sum())
    return _side_by_side(scenario, local, chosen - first, requested_row, notes, owed)


def row_at(series: AirSeries, rows: Array, at: datetime) -> int:
    """The first start at or after an instant; InputError where it is not among them."""
    later = rows[rows >= series.hour_of(at) - 1e-9]
    if at < series.start + int(rows[0] - 1) * HOUR or not len(later):
        first, last = (series.start + int(row) * HOUR for row in (rows[0], rows[-1]))
        raise InputError(
            "start",
            at.isoformat(),
            "not among the hours that can be checked",
            f"{first.isoformat()} to {last.isoformat()}",
        )
    return int(later[0])


def indoors(scenario: Scenario, starts: Starts, series: AirSeries) -> Starts:
    """The same starts in the shop's own room, under the same weather."""
    assert scenario.rules.indoors is not None
    begin = starts.local.start
    span = series.between(begin, begin + (len(starts.local.air_C) - 1) * HOUR)
    site = replace(scenario.rules.indoors, timezone=scenario.site.timezone)
    stood_there = replace(scenario.placement, board_C=None)  # the mould is carried in before
    room = replace(scenario, site=site, placement=stood_there, observations=())
    _, local, _ = calibrate.air_at_piece(room.site, (), span, MEMBERS)
    return _side_by_side(room, local, starts.rows, starts.requested_row, (), 0.0)


def unthawed_Kh(air_C: Array, owed_Kh: float = 0.0) -> Array:
    """Degree hours of frost in the ground that no warmth has paid back yet [K h], shape of air_C.

    The freezing index less the thawing index, never under zero, hour by hour along the first axis.

    air_C : (hours, ...) [degC]; owed_Kh : [K h] at the begin

    Source: definition of the freezing and thawing index (Stefan), from memory.
    """
    total = owed_Kh - np.cumsum(air_C, axis=0)
    owed: Array = total - np.minimum(np.minimum.accumulate(total, axis=0), 0.0)
    return owed


def _base_C(
    scenario: Scenario, local: place.AtPiece, rows: Array, requested_row: int, frost_Kh: Array
) -> Array:
    """The mould or the ground that concrete meets [degC], (rows, members).

    A mould is as warm as the air. The ground is the mean air of the three days before, and no
    warmer than ice while a frost of before has not thawed. What was told belongs to the hour asked
    about; at others it moves as it would by itself.

    frost_Kh : (hours, members) [K h] that no warmth has paid back

    Source: OWN_JUDGEMENT.
    """
    at = np.append(rows, requested_row)
    given_C = scenario.placement.board_C
    base = local.air_C[at]
    if scenario.on_ground:
        total = np.cumsum(np.concatenate((np.zeros_like(local.air_C[:1]), local.air_C)), axis=0)
        since = np.maximum(at - weather.SPIN_UP_H, 0)
        base = (total[at + 1] - total[since]) / (at + 1 - since)[:, None]
        lies = frost_Kh[at] > FROST_LIES_KH
        base = np.where(lies & (given_C is None), np.minimum(base, 0.0), base)
    moved: Array = base[:-1] if given_C is None else given_C + base[:-1] - base[-1]
    return moved


def _side_by_side(
    scenario: Scenario,
    local: place.AtPiece,
    rows: Array,
    requested_row: int,
    notes: tuple[Message, ...],
    owed_Kh: float,
) -> Starts:
    index = rows[None, :] + np.arange(WATCH_ROWS)[:, None]

    def wide(values: Array) -> Array:
        flat: Array = values[index].reshape(WATCH_ROWS, -1)
        return flat

    felt, rh = stays.exposure(local, 0.0), place.relative_humidity(local)
    exposure = heat.Exposure(0.0, *(wide(getattr(felt, name)) for name in heat.EXPOSED))
    met = {"rh": wide(rh), "wind_m_s": wide(local.wind_m_s), "rain_mm": wide(local.rain_mm)}
    if scenario.placement.measures:  # each start has its own first hours
        columns: dict[str, Any] = {
            f.name: wide(getattr(local, f.name)) for f in fields(local) if f.name not in WHOLE
        }
        apart = replace(local, **columns)
        apart = place.measured(apart, scenario.placement.measures, 0)
        exposure = stays.exposure(apart, 0.0)
        met |= {"rh": place.relative_humidity(apart), "wind_m_s": apart.wind_m_s}
    zone = ZoneInfo(scenario.site.timezone)
    times = [local.start + k * HOUR for k in range(len(local.air_C))]
    dusk, dark = _light(scenario.site, local.start, len(times))
    frost_Kh = unthawed_Kh(local.air_C, owed_Kh)
    off_hours = np.array([not scenario.rules.works_at(at.astimezone(zone).time()) for at in times])
    return Starts(
        tuple(times[int(row)] for row in rows),
        rows,
        local,
        requested_row,
        exposure,
        exposure.air_C,
        **met,
        base_C=_base_C(scenario, local, rows, requested_row, frost_Kh).ravel(),
        frost_Kh=frost_Kh[rows].ravel(),
        dusk_row=dusk,
        dark=dark,
        off_hours=off_hours,
        notes=notes,
    )


def _light(site: place.Site, start: datetime, hours: int) -> tuple[Array, Mask]:
    """Hours at which dusk ends, and whether each hour is dark; a room has lamps."""
    if site.latitude is None or site.longitude is None or site.is_room:
        return np.empty(0), np.zeros(hours, dtype=bool)
    day0 = (start - sky.J2000).total_seconds() / 86400
    at = (site.latitude, site.longitude)
    sinks = sky.sinks_through(CIVIL_DUSK_DEG, day0, day0 + hours / 24, *at)
    elevation = sky.sun_elevation(day0 + np.arange(hours) / 24, *at)
    return 24 * (sinks - day0), elevation < CIVIL_DUSK_DEG


def hours_missing(series: AirSeries, requested: datetime) -> Message:
    """What is missing where no start can be watched to its end."""
    missing = series.missing(requested, requested + (WATCH_ROWS - 1) * HOUR)
    first = missing[0] if missing else series.end
    return Message(
        "pour_hours_missing", {"hours_missing": len(missing), "hours": WATCH_ROWS - 1, "at": first}
    )
