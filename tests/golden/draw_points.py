"""The table of points that members are drawn from: `python tests/golden/draw_points.py`.

Writes models/draws.npy: 64 standard normal points, then 192 more between them. Points are moved
along random directions until what they project on each is as even as a normal distribution, most
of the directions near those that frost and strength depend on. No two columns correlate.

An hour of strip bends with its normals, which no straight direction sees. So the points are moved
as well until it is as even by them as by many: by laws of second order in strip_responses.npz,
found by `python tests/golden/draw_points.py fit` from members by the thousand.

Source: sliced optimal transport sampling (Paulin et al. 2020, from memory).
"""

import sys
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[2]))

from models import draws
from models.concrete.mixture import Mixture
from models.draws import BLOCK, COLUMNS, STANDARD, Draws
from models.simulation import cases as seen_cases
from models.simulation import physics
from models.steps import strip
from models.units import Array
from tests.bench import ensemble

FILE = Path(draws.__file__).with_name("draws.npy")
RESPONSES = Path(__file__).with_name("strip_responses.npz")
SEED = 108  # of ten tried, the one whose 64 points met the laws below best
SWEEPS, DIRECTIONS = 6000, 50
FITTED, BENDING = 2048, 9  # members that a law is found from, columns that it bends with
POURS = 6  # invented ones with a label, and as many without
SHARE = 0.15  # of what a law misses, moved in one sweep
# by how much a thing moves with each column, and how that differs from pour to pour: the margin to
# frost [K] of 24 invented pours, and the logarithm of the hour of strip without and with a label
AIR_AND_SITE = {"air 1": (1.0, 0.2), "air 2": (0.5, 0.6), "air 3": (-0.15, 0.3)}
AIR_AND_SITE |= {
    "air 4": (0.1, 0.2),
    "air 5": (0.0, 0.2),
    "air 6": (0.0, 0.15),
    "site": (0.8, 0.12),
}
MIX = {"set": (-0.5, 0.35), "energy": (-0.2, 0.1), "tau": (-0.2, 0.2), "law": (0.25, 0.15)}
MIX |= {"heat": (0.1, 0.1), "batch": (0.1, 0.1), "placed": (0.05, 0.05)}
CURVE = {"strength": (0.35, 0.3), "rate": (-0.35, 0.3), "exponent": (-0.45, 0.35)}
STRIP = {"strength": (-0.34, 0.03), "rate": (0.24, 0.03), "exponent": (0.25, 0.05)}
STRIP |= {"set": (0.18, 0.02), "batch": (-0.1, 0.01), "air 1": (-0.05, 0.02), "site": (-0.04, 0.01)}
STRIP |= {"air 2": (-0.05, 0.03)}
STRIP_LABEL = {"curve": (-0.3, 0.05), "set": (0.115, 0.02), "batch": (-0.11, 0.02)}
STRIP_LABEL |= {"air 1": (-0.06, 0.03), "air 2": (-0.07, 0.03), "site": (-0.05, 0.02)}
STRIP_LABEL |= {"energy": (0.04, 0.02)}
FAMILIES = (
    AIR_AND_SITE | MIX | CURVE,
    AIR_AND_SITE | MIX | {"curve": (0.4, 0.3)},
    STRIP,
    STRIP_LABEL,
)


@dataclass(frozen=True)
class Response:
    """The logarithm of a pour's hour of strip, by the normals of its members: a law of second
    order.

    linear : (columns,); bent : (columns, columns), symmetric
    """

    linear: Array
    bent: Array

    def value(self, points: Array) -> Array:
        """What it gives for points of shape (members, columns), but for a constant."""
        value: Array = points @ self.linear + (points @ self.bent * points).sum(axis=1)
        return value

    def slope(self, points: Array) -> Array:
        """How it changes with each column, (members, columns)."""
        slope: Array = self.linear + 2 * points @ self.bent
        return slope


def fit(found: Array, normal: Array) -> Response:
    """The law nearest to what was found, by the columns that it moves with most."""
    known = np.isfinite(found)
    found, normal = found[known], normal[known]
    straight = np.column_stack((np.ones(len(normal)), normal))
    by_column = np.linalg.lstsq(straight, found, rcond=None)[0][1:]
    top = np.sort(np.argsort(-np.abs(by_column))[:BENDING])
    one, other = np.triu_indices(BENDING)
    whole = np.column_stack((straight, normal[:, top[one]] * normal[:, top[other]]))
    law = np.linalg.lstsq(whole, found, rcond=None)[0].astype(np.float64)
    bent = np.zeros((len(by_column), len(by_column)))
    np.add.at(bent, (top[one], top[other]), law[len(by_column) + 1 :] / 2)
    return Response(law[1 : len(by_column) + 1], bent + bent.T)


