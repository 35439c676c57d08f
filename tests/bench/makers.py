"""Makers who do each step at its planned hour: `python tests/bench/makers.py [stories]`.

Prints for stories of every class of mix, five shapes, air of 5 to 30 degC and three covers the
hours at which each step was done, what stood in the way (a step that is past, blocked, frozen or
not open at its own planned hour), and what never came within 75 days with the reason that is told
for it. Asserts nothing; a short sample of the same code is in tests/laws/test_makers_laws.py.
"""

import sys
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, timedelta
from itertools import product

import numpy as np

from models.air.place import Site
from models.air.series import AirSeries
from models.coating.film import SealerSystem
from models.concrete.mixture import Mixture
from models.concrete.section import Covering
from models.facts.cements import CLASSES
from models.piece.shape import Opening, Shape
from models.planning import acts, default_plan, timeline, windows
from models.results import StepWindow
from models.simulation import physics
from models.simulation.scenario import Done, Placement, Scenario
from models.steps import registry
from service.words import Reader, sentence

HERE = Reader("America/Chicago")

POURED_AT = datetime(2025, 10, 20, 14, tzinfo=UTC)
HOUR = timedelta(hours=1)
SHAPES = {
    "panel": Shape("panel", 1400.0, 700.0, 45.0, openings=(Opening(400.0, 300.0),)),
    "slab": Shape("panel", 2000.0, 600.0, 70.0),
    "thin": Shape("panel", 900.0, 400.0, 25.0),
    "box": Shape("box", 700.0, 700.0, height_mm=600.0, wall_mm=50.0),
    "block": Shape("block", 600.0, 350.0, height_mm=300.0),
}
AIR_C = (5.0, 10.0, 15.0, 20.0, 25.0, 30.0)
COVERS = {
    "usual film": (),
    "wet cover": (Covering(1.0, None, "wet cover"),),
    "blanket": (Covering(1.0, None, "blanket", faces="all"),),
}
HAND = ("finish", "cover")  # as the hand finds it, no default of the plan
USE = ("light-use", "full-use")
WITHIN_H = 75 * 24.0
MEMBERS = 24
A_WHILE_H = 72.0  # between two looks at a piece that waits


@dataclass
class Maker:
    """One pour: the hour of each step done, and what stood in the way of one, in words."""

    mix: str
    shape: str
    air_C: float
    cover: str
    done_h: dict[str, float] = field(default_factory=dict)
    troubles: list[str] = field(default_factory=list)
    never: list[str] = field(default_factory=list)  # step and code of the reason told


def air_at(mean_C: float, now_h: float) -> AirSeries:
    """A mild daily wave from three days before the pour until eight days from now."""
    t = np.arange(72 + int(now_h) + 192)
    air = mean_C + 2.0 * np.sin(2 * np.pi * (t - 3) / 24)
    same = np.ones_like(air)
    return AirSeries(
        POURED_AT - 72 * HOUR,
        air,
        air - 9.0,
        same,
        0 * same,
        0.4 * same,
        np.nan * same,
        POURED_AT + now_h * HOUR,
        "a made-up record",
    )


@dataclass(frozen=True)
class Look:
    """What the page tells at an hour from placing: the windows, and the acts that are to come."""

    windows: dict[str, StepWindow]
    ahead: list[tuple[float, str]]


def look(scenario: Scenario, mean_C: float, now_h: float) -> Look:
    now = POURED_AT + now_h * HOUR
    hours = int(max(physics.HORIZON_H, now_h + 240))
    simulation = default_plan.simulated(scenario, air_at(mean_C, now_h), now, hours, MEMBERS)
    assert isinstance(simulation, physics.Simulation), simulation
    told, coated = timeline.planned(scenario, simulation, now_h)
    seen = {
        one.step: windows.window(
            scenario, simulation.before.get(one.step, simulation), one, when, now
        )
        for one, when in told
    }
    made = {one.step for one in scenario.done}
    ahead = [
        (scenario.hour(act.at), act.step)
        for act in acts.entries(scenario, simulation.plan, coated.plan)
        if act.step not in made and act.cover is None and act.set_by == "default"
    ]
    hand = [(_likely(seen[step]), step) for step in HAND if step not in made]
    ahead += [(max(hour, now_h), step) for hour, step in hand if np.isfinite(hour)]
    return Look(seen, sorted(ahead, key=lambda one: (one[0], registry.place(one[1]))))


