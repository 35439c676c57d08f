"""What a heater that was off for part of a night costs, and how readings tell it.

    python tests/bench/heater_off.py

A panel stands in a room kept at 18 C on a freezing night. The truth is the room's own cooling,
reckoned here by its differential equation (solve_ivp): towards outdoors while the heater is off,
back at the heater's pace when it runs again. The true shift is that of the same pour with this
temperature given hour by hour, against the room as heated. Told: a logger every hour; two timed
readings; a max-min thermometer alone. Printed in hours of the strip: true shift, shift told at
even odds and at 90 %, and the 10 and 90 % members.
"""

from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta

import numpy as np
from scipy.integrate import solve_ivp

from models.air.place import Site
from models.air.series import HOUR, AirSeries
from models.concrete.mixture import LabelStrength, Mixture
from models.piece.shape import Shape
from models.quantile import quantile
from models.simulation import physics
from models.simulation.scenario import Observation, Placement, Scenario
from models.steps import strip

BEGIN = datetime(2026, 1, 14, 16, tzinfo=UTC)
SPIN_H, REACH_H = 72, 240
SET_C, LAG_H = 18.0, 8.0
HEATS_K_H = 12.0  # how fast the running heater warms the room
LABEL = (LabelStrength(168.0, 19.0), LabelStrength(672.0, 28.0))
ROWS = np.arange(SPIN_H + REACH_H)


def outdoors_C(hour: np.ndarray) -> np.ndarray:
    """A steady frost, coldest at six in the morning; hour counts from placing at 16:00."""
    return -6.0 + 4.0 * np.cos(2 * np.pi * (hour - 22.0) / 24)


def weather(air_C: np.ndarray) -> AirSeries:
    same = np.ones(len(air_C))
    return AirSeries(
        BEGIN - SPIN_H * HOUR,
        air_C,
        np.minimum(air_C, outdoors_C(ROWS - SPIN_H)) - 3.0,
        1.0 * same,
        0.0 * same,
        0.5 * same,
        np.nan * same,
        BEGIN + 60 * HOUR,
        "a made-up frost",
    )


def room_C(off_from_h: float, off_h: float) -> np.ndarray:
    """The true room at each hour from placing on (0 to 72)."""

    def pace(t: float, T: np.ndarray) -> np.ndarray:
        towards = float(outdoors_C(np.array([t]))[0]) + 1.5
        cools = (towards - T) / LAG_H
        if off_from_h <= t < off_from_h + off_h:
            return cools
        return np.where(T < SET_C, HEATS_K_H, 0.0)

    hours = np.arange(0.0, 73.0)
    T, out = SET_C, [SET_C]
    for a in hours[:-1]:
        cuts = sorted({a, *(c for c in (off_from_h, off_from_h + off_h) if a < c < a + 1), a + 1})
        for low, high in zip(cuts, cuts[1:], strict=False):
            solved = solve_ivp(pace, (low, high - 1e-9), [T], max_step=0.02, rtol=1e-8)
            T = min(float(solved.y[0, -1]), SET_C)
        out.append(T)
    return np.array(out)


@dataclass(frozen=True)
class Told:
    """Strip hours from placing [h]."""

    p10: float
    p50: float
    p90: float


def panel(site: Site, observations: tuple[Observation, ...] = ()) -> Scenario:
    return Scenario(
        "a panel",
        site,
        Mixture("general-purpose", label=LABEL),
        Shape("panel", 1200.0, 500.0, 50.0),
        Placement(BEGIN, 18.0),
        observations=observations,
    )


HEATED = Site("heated room", 45.0, -93.0, "UTC", setpoint_C=SET_C)


def strip_h(scenario: Scenario, air: AirSeries) -> Told:
    simulation = physics.simulate(scenario, air, BEGIN + 60 * HOUR, 200)
    assert isinstance(simulation, physics.Simulation)
    opens = strip.strip(simulation.trajectory, {}).opens_h
    return Told(*(quantile(opens, simulation.trajectory.weight, q) for q in (0.1, 0.5, 0.9)))


