"""The table of points that members are drawn from: `python tests/golden/draw_points.py`.

Writes models/draws.npy: 64 standard normal points, then 192 more between them. Points are moved
along random directions until what they project on each is as even as a normal distribution, most
of the directions near those that frost and strength depend on. No two columns correlate.

Source: sliced optimal transport sampling (Paulin et al. 2020, from memory).
"""

from pathlib import Path

import numpy as np

from models import draws
from models.draws import BLOCK, COLUMNS, STANDARD
from models.units import Array

FILE = Path(draws.__file__).with_name("draws.npy")
SEED = 21
SWEEPS, DIRECTIONS = 6000, 50
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


def points(count: int, beside: Array, random: np.random.Generator) -> Array:
    """`count` points that make an even set together with those beside them, which stay."""
    moving = uncorrelated(random.standard_normal((count, len(COLUMNS))))
    whole = count + len(beside)
    wanted = np.array([STANDARD.inv_cdf((k + 0.5) / whole) for k in range(whole)])
    wanted = np.repeat((wanted / wanted.std())[:, None], DIRECTIONS, axis=1)
    for sweep in range(SWEEPS):
        along = directions(random)
        at = np.concatenate((beside, moving)) @ along.T
        target = np.empty_like(at)
        np.put_along_axis(target, at.argsort(axis=0), wanted[:, : len(along)], axis=0)
        step = 3 * min(1.0, 1000 / (sweep + 1)) ** 0.7 / len(along)
        moving = moving + step * (target - at)[len(beside) :] @ along
        if sweep % 50 == 49:
            moving = uncorrelated(moving)
    return uncorrelated(moving)


def made() -> Array:
    """The whole table, (256, columns)."""
    random = np.random.default_rng(SEED)
    first = points(BLOCK, np.empty((0, len(COLUMNS))), random)
    return np.concatenate((first, points(3 * BLOCK, first, random)))


if __name__ == "__main__":
    np.save(FILE, made().astype(np.float32))
