"""What a piece goes through after the days that were looked at by the hour, up to a year on.

The concrete has done its work by then: it follows the air of its place as it did in its last days.
That air is the mean day of the place, moved from the weather of the record to the normal of the
season within weeks, with the anomalies that last for days about it. The members are the same ones,
and what each of them had that is its own (site, room, sun on the face) it keeps.
"""

from dataclasses import dataclass, fields, replace
from typing import Any

import numpy as np

from models.air import psychrometrics
from models.air.hollow import zone_longitude
from models.air.normals import normal
from models.air.place import Site
from models.air.series import LOWEST_DEW_C
from models.concrete import maturity
from models.draws import STANDARD, Draws
from models.facts import forecast
from models.facts.air import HIGHEST_DEW_C, UNTOLD_LATITUDE
from models.facts.normals import UNTOLD_SD_K
from models.simulation import stays
from models.simulation.in_force import covered_until
from models.simulation.physics import Simulation
from models.simulation.scenario import Scenario
from models.steps.opening import Trajectory, between
from models.units import Array, Index

FINE_UNTIL_H, UNTIL_H = 90 * 24, 365 * 24
STEPS_H = (3, 24)  # to and after; twice as fine moves no date by 3 %: tests/science/simulation
DAY_H = 24
MEAN_DAYS = 10  # of the piece's last days, from which its mean day is made
SEASON_H = 15 * 24  # between two looks at the normals, straight lines between
CLIP_C = (-40.0, 80.0)


def longer(
    scenario: Scenario, simulation: Simulation, steps_h: tuple[int, int] = STEPS_H
) -> Simulation:
    """The simulation with rows every few hours behind its hourly ones, which stay as they are, and
    without its drying.

    steps_h : [h] between rows until FINE_UNTIL_H and from there on, divisors of the day, the first
        also of a window of rain or less
    """
    trajectory, prior = simulation.trajectory, simulation.prior
    last_h = int(trajectory.hour[-1])
    fine_h = np.arange(last_h, max(FINE_UNTIL_H, last_h) + 1, steps_h[0], dtype=np.float64)
    far_h = np.arange(fine_h[-1], UNTIL_H + steps_h[1], steps_h[1])
    hour, step_h = np.append(fine_h, far_h[1:])[1:], np.diff(np.append(fine_h, far_h[1:]))
    site = _last_place(scenario, simulation)
    days = _Days(trajectory, step_h.astype(int))
    error = _error(simulation)
    middle_h = hour - 0.5 * step_h  # a row stands for its hours
    outdoors = _outdoors(scenario, simulation, middle_h, error[-1])
    usual_error = days.mean(error)
    apart_K = outdoors.lasting_K - usual_error
    moved_K = outdoors.season * (outdoors.usual_C - outdoors.was_C) + apart_K

    def on(values: Array, follows: float) -> Array:
        return np.clip(days.mean(values) + follows * moved_K, *CLIP_C)

    follows = _follows(site)
    heated_C = on(trajectory.air_C, follows)  # a heater does not cool: no room is under the summer
    over_K = np.maximum(outdoors.usual_C - heated_C, 0.0) * (1 - follows) * outdoors.season
    air_C = heated_C + over_K
    dew_C = days.mean(trajectory.dew_point_C)
    own_C = dew_C.mean(axis=0) - forecast.DEW_FRACTION * usual_error.mean(axis=0)
    dew_C = dew_C + outdoors.season * (outdoors.usual_dew_C - own_C)
    dew_C = np.minimum(dew_C + forecast.DEW_FRACTION * apart_K, air_C)
    dew_C = np.clip(dew_C, LOWEST_DEW_C, HIGHEST_DEW_C)
    piece = 0.0 if _is_heated(scenario, simulation) else follows
    mean_C, top_C, coldest_C = (
        on(one, piece) + over_K * (piece == follows)
        for one in (trajectory.mean_C, trajectory.top_C, trajectory.coldest_C)
    )

    def aged(age_h: Array, concrete_C: Array) -> Array:
        rate = maturity.rate(
            concrete_C,
            activation_energy_kJ_mol=prior.activation_energy_kJ_mol,
            rise_kJ_mol_K=prior.rise_kJ_mol_K,
        )
        return np.asarray(age_h[-1] + np.cumsum(rate * step_h[:, None], axis=0))

    te_mean_h, te_cold_h = aged(trajectory.te_mean_h, mean_C), aged(trajectory.te_cold_h, coldest_C)
    dry = np.zeros_like(air_C)
    tail = {
        "hour": hour,
        "strength_MPa": prior.strength_at(te_cold_h),
        "strength_mean_MPa": prior.strength_at(te_mean_h),
        "te_mean_h": te_mean_h,
        "te_cold_h": te_cold_h,
        "mean_C": mean_C,
        "top_C": top_C,
        "coldest_C": coldest_C,
        "air_C": air_C,
        "dew_point_C": dew_C,
        "rh": psychrometrics.rh_fraction(air_C, dew_C),
        "wind_m_s": days.mean(trajectory.wind_m_s),
        "rain_mm": _rain(trajectory.members, hour, step_h) if site.kind == "open yard" else dry,
        "sun_W_m2": dry if trajectory.sun_W_m2 is None else days.mean(trajectory.sun_W_m2),
        "sunlit_K": dry if trajectory.sunlit_K is None else days.mean(trajectory.sunlit_K),
        "harm": np.broadcast_to(trajectory.harm[-1], air_C.shape),
    }
    joined: dict[str, Any] = {
        one.name: np.concatenate((getattr(trajectory, one.name), tail[one.name]))
        for one in fields(Trajectory)
        if one.name in tail and getattr(trajectory, one.name) is not None
    }
    return replace(simulation, trajectory=replace(trajectory, **joined), before={}, drying=None)


