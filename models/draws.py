"""How members are drawn: evenly over the distribution, in random order, the same for one seed."""

from statistics import NormalDist

import numpy as np

from models.units import Array

STANDARD = NormalDist()  # its inverse spares loading scipy.special, a quarter of a second


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
