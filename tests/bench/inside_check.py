"""Are the stated bands right? Truth drawn from the priors on the real weather of 2013.

    python tests/bench/inside_check.py [RUNS]

For each run: a station, a start and a class at random; one member of the prior, on its own weather
error, is the truth; its own laboratory strengths, with their scatter, are the label; the model sees
the label and the record as forecast. Printed: how often the true time of strip, frost strength and
end of cure lies in the stated 10 to 90 % band and before the stated 90 % time; the same with the
truth shifted by one prior standard deviation; and what a probe, a set time and a cube are worth.
"""

import importlib.util
import sys
from collections import defaultdict
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from types import ModuleType

import numpy as np

from models import rng
from models.air.place import Site
from models.air.series import HOUR, AirSeries
from models.concrete import maturity, strength
from models.concrete import prior as priors
from models.concrete.mixture import LabelStrength, Mixture
from models.concrete.prior import specified_MPa
from models.facts import instruments
from models.facts.codes import CODES
from models.piece.shape import Shape
from models.planning import reasons
from models.quantile import quantile
from models.simulation import physics
from models.simulation.scenario import Observation, Placement, Scenario, StrengthTest
from models.steps import cure, strip

STATIONS = ("EWR", "JFK", "LGA")
CLASSES = ("general-purpose", "high-early", "flowing")
PLACES = ("open yard", "covered", "unheated room")
DAYS = 28


def record_2013() -> ModuleType:
    path = Path(__file__).parents[1] / "replays" / "record_2013.py"
    spec = importlib.util.spec_from_file_location("record_2013", path)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules["record_2013"] = module
    spec.loader.exec_module(module)
    return module


def moments(simulation: physics.Simulation, named_MPa: float) -> dict[str, np.ndarray]:
    """Hours of strip, frost strength and end of cure of every member."""
    trajectory = replace(
        simulation.trajectory, specified_28d_MPa=specified_MPa(named_MPa, told=True)
    )
    return {
        "strip": strip.strip(trajectory, {}).opens_h,
        "frost strength": trajectory.first(trajectory.strength_MPa, 3.5),
        "end of cure": cure.end_wet_cure(trajectory, 0.4, CODES["EN"]).opens_h,
    }


def laboratory(
    simulation: physics.Simulation, member: int, random: np.random.Generator
) -> tuple[LabelStrength, ...]:
    """Label strengths at 7 and 28 days of the true mix, with the scatter a label has."""
    b = simulation.prior
    out = []
    for age_h in (168.0, 672.0):
        te = age_h * maturity.rate(
            22.0,
            activation_energy_kJ_mol=b.activation_energy_kJ_mol[member],
            rise_kJ_mol_K=b.rise_kJ_mol_K[member],
        )
        S = strength.strength(
            te,
            strength_28d_MPa=b.strength_28d_MPa[member],
            rate_constant_h=b.rate_constant_h[member],
            exponent=b.exponent[member],
            dormant_h=b.dormant_h[member],
        )
        scatter = np.exp(priors.LABEL_SD * random.standard_normal())
        out.append(LabelStrength(age_h, float(S * scatter)))
    return tuple(out)


def run(
    record: ModuleType, k: int, shift: float
) -> tuple[Scenario, AirSeries, physics.Simulation, int, float]:
    """A scenario with its label, the air, the true lives, which is true, the named strength."""
    random = np.random.default_rng(1000 + k)
    station = STATIONS[k % 3]
    begin = datetime(2013, 1, 12, tzinfo=UTC) + timedelta(hours=int(random.integers(0, 24 * 300)))
    air = record.series_2013(station, begin - 96 * HOUR, begin + (DAYS + 2) * 24 * HOUR)
    air = replace(air, issued_at=begin)
    north, east = record.position(station)
    bare = Scenario(
        "x",
        Site(PLACES[int(random.integers(3))], north, east, "America/New_York"),
        Mixture(CLASSES[int(random.integers(3))]),
        Shape("panel", 1200, 500, 50),
        Placement(begin, float(random.uniform(10, 25))),
    )
    root, rng.ROOT = rng.ROOT, 500_000 + 17 * k
    try:
        truth = physics.simulate(bare, air, begin, 24 * DAYS, 64)
    finally:
        rng.ROOT = root
    assert isinstance(truth, physics.Simulation), truth
    member = int(random.integers(64))
    if shift:
        order = np.argsort(moments(truth, 28.0)["strip"])
        member = int(order[int(64 * 0.5 * (1 + np.sign(shift) * 0.68))])
    label = laboratory(truth, member, random)
    scenario = replace(bare, mixture=replace(bare.mixture, label=label))
    return scenario, air, truth, member, label[1].MPa


