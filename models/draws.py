"""How members are drawn: evenly over the distribution, in random order, the same for one seed."""

import numpy as np
from scipy.special import ndtri

from models.units import Array


def even_normal(random: np.random.Generator, members: int) -> Array:
    """Standard normal numbers, one from each of `members` equal shares, shuffled; dimensionless.

    members : 1 or more

    Source: Latin hypercube sampling, McKay, Beckman & Conover 1979 (from memory).
    """
    shares = (np.arange(members) + random.random(members)) / members
    return np.asarray(ndtri(shares[random.permutation(members)]))


def beside(first: Array, other: Array, correlation: float) -> Array:
    """Standard normal numbers that go with `first` as the correlation says; dimensionless.

    first, other : (members,) independent standard normal numbers
    correlation : -1 to 1

    Source: linear combination of independent normals.
    """
    drawn: Array = correlation * first + np.sqrt(1 - correlation**2) * other
    return drawn
