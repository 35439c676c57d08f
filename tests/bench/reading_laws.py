"""Laws of readings over random pours: colder is never earlier, twice is once, low is never early.

    python tests/bench/reading_laws.py [CASES]

1. Of two readings that differ in value only, the colder gives no step earlier.
2. The same reading again, or one that is not used, moves no hour by more than 2 % of the age.
3. A reading under the 10 % member gives no step earlier than without it.

Pours, places, weather and readings are drawn at random (invented: the laws need no truth); values
lie up to 45 K from what is foreseen. The reading stands alone, and then beside up to three others,
where readings of air, section and face also speak about each other. Printed: cases, breaches, and
the worst of them.
"""

import sys
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta

import numpy as np

from models.air.place import Site
from models.air.series import HOUR, AirSeries
from models.concrete.mixture import LabelStrength, Mixture
from models.facts.codes import CODES
from models.piece.shape import Shape
from models.quantile import quantile
from models.simulation import physics
from models.simulation.scenario import Observation, Placement, Scenario
from models.steps import cure, strip

BEGIN = datetime(2026, 3, 3, 15, tzinfo=UTC)
KINDS = ("air", "concrete", "surface", "air-min-max")
PLACES = ("open yard", "covered", "unheated room", "heated room")
CLASSES = ("general-purpose", "high-early", "flowing", "blended")
DAYS = 28
SAME = 0.02  # of the age


@dataclass(frozen=True)
class Case:
    """A pour, its weather and the moment at which it is looked at."""

    pour: Scenario
    air: AirSeries
    now: datetime

    def simulation(self, *more: Observation) -> physics.Simulation:
        pour = replace(self.pour, observations=(*self.pour.observations, *more))
        simulation = physics.simulate(pour, self.air, self.now, 24 * DAYS)
        assert isinstance(simulation, physics.Simulation), simulation
        return simulation


def hours(simulation: physics.Simulation) -> dict[str, float]:
    """Likely and safe hours of the steps that hang on temperature [h]."""
    trajectory = simulation.trajectory
    opens = {
        "strip": strip.strip(trajectory, {}).opens_h,
        "frost strength": trajectory.first(trajectory.strength_MPa, 3.5),
        "set": trajectory.first(trajectory.te_mean_h, trajectory.initial_set_h),
        "hone": trajectory.first(trajectory.strength_MPa, 20.0),
        "end of cure": cure.end_wet_cure(trajectory, 0.4, CODES["EN"]).opens_h,
    }
    return {
        f"{step} {share:.0%}": quantile(opened, trajectory.weight, share)
        for step, opened in opens.items()
        for share in (0.5, 0.9)
    }


def case(k: int, *, alone: bool) -> tuple[Case, np.random.Generator]:
    """Random pour k, with up to three readings in it already where it is not alone."""
    random = np.random.default_rng([7, k])
    t = np.arange(72 + 24 * (DAYS + 2))
    mean = random.uniform(-3, 25) + 6 * np.interp(t, t[::72], random.standard_normal(len(t[::72])))
    out = np.clip(mean + random.uniform(0, 7) * np.sin(2 * np.pi * (t - 3) / 24), -35, 45)
    same = np.ones(len(t))
    known_h = float(random.uniform(0, 96))
    air = AirSeries(
        BEGIN - 72 * HOUR,
        out,
        out - random.uniform(1, 8),
        random.uniform(0, 6) * same,
        0 * same,
        random.uniform(0, 1) * same,
        np.nan * same,
        BEGIN + known_h * HOUR,
        "made up",
    )
    kind = PLACES[int(random.integers(4))]
    label = (LabelStrength(672.0, float(random.uniform(22, 45))),) if random.random() < 0.5 else ()
    pour = Scenario(
        "x",
        Site(kind, 45.0, 9.0, "UTC", setpoint_C=16.0 if kind == "heated room" else None),
        Mixture(CLASSES[int(random.integers(4))], label=label),
        Shape("panel", 1200.0, 500.0, float(random.uniform(25, 120))),
        Placement(BEGIN, float(random.uniform(8, 28))),
    )
    now = BEGIN + timedelta(hours=float(random.uniform(4, 96)))
    made = Case(pour, air, now)
    if alone:
        return made, random
    blind = made.simulation()
    already = tuple(reading(random, made, blind, 3.0) for _ in range(int(random.integers(4))))
    return Case(replace(pour, observations=already), air, now), random