def main(runs: int) -> None:
    record = record_2013()
    for shift in (0.0, 1.0, -1.0):
        inside, before = defaultdict(list), defaultdict(list)
        for k in range(runs if not shift else runs // 2):
            try:
                scenario, air, truth, member, named = run(record, k, shift)
            except AssertionError:
                continue  # a gap of the record over six hours
            simulation = physics.simulate(scenario, air, scenario.placement.at, 24 * DAYS)
            assert isinstance(simulation, physics.Simulation)
            stated, true = moments(simulation, named), moments(truth, named)
            for name, hours in stated.items():
                low, high = (quantile(hours, simulation.trajectory.weight, q) for q in (0.1, 0.9))
                at = true[name][member]
                inside[name].append(low <= at <= high)
                before[name].append(at <= high)
        print(f"\ntruth shifted by {shift:+.0f} sd of the strip time, {len(inside['strip'])} runs")
        for name in inside:
            print(
                f"  {name:15} in 10-90 %: {np.mean(inside[name]):.1%}"
                f"  before 90 %: {np.mean(before[name]):.1%}"
            )
    evidence(record, runs // 3)


def evidence(record: ModuleType, runs: int) -> None:
    """Width of the strip time by source, before and after a day of probe readings, set, cube."""
    total: dict[str, list[float]] = defaultdict(list)
    covered: dict[str, list[bool]] = defaultdict(list)
    for k in range(runs):
        try:
            scenario, air, truth, member, named = run(record, k, 0.0)
        except AssertionError:
            continue
        begin = scenario.placement.at
        true = truth.trajectory
        true_h = moments(truth, named)["strip"][member]
        random = np.random.default_rng(9000 + k)
        probe_K, alike = instruments.READING_SD_K["concrete"], instruments.SHARED
        all_K, own_K = probe_K * np.sqrt(alike), probe_K * np.sqrt(1 - alike)
        shared = all_K * random.standard_normal()
        probe = tuple(
            Observation(
                begin + h * HOUR,
                "concrete",
                float(true.mean_C[h, member] + shared + own_K * random.standard_normal()),
            )
            for h in (0, 6, 12, 18, 24)
        )
        z = random.standard_normal(2)
        set_h = true.first(true.te_mean_h, true.initial_set_h)[member]
        seen = (
            (Observation(begin + set_h * np.exp(0.1 * z[0]) * HOUR, "initial-set"),)
            if np.isfinite(set_h)
            else ()
        )
        test_h = int(np.clip(true_h, 12, 24 * 20)) if np.isfinite(true_h) else 240
        cube_MPa = float(
            true.strength_mean_MPa[test_h, member] * np.exp(0.1 * random.standard_normal())
        )
        cube = (StrengthTest(begin + test_h * HOUR, "cube", cube_MPa),) if cube_MPa > 0.2 else ()
        for name, changed in (
            ("nothing", scenario),
            ("probe", replace(scenario, observations=probe)),
            ("set", replace(scenario, observations=seen)),
            ("cube", replace(scenario, tests=cube)),
        ):
            simulation = physics.simulate(changed, air, begin, 24 * DAYS, 256)
            assert isinstance(simulation, physics.Simulation)
            hours = strip.strip(simulation.trajectory, {}).opens_h
            low, high = (quantile(hours, simulation.trajectory.weight, q) for q in (0.1, 0.9))
            parts = reasons.split_width(simulation, 5.0)
            if np.isfinite([low, high, *parts.values()]).all():
                total[f"{name} whole"].append(high - low)
                for part, width in parts.items():
                    total[f"{name} {part}"].append(width)
                covered[name].append(bool(low <= true_h <= high))
    print("\nmedian width of the strip time, 10 to 90 % [h]")
    for name, widths in total.items():
        print(f"  {name:22} {np.median(widths):6.1f}   ({len(widths)} runs)")
    for name, hits in covered.items():
        print(f"  truth in the band with {name:8} {np.mean(hits):.1%}")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 300)
