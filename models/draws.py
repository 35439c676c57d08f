"""How members are drawn: what matters most from one fixed table of points, the rest from streams.

The table is a set of standard normal points whose projections on any direction are nearly normal,
with no correlation between two columns: 64 of them answer like some thousand drawn at random. The
first 64 are a set by themselves; all 256 are the same with others between them, so that an answer
refined by readings does not change by its draws. Errors along the hours come in blocks of 64
members, each of its own stream, and begin at an hour that all questions share.
"""

from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from statistics import NormalDist

import numpy as np

from models._jit import kernel
from models.rng import ROOT, Seed, stream
from models.units import Array

STANDARD = NormalDist()  # its inverse spares loading scipy.special, a quarter of a second
BLOCK = 64  # members of a set that is whole by itself
AIR = tuple(f"air {k}" for k in range(1, 7))
COLUMNS = (  # of the table, what moves an answer most first
    *AIR,
    "site",
    "placed",
    "set",
    "energy",
    "tau",
    "law",
    "strength",
    "rate",
    "batch",
    "heat",
    "beta",
    "exponent",
    "exposure",
    "curve",
    "offset",
    "lag",
    "setpoint",
    "failure",
    "dew",
    "evaporation",
    "member of the service",
)
PRINCIPAL_H = 168  # hours from the anchor over which the principal columns tell a path
NEAR_H = 72.0  # the nearer hours count more: by 1 / e less so much later, OWN_JUDGEMENT
CHUNK_H = 240  # hours of noise made at once
KEPT_MEMBERS = 256  # paths of so many members are kept in memory


@lru_cache(maxsize=1)
def table() -> Array:
    """The fixed points, (256, columns) standard normal numbers, dimensionless.

    Made by tests/golden/draw_points.py.
    Source: sliced optimal transport sampling (Paulin et al. 2020, from memory).
    """
    points: Array = np.load(Path(__file__).with_name("draws.npy")).astype(np.float64)
    points.setflags(write=False)
    return points


def even_normal(random: np.random.Generator, members: int) -> Array:
    """Standard normal numbers, one from each of `members` equal shares, shuffled; dimensionless.

    members : 1 or more

    Source: Latin hypercube sampling, McKay, Beckman & Conover 1979 (from memory).
    """
    shares = np.clip((np.arange(members) + random.random(members)) / members, 1e-12, 1 - 1e-12)
    return np.array([STANDARD.inv_cdf(p) for p in shares[random.permutation(members)].tolist()])


def beside(first: Array, other: Array, correlation: float) -> Array:
    """Standard normal numbers that go with `first` as the correlation says; dimensionless.

    first, other : (members,) independent standard normal numbers
    correlation : -1 to 1

    Source: linear combination of independent normals.
    """
    drawn: Array = correlation * first + np.sqrt(1 - correlation**2) * other
    return drawn


@dataclass(frozen=True)
class Draws:
    """The draws of `members` members: by the fixed table for the seed of all answers, else others.

    members : 1 to 4096; seed : another one gives members that are independent of these
    """

    members: int
    seed: int = ROOT

    def normal(self, name: str) -> Array:
        """Standard normal numbers of a quantity, (members,) dimensionless."""
        return _normal(name, self.members, self.seed)

    def even(self, name: str) -> Array:
        """Numbers from 0 to 1, one from each equal share, (members,) dimensionless."""
        stood: Array = self.shares(self.normal(name)[None, :])[0]
        return stood

    def shares(self, values: Array) -> Array:
        """The share of the members that each row of values stands at, 0 to 1 dimensionless.

        values : (rows, members) of any unit; members are ranked among the 64 of their block
        """
        out = np.empty(values.shape)
        width = BLOCK if self.seed == ROOT else self.members
        for k, first in enumerate(range(0, self.members, width)):
            block = values[:, first : first + width]
            rank = block.argsort(axis=1, kind="stable").argsort(axis=1)
            within = (0.5 + 0.618034 * k) % 1.0  # so that blocks do not all stand at one share
            out[:, first : first + width] = (rank + within) / block.shape[1]
        return out

    def noise(self, name: str, rows: int) -> Array:
        """Standard normal noise (rows, members); the first rows are the same however many."""
        return self._blocks(lambda block: _white(name, block, self.seed, rows))

    def path(self, name: str, memory: float, first: int, rows: int) -> Array:
        """A first-order autoregressive path of unit variance, (rows, members) dimensionless.

        memory : from row to row, 0 to 1; first : of the rows wanted, counted from the anchor, which
        is row 0; the same rows come whatever others are asked

        The paths of the air follow the columns of the table by their principal components.
        Source: ZHENG_2025; Karhunen-Loeve expansion of the path.
        """
        behind, ahead = _rounded(-first), max(_rounded(first + rows), CHUNK_H)
        made = _path if self.members <= KEPT_MEMBERS else _path.__wrapped__
        whole = made(name, memory, self.members, self.seed, behind, ahead)
        return whole[behind + first : behind + first + rows]

    def gamma(self, name: str, shape: float, first: int, rows: int) -> Array:
        """Gamma numbers of mean 1 (rows, members), dimensionless; rows as in `path`."""

        def both(block: int) -> Array:
            ahead = _stream(f"{name} ahead", block, self.seed)
            behind = _stream(f"{name} behind", block, self.seed)
            later = ahead.standard_gamma(shape, (max(first + rows, 0), BLOCK))
            before = behind.standard_gamma(shape, (max(-first, 0), BLOCK))[::-1]
            return np.concatenate((before, later))[max(first, 0) :][:rows] / shape

        return self._blocks(both)

    def _blocks(self, of: Callable[[int], Array]) -> Array:
        return _side_by_side(of, self.members)


