"""What broken cubes and seen sets tell of a mix: how strong and how late it is by this shop."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from models.concrete.belief import BATCH_SD, CLASS_STRENGTH_SD, SET_SD

# of one pour about the mix, of the logarithm: its batch and its cubes; what a thumb or a nail sees
# and how warm the fresh concrete was (OWN_JUDGEMENT)
POUR_STRENGTH_SD = float(np.hypot(BATCH_SD, 0.10))
POUR_SET_SD = float(np.hypot(0.12, 0.10))
SIGMAS = 4.0  # beyond this a result says something went wrong, not how the mix is
FACTORS = (0.4, 2.5)


@dataclass(frozen=True)
class LearnedMix:
    """Factors on the mix as labelled, dimensionless; sd of their logarithm; results used."""

    strength_factor: float
    strength_sd: float
    set_factor: float
    set_sd: float
    results: int


def learn(strength: Sequence[float], setting: Sequence[float], *, labelled: bool) -> LearnedMix:
    """Factors of a mix by its results; 1 without any, and the nearer to 1 the fewer there are.

    strength : of each pour, the mean of ln(tested / foreseen strength), dimensionless
    setting : of each pour, the mean of ln(seen / foreseen age at set), dimensionless
    labelled : the bag names its strength, so the mix is known as well as a batch is

    Source: Gaussian conditioning; spreads of ACI_214R and OWN_JUDGEMENT.
    """
    doubt = BATCH_SD if labelled else CLASS_STRENGTH_SD
    strong, strong_sd, tests = _shrunk(strength, doubt, POUR_STRENGTH_SD)
    late, late_sd, seen = _shrunk(setting, SET_SD, POUR_SET_SD)
    return LearnedMix(strong, strong_sd, late, late_sd, tests + seen)


def _shrunk(residuals: Sequence[float], prior_sd: float, one_sd: float) -> tuple[float, float, int]:
    used = [r for r in residuals if abs(r) <= SIGMAS * np.hypot(prior_sd, one_sd)]
    precision = prior_sd**-2 + len(used) * one_sd**-2
    factor = float(np.exp(sum(used) * one_sd**-2 / precision))
    return min(max(factor, FACTORS[0]), FACTORS[1]), float(precision**-0.5), len(used)
