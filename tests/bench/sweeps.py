"""Answers while one thing changes by small steps: `python tests/bench/sweeps.py [FOLDER]`.

Air temperature, thickness, delay of the cover and night low, in a shop that works at all hours.
Prints the largest jump of each step's safe hour over its age, and of the chance of frost, and draws
each sweep into FOLDER as SVG to look at. Wanted: no jump over 15 % of the age. Asserts nothing; a
short sample of the same code is in tests/laws/test_sweeps.py.
"""

import sys
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime, time, timedelta
from pathlib import Path

import numpy as np

from models.air.place import Site
from models.air.series import AirSeries
from models.concrete.mixture import LabelStrength, Mixture
from models.concrete.section import Covering
from models.piece.shape import Shape
from models.planning import timeline
from models.results import Projection
from models.simulation.scenario import Placement, Scenario, ShopRules
from models.units import Array

POURED_AT = datetime(2025, 10, 20, 16, tzinfo=UTC)
HOUR = timedelta(hours=1)
STEPS = ("strip", "turn", "end-wet-cure", "uncover")
COLOURS = ("#1b6ca8", "#b5541c", "#3c7d3c", "#7a4fa3")
JUMP = 0.15
FAR_H = 480.0  # later hours lie near the end of what is looked at: there an hour may come or go
WIDTH, HEIGHT, LEFT, BOTTOM = 640, 320, 48, 36


@dataclass(frozen=True)
class Sweep:
    """A sweep: values of what changes, and the pour and its air for one of them."""

    name: str
    unit: str
    values: Array
    pour: Callable[[float], tuple[Scenario, AirSeries]]


@dataclass(frozen=True)
class Swept:
    """Safe hours from placing (values, steps) [h], NaN: there is none; and chances of frost."""

    safe_h: Array
    frost: Array

    @property
    def jumps(self) -> Array:
        """Change of each safe hour from value to value over its age, (values - 1, steps)."""
        near = np.where(self.safe_h > FAR_H, np.nan, self.safe_h)
        return np.abs(np.diff(near, axis=0)) / near[:-1]

    @property
    def torn(self) -> Array:
        """Whether an hour comes or goes between two values though it is not far, (steps,)."""
        known = np.isfinite(self.safe_h)
        near = np.fmin(self.safe_h[1:], self.safe_h[:-1]) <= FAR_H
        torn: Array = ((known[1:] != known[:-1]) & near).sum(axis=0)
        return torn


def wave(mean_C: float, half_K: float) -> AirSeries:
    """A daily wave from three days before the pour to eight days after it."""
    t = np.arange(72 + 192)
    air = mean_C + half_K * np.sin(2 * np.pi * (t - 3) / 24)
    same = np.ones_like(air)
    nothing, unknown = 0 * same, np.nan * same
    return AirSeries(
        POURED_AT - 72 * HOUR,
        air,
        air - 4.0,
        1.5 * same,
        nothing,
        0.4 * same,
        unknown,
        POURED_AT,
        "a made-up record",
    )


def panel(thickness_mm: float = 45.0, coverings: tuple[Covering, ...] = ()) -> Scenario:
    label = (LabelStrength(168.0, 19.0), LabelStrength(672.0, 28.0))
    return Scenario(
        "sweep",
        Site("covered", 44.0, -93.0, "America/Chicago"),
        Mixture("general-purpose", label),
        Shape("panel", 1400.0, 700.0, thickness_mm),
        Placement(POURED_AT, 15.0),
        coverings=coverings,
        rules=ShopRules(working_hours=(time(0), time(0))),
    )


def delayed(delay_h: float) -> tuple[Scenario, AirSeries]:
    return panel(coverings=(Covering(delay_h, None, "blanket"),)), wave(2.0, 4.0)


SWEEPS = (
    Sweep("air", "degC", np.arange(-2.0, 34.01, 0.25), lambda x: (panel(), wave(x, 4.0))),
    Sweep("thickness", "mm", np.arange(20.0, 150.1, 1.0), lambda x: (panel(x), wave(12.0, 4.0))),
    Sweep("cover-delay", "h", np.arange(0.0, 12.01, 0.1), delayed),
    Sweep("night-low", "degC", np.arange(-6.0, 6.01, 0.1), lambda x: (panel(), wave(x + 4.0, 4.0))),
)


