"""Makers who do each step at its safe hour: `python tests/bench/makers.py`.

Prints for every class of mix, shape, air and cover the hours at which the steps of the mould were
done, and what stood in the way: a step that is past, blocked or never. Asserts nothing; a short
sample of the same code is in tests/laws/test_makers_laws.py.
"""

import sys
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, timedelta
from itertools import product

import numpy as np

from models.air.place import Site
from models.air.series import AirSeries
from models.concrete.mixture import Mixture
from models.concrete.section import Covering
from models.facts.cements import CLASSES
from models.piece.shape import Opening, Shape
from models.planning import default_plan, timeline, windows
from models.results import StepWindow
from models.simulation import physics
from models.simulation.scenario import Done, Placement, Scenario
from service.words import Reader, sentence

HERE = Reader("America/Chicago")

POURED_AT = datetime(2025, 10, 20, 16, tzinfo=UTC)
HOUR = timedelta(hours=1)
SHAPES = {
    "panel": Shape("panel", 1400.0, 700.0, 45.0, openings=(Opening(400.0, 300.0),)),
    "box": Shape("box", 700.0, 700.0, height_mm=600.0, wall_mm=50.0),
    "block": Shape("block", 600.0, 350.0, height_mm=300.0),
}
AIR_C = (5.0, 12.0, 20.0, 30.0)
COVERS = {
    "usual film": (),
    "wet cover": (Covering(1.0, None, "wet cover"),),
    "blanket": (Covering(1.0, None, "blanket", faces="all"),),
}
MOULD_STEPS = ("knock-out", "core", "strip", "turn")
ALL_STEPS = ("finish", "cover", *MOULD_STEPS, "end-wet-cure", "uncover")
BAD = ("past", "blocked", "frozen")
HORIZON_H = 28 * 24
MEMBERS = 24
TURNS = 30  # looks at the page; who needs more is chasing the hour


@dataclass
class Maker:
    """One pour: the hour of each step done, and what stood in the way of one, in words."""

    mix: str
    shape: str
    air_C: float
    cover: str
    done_h: dict[str, float] = field(default_factory=dict)
    troubles: list[str] = field(default_factory=list)


def air_at(mean_C: float, now_h: float) -> AirSeries:
    """A mild daily wave from three days before the pour until eight days from now."""
    t = np.arange(72 + int(now_h) + 192)
    air = mean_C + 2.0 * np.sin(2 * np.pi * (t - 3) / 24)
    same = np.ones_like(air)
    return AirSeries(
        POURED_AT - 72 * HOUR,
        air,
        air - 5.0,
        same,
        0 * same,
        0.4 * same,
        np.nan * same,
        POURED_AT + now_h * HOUR,
        "a made-up record",
    )


def seen(scenario: Scenario, mean_C: float, now_h: float) -> dict[str, StepWindow]:
    """The steps as the page would tell them at an hour from placing."""
    now = POURED_AT + now_h * HOUR
    simulation = default_plan.simulated(scenario, air_at(mean_C, now_h), now, HORIZON_H, MEMBERS)
    assert isinstance(simulation, physics.Simulation), simulation
    told = timeline.planned(scenario, simulation, now_h)[0]
    return {
        one.step: windows.window(scenario, simulation, one, when, now)
        for one, when in told
        if one.step in ALL_STEPS
    }


def at_each_safe_hour(maker: Maker) -> Maker:
    """Walk one pour: look, do what is open, wait for the next hour that is told."""
    scenario = Scenario(
        "a piece",
        Site("covered", 41.5, -74.0),
        Mixture(maker.mix),
        SHAPES[maker.shape],
        Placement(POURED_AT, max(maker.air_C, 14.0)),
        coverings=COVERS[maker.cover],
    )
    now_h = 0.1
    for _ in range(TURNS):
        told = seen(scenario, maker.air_C, now_h)
        left = {step: told[step] for step in told if told[step].state != "done"}
        asked = {step: one for step, one in left.items() if step in MOULD_STEPS}
        if not asked:
            return maker
        ready = [step for step, one in left.items() if one.state in ("open", "closing")]
        maker.troubles += [
            f"{step} {one.state} at {now_h:.0f} h: {sentence(one.because, HERE)}"
            for step, one in asked.items()
            if one.state in BAD
        ]
        if maker.troubles:
            return maker
        for step in ready:
            maker.done_h[step] = now_h
            scenario = replace(
                scenario, done=(*scenario.done, Done(step, POURED_AT + now_h * HOUR))
            )
        if ready:
            continue
        hours = [_hour(one) for one in left.values() if not getattr(one, "after", "")]
        ahead = [hour for hour in hours if now_h < hour < HORIZON_H]
        if not ahead:
            maker.troubles += [
                f"{step} never: {sentence(one.because, HERE)}" for step, one in asked.items()
            ]
            return maker
        now_h = min(ahead)
    maker.troubles.append(f"still waiting after {TURNS} looks, for {', '.join(asked)}")
    return maker


def _hour(step: StepWindow) -> float:
    """Its hour from placing: the sure one, where the hand decides else the likely one."""
    at = step.p90 or (step.p50 if getattr(step, "by_check", True) else None)
    return np.inf if at is None else (at - POURED_AT) / HOUR


def every_maker() -> Iterator[Maker]:
    for mix, shape, air_C, cover in product(CLASSES, SHAPES, AIR_C, COVERS):
        yield Maker(mix, shape, air_C, cover)


def main() -> None:
    words = [step for step in ALL_STEPS if step != "uncover"]
    sys.stdout.write(f"{'mix':<16}{'piece':<7}{'air':>5} {'cover':<11}")
    sys.stdout.write("".join(f"{word:>13}" for word in words) + "  in the way\n")
    stuck = total = 0
    for maker in map(at_each_safe_hour, every_maker()):
        total, stuck = total + 1, stuck + bool(maker.troubles)
        hours = "".join(
            f"{maker.done_h[word]:>11.1f} h" if word in maker.done_h else f"{'-':>13}"
            for word in words
        )
        sys.stdout.write(
            f"{maker.mix:<16}{maker.shape:<7}{maker.air_C:>4.0f}C {maker.cover:<11}{hours}"
            f"  {'; '.join(maker.troubles)[:90] or 'nothing'}\n"
        )
        sys.stdout.flush()
    sys.stdout.write(f"{stuck} of {total} makers could not do a step\n")


if __name__ == "__main__":
    main()
