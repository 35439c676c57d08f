"""What broken cubes and seen sets tell of a mix: how strong and how late it is by this shop."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from models.concrete.prior import CLASS_STRENGTH_SD, SET_SD
from models.facts.cements import BATCH_SD
from models.facts.instruments import SEEN_SET_SD, TEST_SD

# of one pour about the mix, of the logarithm: its batch and its cubes; what a thumb or a nail sees
# and how warm the fresh concrete was (OWN_JUDGEMENT)
POUR_STRENGTH_SD = float(np.hypot(BATCH_SD, TEST_SD))
POUR_SET_SD = float(np.hypot(SEEN_SET_SD, 0.10))
SIGMAS = 4.0  # beyond this a result says something went wrong, not how the mix is
FACTORS = (0.4, 2.5)  # a mix held at an end of it is told, OWN_JUDGEMENT


@dataclass(frozen=True)
class CalibratedMix:
    """Factors on the mix as labelled, dimensionless; sd of their logarithm; results used."""

    strength_factor: float
    strength_sd: float
    set_factor: float
    set_sd: float
    results: int


def calibrate(
    strength: Sequence[tuple[float, float]],
    setting: Sequence[tuple[float, float]],
    *,
    labelled: bool,
) -> CalibratedMix:
    """Factors of a mix by its results; 1 without any, and the nearer to 1 the fewer there are.

    strength : of each pour, the mean of ln(tested / predicted strength), and how far the members
        lay apart (standard deviation of their logarithm), dimensionless
    setting : of each pour, the same of ln(seen / predicted age at set), dimensionless
    labelled : the bag names its strength, so the mix is known as well as a batch is

    What parts the members beyond mix and batch (cold, rate law) is doubt of the result.

    Source: Gaussian conditioning; spreads of ACI_214R and OWN_JUDGEMENT.
    """
    doubt = BATCH_SD if labelled else CLASS_STRENGTH_SD
    parted = float(np.hypot(doubt, BATCH_SD))
    strong, strong_sd, tests = _shrunk(strength, doubt, POUR_STRENGTH_SD, parted)
    late, late_sd, sets = _shrunk(setting, SET_SD, POUR_SET_SD, SET_SD)
    return CalibratedMix(strong, strong_sd, late, late_sd, tests + sets)


def _shrunk(
    results: Sequence[tuple[float, float]], prior_sd: float, one_sd: float, parted: float
) -> tuple[float, float, int]:
    """Factor, standard deviation of its logarithm, results used; normal prior and results."""
    precision, pull, used = prior_sd**-2, 0.0, 0
    for miss, spread in results:
        variance = one_sd**2 + max(spread**2 - parted**2, 0.0)
        if abs(miss) > SIGMAS * np.sqrt(prior_sd**2 + variance):
            continue
        precision, pull, used = precision + 1 / variance, pull + miss / variance, used + 1
    factor = float(np.exp(pull / precision))
    return min(max(factor, FACTORS[0]), FACTORS[1]), float(precision**-0.5), used