def swept(sweep: Sweep) -> Swept:
    """All answers of a sweep, asked when the concrete goes in."""
    found = [_answer(*sweep.pour(float(value))) for value in sweep.values]
    return Swept(np.array([hours for hours, _ in found]), np.array([chance for _, chance in found]))


def _answer(scenario: Scenario, air: AirSeries) -> tuple[list[float], float]:
    answer = timeline.project(scenario, air, POURED_AT)
    chance = answer.frost_watch.chance if answer.frost_watch else 0.0
    return [_safe_h(answer, step) for step in STEPS], chance


def _safe_h(answer: Projection, step: str) -> float:
    at = next((one.safe for one in answer.steps if one.step == step), None)
    return (at - POURED_AT) / HOUR if at is not None else np.nan


def picture(sweep: Sweep, found: Swept) -> str:
    """The safe hours over what changes, and the chance of frost as a grey line, as SVG."""
    most = float(np.nanmax(found.safe_h))
    x = LEFT + (sweep.values - sweep.values[0]) / np.ptp(sweep.values) * (WIDTH - LEFT - 90)
    high = HEIGHT - BOTTOM - 12

    def line(values: Array, full: float, colour: str) -> str:
        runs: list[list[str]] = [[]]
        for at, value in zip(x, values, strict=True):
            if np.isfinite(value):
                runs[-1].append(f"{at:.1f},{12 + high * (1 - value / full):.1f}")
            elif runs[-1]:
                runs.append([])
        return "".join(
            f'<polyline points="{" ".join(run)}" fill="none" stroke="{colour}"/>' for run in runs
        )

    parts = [line(found.frost, 1.0, "#999999")]
    labels: Sequence[tuple[str, str]] = (("frost, 0 to 1", "#999999"),)
    labels = (*labels, *zip(STEPS, COLOURS, strict=True))
    parts += [
        line(found.safe_h[:, k], most, colour) for k, colour in enumerate(COLOURS) if STEPS[k]
    ]
    parts += [
        f'<text x="{WIDTH - 84}" y="{20 + 16 * k}" fill="{colour}">{name}</text>'
        for k, (name, colour) in enumerate(labels)
    ]
    ends = f"{sweep.values[0]:g} to {sweep.values[-1]:g} {sweep.unit}"
    parts.append(f'<text x="{LEFT}" y="{HEIGHT - 10}">{sweep.name}, {ends}</text>')
    parts.append(f'<text x="2" y="20">{most:.0f} h</text>')
    parts.append(f'<path d="M{LEFT},12 V{12 + high} H{WIDTH - 90}" fill="none" stroke="black"/>')
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{WIDTH}" height="{HEIGHT}" '
        f'font-size="12" font-family="sans-serif"><rect width="100%" height="100%" fill="white"/>'
        f"{''.join(parts)}</svg>\n"
    )


def main() -> None:
    folder = Path(sys.argv[1]) if len(sys.argv) > 1 else None
    print(f"{'sweep':12} {'step':13} {'largest jump':>12} {'at':>8} {'over 15 %':>9} {'torn':>5}")
    for sweep in SWEEPS:
        found = swept(sweep)
        for k, step in enumerate(STEPS):
            jumps = np.nan_to_num(found.jumps[:, k])
            row = int(np.argmax(jumps))
            over = int((jumps > JUMP).sum())
            at = f"{sweep.values[row + 1]:.2f}"
            torn = int(found.torn[k])
            print(f"{sweep.name:12} {step:13} {jumps[row]:12.1%} {at:>8} {over:9d} {torn:5d}")
        steps = np.abs(np.diff(found.frost))
        row = int(np.argmax(steps))
        print(
            f"{sweep.name:12} {'frost chance':13} {steps[row]:12.1%} {sweep.values[row + 1]:8.2f}"
        )
        if folder is not None:
            folder.mkdir(parents=True, exist_ok=True)
            (folder / f"{sweep.name}.svg").write_text(picture(sweep, found))


def only(name: str, values: Array) -> Sweep:
    """One of the sweeps over other values."""
    return replace(next(one for one in SWEEPS if one.name == name), values=values)


if __name__ == "__main__":
    main()