class _Days:
    """The mean day of a piece, on the rows behind its hourly ones."""

    def __init__(self, trajectory: Trajectory, step_h: Index) -> None:
        self.days = min(MEAN_DAYS, (len(trajectory.hour) - 1) // DAY_H)
        self.last = (np.cumsum(step_h) - 1) % DAY_H + 1
        self.first = self.last - step_h
        self.step_h = step_h[:, None]

    def mean(self, values: Array) -> Array:
        """values : (hourly rows, members) [any unit]; the same hours of the clock stay together."""
        day = values[-DAY_H * self.days :].reshape(self.days, DAY_H, -1).mean(axis=0)
        whole = np.concatenate((np.zeros_like(day[:1]), np.cumsum(day, axis=0)))
        mean: Array = (whole[self.last] - whole[self.first]) / self.step_h
        return mean


def _last_place(scenario: Scenario, simulation: Simulation) -> Site:
    moved = stays.of_plan(scenario, simulation.plan)
    return moved[-1].site if moved else scenario.site


def _follows(site: Site) -> float:
    """How far the air of a place follows the season outdoors, 0 to 1: in the hours without heat."""
    if site.kind != "heated room":
        return 1.0
    if site.heated_hours is None:
        return 0.0
    begin, end = (at.hour + at.minute / 60 for at in site.heated_hours)
    return 1.0 - ((end - begin) % DAY_H) / DAY_H


def _is_heated(scenario: Scenario, simulation: Simulation) -> bool:
    """Whether an enclosure keeps it at one temperature where the hourly rows end."""
    plan, last_h = simulation.plan, float(simulation.trajectory.hour[-1])
    covers = (*scenario.coverings, *plan.covers)
    off_h = plan.hour("uncover")
    return any(one.heats and covered_until(one, off_h) > last_h for one in covers)


def _error(simulation: Simulation) -> Array:
    """What the weather of each member is over that of all, without its place [K]."""
    outdoor, first = simulation.members.outdoor, int(simulation.members.exposure.before_h)
    air_C = outdoor.air_C[first : first + len(simulation.trajectory.hour)]
    found: Array = air_C - air_C.mean(axis=1, keepdims=True) - outdoor.site_K
    return found


@dataclass(frozen=True)
class Outdoors:
    """The weather behind the hourly rows, (rows, members).

    usual_C, usual_dew_C : [degC] the normal of the season, with the doubt of each member
    was_C : [degC] mean of all members over the last days; lasting_K : [K] the anomalies
    season : how far the record is over, so that the normal counts, (rows, 1), 0 to 1
    """

    usual_C: Array
    usual_dew_C: Array
    was_C: float
    lasting_K: Array
    season: Array


def _outdoors(
    scenario: Scenario, simulation: Simulation, hour: Array, last_error_K: Array
) -> Outdoors:
    """The weather at hours from placing; last_error_K : (members,) what it is over that of all at
    the last hourly row.

    Source: facts.normals for the season and its doubt; facts.forecast for the anomalies.
    """
    trajectory, outdoor = simulation.trajectory, simulation.members.outdoor
    draws, last_h = Draws(trajectory.members), float(trajectory.hour[-1])
    kept = forecast.BEYOND_MEMORY ** (hour - last_h)[:, None]
    days = (hour - last_h) / DAY_H
    memory = forecast.BEYOND_MEMORY**DAY_H
    path = draws.path("air beyond the days", memory, 0, int(days[-1]) + 2)
    lasting_K = forecast.BEYOND_SD_K * (between(path, days) - kept * path[0])
    site = scenario.site
    north, east, more_sd_K = site.latitude, site.longitude, 0.0
    if north is None or east is None:
        north, more_sd_K = UNTOLD_LATITUDE, UNTOLD_SD_K
        east = zone_longitude(site.timezone, scenario.placement.at)
    knots = np.append(np.arange(last_h, hour[-1], SEASON_H), hour[-1])
    usual = [normal(north, east, scenario.instant(float(one))) for one in knots]
    doubt_K = np.hypot(usual[0].place_sd_K, more_sd_K) * draws.normal("normal of the place")
    usual_C = np.interp(hour, knots, [one.mean_C for one in usual])[:, None] + doubt_K
    apart = forecast.USUAL_DEPRESSION_SD * draws.normal("usual depression")
    row = int(simulation.members.exposure.before_h + last_h)
    return Outdoors(
        usual_C,
        usual_C - forecast.USUAL_DEPRESSION_K * np.exp(apart),
        float(outdoor.air_C[row - DAY_H * MEAN_DAYS + 1 : row + 1].mean()),
        lasting_K + kept * last_error_K,
        1 - kept,
    )


def _rain(members: int, hour: Array, step_h: Array) -> Array:
    """Rain of the climate on every row [mm/h], (rows, members): whole windows are wet.

    Source: facts.forecast (OWN_MEASURED_2013).
    """
    since_h = hour - (hour[0] - step_h[0])
    windows = int(np.ceil(since_h[-1] / forecast.WINDOW_H))
    together = Draws(members).path("wet windows beyond", forecast.WINDOWS_TOGETHER, 0, windows)
    wet = together < STANDARD.inv_cdf(forecast.RAIN_CHANCE)
    fell_mm = np.cumsum(np.where(wet, forecast.RAIN_MM_H * forecast.WINDOW_H, 0.0), axis=0)
    fell_mm = np.concatenate((np.zeros((1, members)), fell_mm))
    at_end = between(fell_mm, since_h / forecast.WINDOW_H)
    rain_mm: Array = np.diff(at_end, axis=0, prepend=0.0) / step_h[:, None]
    return rain_mm