def even_in_blocks(seed: Seed, rows: int, members: int) -> Array:
    """Numbers from 0 to 1, all alike likely, (rows, members), dimensionless; a set of 64 is part of
    one of 256.

    seed : their stream; members : 1 to 4096

    Source: numpy.random.Generator.random.
    """
    return _side_by_side(
        lambda block: np.random.default_rng(stream(str(block), seed)).random((rows, BLOCK)), members
    )


def in_blocks(seed: Seed, rows: int, members: int) -> Array:
    """Standard normal noise (rows, members), dimensionless; a set of 64 is part of one of 256.

    seed : its stream; members : 1 to 4096

    Source: numpy.random.Generator.standard_normal.
    """
    return _side_by_side(
        lambda block: _centred(
            np.random.default_rng(stream(str(block), seed)).standard_normal((rows, BLOCK)),
            _of_block(block, ROOT),
        ),
        members,
    )


def _side_by_side(of: Callable[[int], Array], members: int) -> Array:
    blocks = [of(block) for block in range(-(-members // BLOCK))]
    return np.concatenate(blocks, axis=-1)[..., :members]


def _stream(name: str, block: int, seed: int) -> np.random.Generator:
    return np.random.default_rng(stream(f"{name} {block}", seed))


def _rounded(hours: int) -> int:
    return -(-max(hours, 0) // CHUNK_H) * CHUNK_H


@lru_cache(maxsize=128)
def _normal(name: str, members: int, seed: int) -> Array:
    if seed != ROOT:
        drawn = even_normal(np.random.default_rng(stream(name, seed)), members)
    elif name not in COLUMNS:
        drawn = _side_by_side(lambda k: even_normal(_stream(name, k, seed), BLOCK), members)
    else:
        drawn = table()[:members, COLUMNS.index(name)]
        if members > len(drawn):
            more = even_normal(np.random.default_rng(stream(name)), members - len(drawn))
            drawn = np.concatenate((drawn, more))
    drawn.setflags(write=False)
    return drawn


def _white(name: str, block: int, seed: int, rows: int) -> Array:
    """Noise of a block (rows, 64): each row of mean 0 and variance 1, and without correlation to
    the columns of the table where they are the members'.
    """
    white = _stream(name, block, seed).standard_normal((rows, BLOCK))
    return _centred(white, _of_block(block, seed))


def _centred(white: Array, columns: Array) -> Array:
    """Noise (rows, 64) with mean 0, variance 1 and no correlation to the columns (64, ...)."""
    known, _ = np.linalg.qr(columns)
    free = white - (white @ known) @ known.T
    scaled: Array = free / np.sqrt((free**2).mean(axis=1, keepdims=True))
    return scaled


def _of_block(block: int, seed: int) -> Array:
    """A constant, and the columns of the table, of the members of a block, (64, ...)."""
    constant = np.ones((BLOCK, 1))
    if seed != ROOT or BLOCK * block >= len(table()):
        return constant
    return np.concatenate((constant, table()[BLOCK * block : BLOCK * (block + 1)]), axis=1)


@lru_cache(maxsize=16)
def _path(name: str, memory: float, members: int, seed: int, behind: int, ahead: int) -> Array:
    draws = Draws(members, seed)
    later = draws.noise(f"{name} ahead", ahead)
    if name == "air":
        main = principal(memory, len(AIR))
        wanted = np.array([draws.normal(column) for column in AIR])
        near = later[: len(main)]
        near += main @ (wanted - main.T @ near)
    path = _autoregressive(later, memory)
    if behind:
        before = np.concatenate((path[:1], draws.noise(f"{name} behind", behind)))
        path = np.concatenate((_autoregressive(before, memory)[:0:-1], path))
    path.setflags(write=False)
    return path


@lru_cache(maxsize=8)
def principal(memory: float, count: int) -> Array:
    """The noise of the rows from the anchor that moves a path most, (PRINCIPAL_H, count).

    Columns of unit length, at right angles, the most telling first; each warms on the whole.

    Source: singular value decomposition of the first-order autoregressive operator, hours weighted
    by exp(-h / 72).
    """
    hour = np.arange(PRINCIPAL_H)
    apart = hour[:, None] - hour
    operator = np.where(apart >= 0, memory ** np.maximum(apart, 0), 0.0)
    operator[:, 1:] *= np.sqrt(1 - memory * memory)
    near = np.exp(-hour / (2 * NEAR_H))[:, None]
    rows = np.linalg.svd(near * operator)[2][:count]
    warms = np.sign((operator @ rows.T).sum(axis=0))
    return np.ascontiguousarray((rows * warms[:, None]).T)


@kernel
def _autoregressive(white: Array, memory: float) -> Array:
    """Unit-variance AR(1) along the first axis from white noise (hours, members)."""
    out = np.empty_like(white)
    fresh = np.sqrt(1 - memory * memory)
    for m in range(white.shape[1]):
        out[0, m] = white[0, m]
    for h in range(1, white.shape[0]):
        for m in range(white.shape[1]):
            out[h, m] = memory * out[h - 1, m] + fresh * white[h, m]
    return out