def truly(room: np.ndarray) -> Told:
    """The same pour where the room's true temperature is given."""
    given = np.full(len(ROWS), SET_C)
    given[SPIN_H : SPIN_H + len(room)] = room
    same = Site("unheated room", 45.0, -93.0, "UTC", lag_h=0.1, offset_K=0.0, lag_spread=0.0)
    air = replace(weather(given), dew_point_C=weather(outdoors_C(ROWS - SPIN_H)).dew_point_C)
    return strip_h(panel(same), air)


def air_at(room: np.ndarray, hour: float) -> Observation:
    value = float(np.interp(hour, np.arange(len(room)), room))
    return Observation(BEGIN + timedelta(hours=hour), "air", value)


def readings(room: np.ndarray, off_from_h: float, off_h: float) -> dict[str, list[Observation]]:
    """What was read, by the way it was read."""
    end = off_from_h + off_h
    night = room[2:17]  # from 18:00 to 08:00
    return {
        "logger": [air_at(room, h) for h in range(49)],
        "two: half way, at the end": [air_at(room, off_from_h + off_h / 2), air_at(room, end)],
        "two: at thirds": [air_at(room, off_from_h + off_h * k / 3) for k in (1, 2)],
        "two: at the end, an hour on": [air_at(room, end), air_at(room, end + 1)],
        "max-min": [
            Observation(
                BEGIN + 16 * HOUR, "air-min-max", float(night.min()), float(night.max()), 14.0
            )
        ],
    }


@dataclass(frozen=True)
class Night:
    """One failure, read in one way: strip hours told without it, truly, and told with it."""

    off_h: float
    way: str
    blind: Told
    warm: Told  # the same instants read in the room as heated
    true: Told
    told: Told
    true_shift: tuple[float, float]  # even odds, 90 %

    def ratio(self, share: str) -> float:
        """Shift told over true shift; against the same way of reading a room that stayed warm."""
        shift = getattr(self.told, share) - getattr(self.warm, share)
        return float(shift / self.true_shift[0 if share == "p50" else 1])


def nights(off_hours: tuple[float, ...], off_from_h: float = 5.0) -> list[Night]:
    """Failures of these lengths, read in every way."""
    air = weather(outdoors_C(ROWS - SPIN_H))
    blind, kept = strip_h(panel(HEATED), air), np.full(73, SET_C)
    steady = truly(kept)
    out = []
    for off_h in off_hours:
        room = room_C(off_from_h, off_h)
        true = truly(room)
        shift = (true.p50 - steady.p50, true.p90 - steady.p90)
        warm = readings(kept, off_from_h, off_h)
        for way, seen in readings(room, off_from_h, off_h).items():
            told, same = (strip_h(panel(HEATED, tuple(r)), air) for r in (seen, warm[way]))
            out.append(Night(off_h, way, blind, same, true, told, shift))
    return out


def main() -> None:
    print(
        f"{'from':>5} {'off':>4} {'read by':28} {'true':>6} {'ratio':>6} {'true90':>7}"
        f" {'ratio':>6}  10-90 % members, true hour"
    )
    for off_from_h in (4.0, 5.0, 7.0):
        for one in nights((3.0, 5.0, 9.0), off_from_h):
            print(
                f"{16 + off_from_h:5.0f} {one.off_h:4.0f} {one.way:28}"
                f" {one.true_shift[0]:6.2f} {one.ratio('p50'):6.2f} {one.true_shift[1]:7.2f}"
                f" {one.ratio('p90'):6.2f}  {one.told.p10:.1f} to {one.told.p90:.1f},"
                f" {one.true.p50:.1f}; without a reading {one.blind.p90:.1f}"
            )


if __name__ == "__main__":
    main()
