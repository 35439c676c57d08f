"""The two hours of the pour: until when the next batch still joins the last, and what more water
costs.
"""

from dataclasses import dataclass

from models.concrete import prior as priors
from models.concrete import strength
from models.concrete.mixture import Mixture
from models.facts.fresh import FACE_PARTS, FACE_STIFF
from models.simulation import placed
from models.simulation.physics import Simulation
from models.simulation.scenario import Scenario
from models.steps.opening import level
from models.units import Array


@dataclass(frozen=True)
class Joins:
    """Hours from the last batch [h] until 1 in 20 of such mixes has begun to set, and until half
    has: infinite, not within what was looked at."""

    sure_h: float
    even_h: float


def joins(scenario: Scenario, simulation: Simulation) -> Joins:
    """Until when fresh concrete still knits with the batch that went in last [h from it].

    Up to the initial set the two can be worked into one; after it stands a cold joint, at which a
    piece parts, so that no more than 1 in 20 is run.

    Source: ASTM_C403 for the initial set; COMMON_PRACTICE for the joint.
    """
    trajectory = simulation.trajectory
    initial_h = initial_set_h(_last_mix(scenario), simulation)
    set_h = trajectory.first(trajectory.te_mean_h, initial_h)
    allowed = 1 - level("piece", scenario.rules.confidence)
    return Joins(trajectory.hour_by(set_h, allowed), trajectory.hour_by(set_h, 0.5))


def initial_set_h(mixture: Mixture | None, simulation: Simulation) -> Array:
    """Initial set of a batch in equivalent age [h at 20 degC], (members,); None: of the pour's mix.

    Source: as the mix's prior has it.
    """
    trajectory = simulation.trajectory
    if mixture is None:
        return trajectory.initial_set_h
    return priors.draw(mixture, trajectory.members).initial_set_h


def _last_mix(scenario: Scenario) -> Mixture | None:
    batches = scenario.batched.batches
    return batches[-1].mixture if batches else None


@dataclass(frozen=True)
class Backs:
    """Hours from the face coat [h]: from when, at even odds, its backing does not drive through;
    until when 19 in 20 still take it, and until when half do."""

    from_h: float
    sure_h: float
    even_h: float


def backs(scenario: Scenario, simulation: Simulation) -> Backs:
    """When a backing goes on the face coat that went in last [h from it]: two ends, and the finger
    decides between them.

    Source: COMMON_PRACTICE, as in facts.fresh.
    """
    trajectory = simulation.trajectory
    set_h = initial_set_h(_last_mix(scenario), simulation)

    def at(fraction: float) -> Array:
        return trajectory.first(trajectory.te_mean_h, fraction * set_h)

    allowed = 1 - level("piece", scenario.rules.confidence)
    parts = at(FACE_PARTS)
    return Backs(
        trajectory.hour_by(at(FACE_STIFF), 0.5),
        trajectory.hour_by(parts, allowed),
        trajectory.hour_by(parts, 0.5),
    )


@dataclass(frozen=True)
class Watered:
    """Fraction of the strength that is left, and what it is at 28 days without and with the water
    [MPa]; `batch`: of one batch, else spread over the whole piece."""

    fraction: float
    before_MPa: float
    after_MPa: float
    batch: bool
    volume_l: float  # of the concrete that it goes into


def watered(
    scenario: Scenario, simulation: Simulation, water_l: float, bags: float | None
) -> Watered:
    """What water beyond the label takes of the strength.

    water_l : [l], 0 to 200, on top of what was mixed; bags : of the batch that it goes into, None:
    it is spread over the piece

    Source: Abrams 1918, as strength.added_water_factor has it.
    """
    mixture = scenario.mixture
    mix = mixture.resolved()
    each_l = mixture.bag_yield_l
    if each_l is None and mixture.bag_kg is not None:
        each_l = 1e3 * mixture.bag_kg / mixture.density_kg_m3
    batch = bags is not None and each_l is not None
    volume_l = bags * each_l if bags is not None and each_l is not None else scenario.shape.volume_l
    added = water_l / max(mix.cement_kg_m3 * volume_l / 1e3, 1e-6)
    fraction = float(strength.added_water_factor(mix.water_cement, added))
    before = simulation.trajectory.named_28d_MPa * placed.water_factor(scenario)
    return Watered(fraction, before, fraction * before, batch, volume_l)
