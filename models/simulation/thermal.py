"""What the sweep of heat is given of a pour: its section, its ground, and its cement."""

import numpy as np

from models.air import place, sun
from models.concrete import heat
from models.concrete import prior as priors
from models.facts.materials import BOARDS, CONCRETE, GROUND_DEPTH_MM, SIDE_FORM_M2K_W
from models.simulation import stays, weather
from models.simulation.scenario import Scenario
from models.units import Array


def body(scenario: Scenario) -> stays.Body:
    """What of it meets the air: the walls of a box stand, a block has both, a panel lies."""
    faces = {"box": sun.STANDING, "block": sun.BLOCK}.get(scenario.shape.like, sun.LYING)
    return stays.Body(faces, column(scenario), scenario.mixture.colour or "grey")


def column(scenario: Scenario) -> heat.Column:
    """The section from its open face to its board, between the boards at its sides; of a box a wall
    that has none. A block stands as it was cast: its section is its height."""
    shape, mould = scenario.shape, scenario.mould
    side = (mould.thickness_mm, BOARDS[mould.material])
    if scenario.on_ground:
        plywood = BOARDS["plywood"]
        side = (1e3 * SIDE_FORM_M2K_W * plywood.k_W_mK, plywood)
    thick_mm, plan_mm = shape.section_mm, (shape.length_mm, shape.width_mm)
    if shape.like == "block":
        thick_mm = shape.standing_mm
    if shape.like == "box":
        plan_mm, side = (np.inf, np.inf), (0.0, side[1])
    return heat.Column(
        thick_mm,
        GROUND_DEPTH_MM if scenario.on_ground else mould.thickness_mm,
        BOARDS[mould.material],
        CONCRETE.k_W_mK,
        scenario.mixture.density_kg_m3 * CONCRETE.c_J_kgK,
        None,
        plan_mm,
        *side,
    )


def ground_C(local: place.AtPiece, row: int, given_C: float | None = None) -> Array:
    """Ground under a piece, (members,) [degC]: as told, else mean air of the three days before.

    Source: OWN_JUDGEMENT (the daily wave is a fifth at 0.3 m, CRANK_1975 for the depth).
    """
    if given_C is not None:
        return np.full(local.air_C.shape[1], given_C)
    return np.asarray(local.air_C[max(0, row - weather.SPIN_UP_H) : row + 1].mean(axis=0))


def kinetics(prior: priors.Prior) -> heat.Kinetics:
    """Heat and rate law of the members of a mix."""
    return heat.Kinetics(
        prior.cement_kg_m3 * prior.heat_kJ_kg * 1e3,
        prior.tau_h,
        prior.beta,
        prior.activation_energy_kJ_mol,
        prior.rise_kJ_mol_K,
    )
