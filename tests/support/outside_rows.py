"""Told hours of strip, turn and hone held against what came, and whether a share fails its wish."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from models.planning import default_plan
from models.planning.honesty import Judged
from models.simulation import cases
from models.simulation.physics import HORIZON_H, Simulation
from models.steps import registry
from tests.support.frost_pours import CRITICAL_ICE
from tests.support.outside_pours import LIVES_H, Pour

STEPS = ("strip", "turn", "hone")


@dataclass(frozen=True)
class Row(Judged):
    """One step of one pour: hours from placing at which its strength is told at 10, 50, 90 % and
    at the level of its harm, and when it came [h]; infinite: not within 28 days."""

    step: str
    known: str
    band: str
    kind: str
    mix: str
    low: float
    middle: float
    high: float
    safe: float
    came: float


def held(pour: Pour, known: str, pace: float = 1.0) -> list[Row]:
    """The rows of one pour asked with some knowledge; none where it froze.

    The hours are those at which each step's own strength is reached at its own place, by the run
    in which it is judged; what else it waits for (the step before it, the damp cure) is left out
    of both. What is told to lie behind when it is asked (a cube after two days) is no row.

    pace : of the true mix, over that which was told
    """
    scenario, air, now = pour.asked(known)
    simulation = default_plan.hardened(scenario, air, now, HORIZON_H)
    assert isinstance(simulation, Simulation), simulation
    now_h = scenario.hour(now)
    told = []
    for step in STEPS:
        case = cases.case_of(scenario, simulation.before.get(step, simulation), now_h)
        criterion = registry.known(step).criterion
        assert criterion is not None
        told.append((case, criterion(case)))
    strip_h, bare_h = simulation.plan.hour("strip"), simulation.plan.hour("uncover")
    most = max(opening.need.value for _, opening in told)
    came = pour.lived(strip_h, bare_h, most, pace)
    if came.ice > CRITICAL_ICE:
        return []
    out = []
    for case, opening in told:
        assert opening.shown is not None
        strong_h = case.trajectory.first(opening.shown, opening.need.value)
        strong_h = np.where(strong_h <= LIVES_H, strong_h, np.inf)
        level = registry.level_of_opening(opening, case.confidence)
        low, middle, high, safe = (
            case.trajectory.hour_by(strong_h, q) for q in (0.1, 0.5, 0.9, level)
        )
        if middle < now_h:
            continue
        out.append(
            Row(
                opening.step,
                known,
                pour.band,
                pour.tested.kind,
                pour.tested.name,
                low,
                middle,
                high,
                safe,
                came.first(opening.need.value),
            )
        )
    return out


def all_held(pours: Iterable[Pour], known: Sequence[str], pace: float = 1.0) -> list[Row]:
    return [row for pour in pours for one in known for row in held(pour, one, pace)]


def lost_h(rows: Sequence[Row]) -> float:
    """Median of the hours lost by waiting for the safe one [h]; infinite: never within 28 days."""
    found = [row.safe - row.came for row in rows if np.isfinite(row.came)]
    return float(np.median(found)) if found else float("nan")
