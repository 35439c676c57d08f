"""A pour out of several batches: the youngest sets its clock, the wettest its strength."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np

from models.air.series import HOUR
from models.concrete.mixture import Mixture
from models.errors import InputError
from models.facts.cements import CLASSES
from models.facts.fresh import EVENS_W_M2K
from models.facts.materials import CONCRETE
from models.simulation.batch import Batch, Batched
from models.simulation.scenario import Scenario

NOTHING_LEFT = 5.0  # of a water/cement ratio over the label's: a millionth of the strength is left


def with_batches(scenario: Scenario, batches: Sequence[Batch]) -> Scenario:
    """The scenario with what its batches tell; without any, the same.

    Raises InputError for batches that together are deeper than the piece as it is cast.
    """
    if not batches:
        return scenario
    ordered = tuple(sorted(batches, key=lambda one: one.at))
    _fits(scenario, ordered)
    placed, oldest = scenario.placement, ordered[0].at
    own = [one for one in ordered if one.mixture is None]
    pooled, _, over = _by_bucket(scenario.mixture, own, placed.water_added_l)
    told = Batched(
        ordered,
        over,
        _labelled(scenario.mixture),
        max((placed.at - oldest) / HOUR, 0.0),
        tuple(_others(ordered)),
    )
    placed = replace(placed, concrete_C=_placed_C(scenario, ordered))
    return replace(scenario, mixture=pooled, batched=told, placement=placed)


def _others(batches: Sequence[Batch]) -> Iterator[tuple[Mixture, float]]:
    """Each other mix as its strength goes by, with how far its wettest batch is over that."""
    mixes = dict.fromkeys(one.mixture for one in batches if one.mixture is not None)
    for mixture in mixes:
        _, stands_for, over = _by_bucket(mixture, [b for b in batches if b.mixture == mixture])
        yield stands_for, over


def _labelled(mixture: Mixture) -> Mixture | None:
    """The mix where its strength goes by a label or by its own kind; None: by its recipe."""
    by_recipe = not mixture.label and not CLASSES[mixture.kind].gain.fixed
    return None if by_recipe else mixture


def _by_bucket(
    mixture: Mixture, batches: Sequence[Batch], added_l: float = 0.0
) -> tuple[Mixture, Mixture, float]:
    """The mix with the water/cement ratio of the batches whose bags and water were both told, the
    mix that its strength goes by, and how far the wettest batch is over that, dimensionless.

    added_l : [l] over the label, which is water of theirs. Without the size of a bag, or with less
    water than any mix has, the ratio is the mix's own; water beyond what any has is all counted, so
    that more of it never makes a piece stronger.

    Source: definition; ABRAMS_1918 for what becomes of it.
    """
    labelled = _labelled(mixture)
    told = [(one.water_l, one.bags) for one in batches if one.water_l and one.bags]
    if not told or not mixture.bag_told:
        return mixture, labelled or mixture, 0.0
    water_l, bags = (sum(column) for column in zip(*told, strict=True))
    pooled = mixture.wettest_with(water_l - added_l, bags)
    stands_for = labelled or pooled
    over = max(mixture.ratio_with(*one) for one in told) - stands_for.resolved().water_cement
    return pooled, stands_for, min(max(over, 0.0), NOTHING_LEFT)


def _placed_C(scenario: Scenario, batches: Sequence[Batch]) -> float | None:
    """The concrete as placed [degC]: the mean of the batches, by their bags where all are told;
    towards the coldest as the section is too thick to even out before it has cooled.

    Source: OWN_JUDGEMENT, heat balance; the slowest mode of a plane wall (CRANK_1975) against the
    cooling through its two faces.
    """
    untold = scenario.placement.concrete_C
    if all(one.concrete_C is None for one in batches):
        return untold
    warm = [(one.concrete_C or untold, one.bags) for one in batches]
    known = [(degrees, bags) for degrees, bags in warm if degrees is not None]
    degrees = np.array([one for one, _ in known])
    bags = [one or 0.0 for _, one in known]
    mean = float(np.average(degrees, weights=bags if all(bags) else None))
    section_m = scenario.shape.section_mm / 1e3
    apart = min(2.0 * EVENS_W_M2K * section_m / (np.pi**2 * CONCRETE.k_W_mK), 1.0)
    return mean - apart * (mean - float(degrees.min()))


def _fits(scenario: Scenario, batches: Sequence[Batch]) -> None:
    """Batches that together are deeper than the mould are refused, where its depth is told."""
    if not scenario.shape.depth_known:
        return
    whole_mm, deep_mm = sum(one.thickness_mm or 0.0 for one in batches), depth_mm(scenario)
    if whole_mm > deep_mm * 1.001:
        raise InputError(
            "thickness_mm",
            whole_mm,
            f"all batches together are deeper than the piece as it is cast ({deep_mm:g} mm)",
            f"at most {deep_mm:g} mm in all",
        )


def depth_mm(scenario: Scenario) -> float:
    """How deep the concrete stands in the mould [mm]."""
    return scenario.shape.laid_mm[2]
