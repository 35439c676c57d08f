"""Ice before the concrete can bear it: how much at its coldest edge, and the chance that it harms.

The heat kernel leaves latent heat out. Edge and section are two lumps that would have its
temperatures; the enthalpy that is drawn from them under the freezing point makes ice instead.
"""

from dataclasses import dataclass

import numpy as np

from models.concrete import _frost_kernel, maturity
from models.concrete._frost_kernel import Lumps, Site, Water, Way
from models.concrete.heat import Column, Exposure, Histories, Schedule
from models.concrete.prior import Prior
from models.facts.frost import (
    BOUND,
    FREEZING_POINT_C,
    FULL_HEAT_KJ_KG,
    IN_GEL,
    LATENT_J_KG,
    PLACE_SD_K,
    SOAKED_MPA,
)
from models.facts.protection import FROST_MPA
from models.units import Array, Mask

# Gauss-Hermite, for the standard normal
NODES = np.array([-2.8569700, -1.3556262, 0.0, 1.3556262, 2.8569700])
NODE_WEIGHTS = np.array([0.0112574, 0.2220759, 0.5333333, 0.2220759, 0.0112574])
# The edge is a lump this deep at the most and wide as a part of it, and so much faster in exchange
# with the section than its own diffusion over its depth: fitted to a two-dimensional enthalpy
# solution over 20 to 600 mm, films of 8 to 25 W/m2K, bare to a blanket, -2 to -10 degC: a tenth of
# the water is ice within half an hour of it in the mean, within two hours in every thin section
EDGE_M, EDGE_WIDTH, EDGE_EXCHANGE = 0.06, 0.3, 6.0
SECONDS = 3600.0
FROM_C = 5.0  # ages pass by this temperature while a kelvin of the site counts


@dataclass(frozen=True)
class Surroundings:
    """What a section loses its heat through.

    column : the section; schedule : covers and boards in force; exposure : films of the air
    water_kg_m3 : [kg/m3] mixing water, with what was added
    site_K : (members,) [K] error of the site that each member has drawn, which is integrated out;
        none where readings have told of it
    site_sd_K : [K] its standard deviation; follows_air : whether the mix as placed has it too
    soaked_h : (members,) [h] when water from outside reaches each, infinite: never; none: kept dry
    """

    column: Column
    schedule: Schedule
    exposure: Exposure
    water_kg_m3: float
    site_K: Array | None = None
    site_sd_K: float = 0.0
    follows_air: bool = False
    soaked_h: Array | None = None


@dataclass(frozen=True)
class Harm:
    """by : (rows, members) chance that ice has harmed each member by each row, 0 to 1, never
    falling; depth : (members,) how deep it froze from the edge, share of the thickness."""

    by: Array
    depth: Array


def harm(
    histories: Histories,
    around: Surroundings,
    prior: Prior,
    need_MPa: float = FROST_MPA,
    marks_h: Array | None = None,
) -> Harm:
    """Chance that ice harms each member before it bears a frost.

    The site, the freezing point and the ice that a piece bears are integrated out: the site by five
    temperatures, the ice by the curve of its doubt. So the chance moves smoothly with all it hangs
    on, and few members tell it. Nothing is computed for a member that stays over freezing.

    need_MPa : [MPa], strength at which a frost is borne by what is kept dry; what water from
        outside has reached bears none under SOAKED_MPA, and what bore them before is young again
    marks_h : (n,) [h] instants whose rows stand behind the hourly ones; of no other is harm told

    Source: heat balance with ice; POWERS_1962 and MCNEESE_1952 for the harm; ACI_306R (3.5 MPa),
    CSA_A23_1 (7 MPa).
    """
    members = histories.coldest_C.shape[1]
    marks = np.empty(0) if marks_h is None else marks_h
    hours = histories.rows - len(marks)
    hour = np.concatenate((np.arange(float(hours)), marks))
    order = np.argsort(hour, kind="stable")
    out = Harm(np.zeros((hours, members)), np.zeros(members))
    dry_h = young_h = prior.age_at(need_MPa)
    coldest_C, mean_C = histories.coldest_C, histories.mean_C
    if around.soaked_h is not None and np.isfinite(around.soaked_h).any():
        soaked_h = prior.age_at(max(need_MPa, SOAKED_MPA))
        young_h = np.where(np.isfinite(around.soaked_h), soaked_h, dry_h)
        bore = (histories.te_cold_h >= dry_h) & (hour[:, None] < around.soaked_h)
        coldest_C, mean_C = (np.where(bore, np.maximum(C, 0.0), C) for C in (coldest_C, mean_C))
    own_K = np.zeros(members) if around.site_K is None else around.site_K
    sd_K = float(np.hypot(PLACE_SD_K, 0.0 if around.site_K is None else around.site_sd_K))
    age_per_K = _pace_per_K(prior)
    lowest_K = np.minimum(sd_K * NODES[0] - own_K, 0.0)
    young: Mask = histories.te_cold_h * (1 + age_per_K * lowest_K) < young_h
    near = (young & (coldest_C + lowest_K < FREEZING_POINT_C)).any(axis=0)
    if not near.any():
        return out
    order = order[: np.count_nonzero(young.any(axis=1)) + 1]  # and the row at which all are old
    site = Site(sd_K * NODES, NODE_WEIGHTS, own_K[near], float(around.follows_air), age_per_K[near])
    some = np.ix_(order, near)
    mean_C, coldest_C, te_h = (
        np.ascontiguousarray(one[some].T) for one in (mean_C, coldest_C, histories.te_cold_h)
    )
    by, depth = np.zeros_like(mean_C), np.zeros(len(mean_C))
    _frost_kernel.ice(
        hour[order],
        mean_C,
        coldest_C,
        te_h,
        young_h[near],
        _lumps(around, hour[order], near),
        _water(around, prior, near),
        site,
        by,
        depth,
    )
    whole = by[:, order < hours].T
    out.by[: len(whole), near] = whole
    out.by[len(whole) :, near] = by[:, -1]
    out.depth[near] = depth
    return out