def at_each_planned_hour(maker: Maker, until: str = "") -> Maker:
    """Walk one pour: wait for the next act of the plan, look again, do it if it is open; a coat
    whose air does not hold after all waits for the next plan.

    until : the step with which the walk ends; not told: the use of the piece
    """
    scenario = Scenario(
        "a piece",
        Site("covered", 41.5, -74.0),
        Mixture(maker.mix),
        SHAPES[maker.shape],
        Placement(POURED_AT, max(maker.air_C, 14.0)),
        coverings=COVERS[maker.cover],
        sealer=SealerSystem("water-based-acrylic", coats=2),
    )
    now_h, seen = 0.25, look(scenario, maker.air_C, 0.25)
    while now_h < WITHIN_H:
        due = [step for hour, step in seen.ahead if hour <= now_h + 1e-6]
        step = due[0] if due else ""
        state = seen.windows[step].state if due else "not yet"
        if state in ("open", "closing") or step in HAND:
            maker.done_h[step] = now_h
            mark = Done(step, POURED_AT + now_h * HOUR)
            scenario = replace(scenario, done=(*scenario.done, mark))
            if step == until:
                return maker
        elif due and not (state == "not yet" and registry.coat_number(step)):
            why = sentence(seen.windows[step].because, HERE)
            maker.troubles.append(f"{step} {state} at {now_h:.0f} h: {why}")
            return maker
        elif _finished(maker, seen, now_h):
            return maker
        else:
            after = [hour for hour, _ in seen.ahead if hour > now_h + 1e-6]
            now_h = min([*after, now_h + A_WHILE_H])
        seen = look(scenario, maker.air_C, now_h)
    left = [one for step, one in seen.windows.items() if step in USE or registry.coat_number(step)]
    maker.never = [f"{one.step} {one.because[0].code}" for one in left if one.state == "not yet"]
    return maker


def _finished(maker: Maker, seen: Look, now_h: float) -> bool:
    """Whether every coat is done and the piece may be used; notes the hour at which that was."""
    if any(step.startswith("coat") and one.state != "done" for step, one in seen.windows.items()):
        return False
    for step in USE:
        if seen.windows[step].state == "open":
            maker.done_h.setdefault(step, now_h)
    return all(step in maker.done_h for step in USE)


def _likely(step: StepWindow) -> float:
    """Its hour from placing at even odds, as a hand finds it."""
    return np.inf if step.p50 is None else (step.p50 - POURED_AT) / HOUR


def every_maker() -> Iterator[Maker]:
    for mix, shape, air_C, cover in product(CLASSES, SHAPES, AIR_C, COVERS):
        yield Maker(mix, shape, air_C, cover)


def main(stories: int) -> None:
    every = list(every_maker())
    picked = np.random.default_rng(11).permutation(len(every))[:stories]
    stuck = late = 0
    never: Counter[str] = Counter()
    for maker in (at_each_planned_hour(every[k]) for k in picked):
        stuck += bool(maker.troubles)
        hours = list(maker.done_h.values())
        late += hours != sorted(hours)
        never.update(maker.never)
        done = " ".join(f"{step} {hour:.0f}" for step, hour in maker.done_h.items())
        sys.stdout.write(
            f"{maker.mix:<16}{maker.shape:<7}{maker.air_C:>4.0f}C {maker.cover:<11} {done}"
            f"  | {'; '.join(maker.troubles)[:160] or 'nothing in the way'}"
            f"  | never: {', '.join(maker.never) or 'nothing'}\n"
        )
        sys.stdout.flush()
    sys.stdout.write(f"{stuck} of {len(picked)} makers could not do a step, {late} out of order\n")
    for reason, count in never.most_common():
        sys.stdout.write(f"  never within 75 d, {count} times: {reason}\n")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 200)