def fitted() -> Iterator[Response]:
    """The laws of invented pours in mild weather, those with a label first."""
    normal = np.array([Draws(FITTED).normal(name) for name in COLUMNS]).T
    for label in (ensemble.LABEL, ()):
        for _, case in zip(range(POURS), ensemble.cases(1234, 12.0), strict=False):
            pour = (replace(case[0], mixture=Mixture("general-purpose", label)), *case[1:])
            simulation = physics.simulate(*pour, ensemble.MILD_H, FITTED)
            assert isinstance(simulation, physics.Simulation)
            seen = seen_cases.case_of(pour[0], simulation, 0.0)
            opens_h = strip.strip(seen.trajectory, seen.needs_MPa).opens_h
            yield fit(np.log(opens_h), normal)


def responses() -> list[Response]:
    """The laws as they were found, those with a label first."""
    stored = np.load(RESPONSES)
    return [Response(*law) for law in zip(stored["linear"], stored["bent"], strict=True)]


def directions(random: np.random.Generator) -> Array:
    """Unit vectors, (directions, columns): a fifth by each family, a fifth of a few columns."""
    found = random.standard_normal((DIRECTIONS, len(COLUMNS)))
    each = DIRECTIONS // (len(FAMILIES) + 1)
    for k, family in enumerate(FAMILIES):
        middle, spread = np.array([family.get(name, (0.0, 0.0)) for name in COLUMNS]).T
        rows = slice(k * each, (k + 1) * each)
        found[rows] = middle + spread * found[rows] + 0.02 * random.standard_normal(middle.shape)
    few = random.random(found[len(FAMILIES) * each :].shape) < 3 / len(COLUMNS)
    found[len(FAMILIES) * each :] *= few
    length = np.linalg.norm(found, axis=1)
    unit: Array = found[length > 0] / length[length > 0, None]
    return unit


def uncorrelated(points: Array) -> Array:
    """The points with mean 0, variance 1 and no correlation, moved as little as that takes."""
    points = points - points.mean(axis=0)
    value, vector = np.linalg.eigh(points.T @ points / len(points))
    moved: Array = points @ (vector / np.sqrt(value)) @ vector.T
    return moved


class Even:
    """What a law gives for the points of a whole set, had they it as many do."""

    def __init__(self, law: Response, many: Array, whole: int) -> None:
        self.law = law
        given = np.sort(law.value(many))
        self.wanted = given[((np.arange(whole) + 0.5) / whole * len(given)).astype(int)]

    def moved(self, beside: Array, moving: Array) -> Array:
        """The points that move, each by a share of what it misses along the slope there."""
        given = self.law.value(np.concatenate((beside, moving)))
        wanted = np.empty_like(given)
        wanted[given.argsort()] = self.wanted
        missed = (wanted - given)[len(beside) :]
        slope = self.law.slope(moving)
        moved: Array = moving + SHARE * (missed / (slope**2).sum(axis=1))[:, None] * slope
        return moved


def points(count: int, beside: Array, random: np.random.Generator) -> Array:
    """`count` points that make an even set together with those beside them, which stay."""
    moving = uncorrelated(random.standard_normal((count, len(COLUMNS))))
    whole = count + len(beside)
    wanted = np.array([STANDARD.inv_cdf((k + 0.5) / whole) for k in range(whole)])
    wanted = np.repeat((wanted / wanted.std())[:, None], DIRECTIONS, axis=1)
    many = np.random.default_rng(5).standard_normal((60000, len(COLUMNS)))
    laws = [Even(law, many, whole) for law in responses()]
    for sweep in range(SWEEPS):
        along = directions(random)
        at = np.concatenate((beside, moving)) @ along.T
        target = np.empty_like(at)
        np.put_along_axis(target, at.argsort(axis=0), wanted[:, : len(along)], axis=0)
        step = 3 * min(1.0, 1000 / (sweep + 1)) ** 0.7 / len(along)
        moving = moving + step * (target - at)[len(beside) :] @ along
        for group in (laws[:POURS], laws[POURS:]):
            moving = group[random.permutation(POURS)[0]].moved(beside, moving)
        if sweep % 50 == 49:
            moving = uncorrelated(moving)
    return uncorrelated(moving)


def first(random: np.random.Generator | None = None) -> Array:
    """The points that are an even set by themselves, (64, columns)."""
    return points(BLOCK, np.empty((0, len(COLUMNS))), random or np.random.default_rng(SEED))


def made() -> Array:
    """The whole table, (256, columns)."""
    random = np.random.default_rng(SEED)
    few = first(random)
    return np.concatenate((few, points(3 * BLOCK, few, random)))


if __name__ == "__main__":
    if sys.argv[1:] == ["fit"]:
        laws = list(fitted())
        bent = np.array([law.bent for law in laws])
        np.savez_compressed(RESPONSES, linear=np.array([law.linear for law in laws]), bent=bent)
    np.save(FILE, made().astype(np.float32))