def reading(
    random: np.random.Generator, case: Case, simulation: physics.Simulation, spread_K: float
) -> Observation:
    """One at a random instant before now, so far from what is foreseen."""
    passed = (case.now - BEGIN) / HOUR
    hour = float(random.uniform(0.1, passed))
    if random.random() < 0.5:
        hour = max(float(np.floor(hour)), 0.1)
    kind = KINDS[int(random.integers(4))]
    column = {"concrete": "mean_C", "surface": "top_C"}.get(kind, "air_C")
    trajectory = simulation.trajectory
    foreseen = float(trajectory.at(getattr(trajectory, column), hour).mean())
    value = float(np.clip(foreseen + spread_K * random.standard_normal(), -50, 95))
    if kind != "air-min-max":
        return Observation(BEGIN + hour * HOUR, kind, value)
    span = float(random.uniform(2, 14))
    return Observation(BEGIN + hour * HOUR, kind, value, value + random.uniform(0, 12), span)


def colder(seen: Observation, by_K: float) -> Observation:
    """The same reading, colder by so much."""
    top = None if seen.value_max is None else max(seen.value_max - by_K, -50.0)
    return replace(seen, value=max(seen.value - by_K, -50.0), value_max=top)


def under_the_low_member(
    seen: Observation, simulation: physics.Simulation, by_K: float
) -> Observation:
    """The same reading, under the 10 % member by so much throughout the hours it tells of."""
    column = {"concrete": "mean_C", "surface": "top_C"}.get(seen.kind, "air_C")
    trajectory = simulation.trajectory
    hour = (seen.at - BEGIN) / HOUR
    first = hour - seen.span_h if seen.kind == "air-min-max" else hour
    rows = slice(max(int(np.floor(first)), 0), int(np.ceil(hour)) + 1)
    low = float(np.quantile(getattr(trajectory, column)[rows], 0.1, axis=1).min()) - by_K
    low = float(np.clip(low, -50, 95))
    return replace(seen, value=low, value_max=None if seen.value_max is None else low)


def later(first: dict[str, float], second: dict[str, float]) -> float:
    """By how much the first is earlier than the second at the worst step [h]; 0: nowhere."""
    worst = 0.0
    for step, hour in first.items():
        other = second[step]
        if np.isinf(hour) and np.isinf(other):
            continue
        worst = max(worst, other - hour)
    return worst


def law_colder(k: int, alone: bool) -> tuple[float, str]:
    at, random = case(k, alone=alone)
    base = at.simulation()
    warm = reading(random, at, base, 15.0)
    cold = colder(warm, float(random.exponential(6.0)) + 0.01)
    return later(hours(at.simulation(cold)), hours(at.simulation(warm))), f"{warm} {cold}"


def law_same(k: int, alone: bool) -> tuple[float, str]:
    """Share of the age by which an hour moved beyond the 2 % allowed."""
    at, random = case(k, alone=alone)
    base = at.simulation()
    seen = reading(random, at, base, 3.0)
    if k % 2:
        first, second = at.simulation(seen), at.simulation(seen, seen)
    else:
        passed = (at.now - BEGIN) / HOUR
        odd = Observation(BEGIN + passed * HOUR, "concrete", 95.0)
        at = Case(replace(at.pour, observations=()), at.air, at.now)
        first, second = at.simulation(), at.simulation(odd)
        assert "reading_warmer" in {note.code for note in second.notes}, second.notes
    before, after = hours(first), hours(second)
    moved = max(abs(after[s] - before[s]) / before[s] for s in before if np.isfinite(before[s]))
    return max(moved - SAME, 0.0), f"{seen}"


def law_low(k: int, alone: bool) -> tuple[float, str]:
    at, random = case(k, alone=alone)
    base = at.simulation()
    low = under_the_low_member(
        reading(random, at, base, 3.0), base, float(random.exponential(5.0)) + 0.01
    )
    return later(hours(at.simulation(low)), hours(base)), f"{low}"


LAWS: dict[str, Callable[[int, bool], tuple[float, str]]] = {
    "the colder is never earlier": law_colder,
    "twice is once, not used is not there": law_same,
    "under the low member is never earlier": law_low,
}


def breaches(law: str, cases: range, *, alone: bool) -> Iterator[tuple[int, float, str]]:
    """Cases that break a law, by how much [h, or share of the age], and the readings."""
    for k in cases:
        by, what = LAWS[law](k, alone)
        if by > 1e-6:
            yield k, by, what


def main(cases: int) -> int:
    bad = 0
    for alone in (True, False):
        for law in LAWS:
            found = list(breaches(law, range(cases), alone=alone))
            bad += len(found) * alone
            worst = max(found, key=lambda one: one[1], default=None)
            print(
                f"{'alone' if alone else 'beside others'}, {law}: {cases} cases,"
                f" {len(found)} breaches; worst {worst}",
                flush=True,
            )
    return 1 if bad else 0


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]) if len(sys.argv) > 1 else 2000))
