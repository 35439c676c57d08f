"""A pour out of several batches: the youngest sets its clock, the wettest its strength."""

from collections.abc import Sequence
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


def with_batches(scenario: Scenario, batches: Sequence[Batch]) -> Scenario:
    """The scenario with what its batches tell; without any, the same.

    Raises InputError for batches that together are deeper than the piece as it is cast.
    """
    if not batches:
        return scenario
    ordered = tuple(sorted(batches, key=lambda one: one.at))
    _fits(scenario, ordered)
    own = [one for one in ordered if one.mixture is None]
    pooled = _by_bucket(scenario, own)
    placed, oldest = scenario.placement, ordered[0].at
    by_recipe = not scenario.mixture.label and not CLASSES[scenario.mixture.kind].gain.fixed
    stands_for = pooled.mixture if by_recipe else scenario.mixture
    told = Batched(
        ordered,
        _over_water_cement(scenario.mixture, stands_for, own),
        None if by_recipe else scenario.mixture,
        max((placed.at - oldest) / HOUR, 0.0),
    )
    return replace(
        pooled, batched=told, placement=replace(placed, concrete_C=_placed_C(scenario, ordered))
    )


def _by_bucket(scenario: Scenario, batches: Sequence[Batch]) -> Scenario:
    """With the water/cement ratio of the batches whose bags and water were both told; what was
    added over the label is water of theirs. No bag's size, or a slip: it is the mix's own."""
    told = [(one.water_l, one.bags) for one in batches if one.water_l and one.bags]
    if not told:
        return scenario
    water_l = sum(water for water, _ in told) - scenario.placement.water_added_l
    try:
        return replace(
            scenario, mixture=scenario.mixture.mixed_with(water_l, sum(b for _, b in told))
        )
    except InputError:
        return scenario


def _over_water_cement(own: Mixture, stands_for: Mixture, batches: Sequence[Batch]) -> float:
    """How far the wettest batch is over the ratio that the strength stands for, dimensionless: that
    of the label, else that of all batches together, by which the recipe's strength goes.

    Source: definition; ABRAMS_1918 for what becomes of it.
    """
    ratios = [ratio for one in batches if (ratio := _ratio(own, one)) is not None]
    if not ratios:
        return 0.0
    return max(max(ratios) - stands_for.resolved().water_cement, 0.0)


def _ratio(mixture: Mixture, batch: Batch) -> float | None:
    if not batch.water_l or not batch.bags:
        return None
    try:
        return mixture.mixed_with(batch.water_l, batch.bags).water_cement
    except InputError:  # no bag's size, or a slip
        return None


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
    """Batches that together are deeper than the mould are refused."""
    whole_mm, deep_mm = sum(one.thickness_mm or 0.0 for one in batches), depth_mm(scenario)
    if whole_mm > deep_mm * 1.001:
        raise InputError(
            "thickness_mm",
            whole_mm,
            f"all batches together are deeper than the piece as it is cast ({deep_mm:g} mm)",
            f"at most {deep_mm:g} mm in all",
        )


def depth_mm(scenario: Scenario) -> float:
    """How deep the concrete stands in the mould [mm]; of what is cast on its side, the more of its
    width and its height."""
    shape = scenario.shape
    high_mm = shape.height_of_piece_mm
    return max(shape.width_mm, high_mm) if shape.cast_as == "on-side" else high_mm