def _pace_per_K(prior: Prior) -> Array:
    """By what share a kelvin at FROM_C moves the pace of each member, (members,) [1/K]."""
    cold, warm = (
        maturity.rate(
            degrees,
            activation_energy_kJ_mol=prior.activation_energy_kJ_mol,
            rise_kJ_mol_K=prior.rise_kJ_mol_K,
        )
        for degrees in (FROM_C - 0.5, FROM_C + 0.5)
    )
    return np.asarray(np.log(warm / cold))


def _water(around: Surroundings, prior: Prior, near: Mask) -> Water:
    """Freezable water as the kelvins by which its ice would warm the section."""
    per_kg_K = LATENT_J_KG / around.column.heat_capacity_J_m3K
    hydrated_kg = prior.cement_kg_m3 * prior.heat_kJ_kg[near] / FULL_HEAT_KJ_KG
    bound_kg = np.minimum((BOUND + IN_GEL) * hydrated_kg, 0.95 * around.water_kg_m3)
    return Water(
        around.water_kg_m3 * per_kg_K, bound_kg * per_kg_K, prior.tau_h[near], prior.beta[near]
    )


def _lumps(around: Surroundings, hour: Array, near: Mask) -> Lumps:
    """Rates of exchange of edge and section, by what is in force between each row and the last."""
    column, now = around.column, _in_force(around.schedule, hour)
    board = column.board
    board_R = column.board_mm / 1e3 / board.k_W_mK if board is not None else 0.0
    C, thick = column.heat_capacity_J_m3K, column.thickness_mm / 1e3
    deep = min(thick, EDGE_M)
    way = Way(
        now["R_top"],
        now["R_bottom"] + board_R * now["board_on"],
        now["R_side"],
        column.k_W_mK,
        thick,
        deep,
        np.array(column.half_m, np.float64),
        SECONDS / C,
    )
    edge, section = np.empty((2, np.count_nonzero(near), len(hour)))
    felt = (around.exposure.before_h + hour).astype(int)
    films = around.exposure.film_top, around.exposure.film_low
    _frost_kernel.exchange(felt, np.flatnonzero(near), *films, way, EDGE_WIDTH, edge, section)
    between = EDGE_EXCHANGE * SECONDS * column.k_W_mK / (C * deep**2)
    return Lumps(edge, section, 1 - now["heated"], between)


def _in_force(schedule: Schedule, hour: Array) -> dict[str, Array]:
    """What is in force between each row and the one before, (rows,), in the mean of that time."""
    starts = np.append(schedule.from_h, np.inf)
    begin, end = np.append(0.0, hour[:-1]), np.maximum(hour, 1e-9)
    overlap = np.minimum(starts[1:], end[:, None]) - np.maximum(starts[:-1], begin[:, None])
    part = np.maximum(overlap, 0.0)
    part /= part.sum(axis=1, keepdims=True)
    names = ("R_top", "R_bottom", "R_side", "board_on")
    found = {name: part @ getattr(schedule, name) for name in names}
    return found | {"heated": part @ np.isfinite(schedule.top_fixed_C).astype(np.float64)}
