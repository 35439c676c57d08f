"""Compiled course of ice at the coldest edge and in the section, member by member."""

from typing import NamedTuple

import numpy as np

from models._jit import kernel, stage
from models.facts.frost import CRITICAL_ICE, CRITICAL_SPREAD, FREEZING_POINT_C, HARMS
from models.units import Array, Index

STEPS = 2  # from row to row
FOLLOWS = 1.7 / CRITICAL_SPREAD  # the logistic curve that lies nearest to the normal one
FROZEN = 0.8  # share of the mixing water as ice after which more changes nothing
NEAR_K = 0.02  # a place this near to where it would be without ice goes on as without it
FREEZES_C = FREEZING_POINT_C  # a global of this module, since kernels read those


class Lumps(NamedTuple):
    """What edge and section exchange on each row with the outside [1/h], (members, rows) each, and
    with each other [1/h]; open : (rows,) how far they follow the air, 0 to 1.
    """

    edge_per_h: Array
    section_per_h: Array
    open: Array
    between_per_h: float


class Way(NamedTuple):
    """What heat passes: resistances in force on each row [m2K/W], (rows,); conductivity [W/mK];
    depth of section and edge [m]; half its measures [m], (n,); J/m3K a second of an hour.
    """

    R_top: Array
    R_low: Array
    R_side: Array
    k: float
    thick_m: float
    deep_m: float
    half_m: Array
    per_hour: float


class Water(NamedTuple):
    """Freezable water: whole_K the kelvins that its ice would warm the section by, bound_K how much
    less of them at the end of hydration; tau_h, beta of hydration, (members,).
    """

    whole_K: float
    bound_K: Array
    tau_h: Array
    beta: Array


class Site(NamedTuple):
    """What is integrated out: nodes_K, weights (nodes,); own_K (members,) drawn already; begins
    how far the concrete follows it as placed; age_per_K (members,) [1/K] what it does to ages.
    """

    nodes_K: Array
    weights: Array
    own_K: Array
    begins: float
    age_per_K: Array


@stage
def lost(depth_m: float, top: float, low: float, way: Way) -> float:
    """What a lump of some depth loses through its faces [1/h]; only the whole has the lower one."""
    skin = depth_m / (6 * way.k)
    through: float = 1 / (top + skin)
    if depth_m == way.thick_m:
        through += 1 / (low + skin)
    return through * way.per_hour / depth_m


@kernel
def exchange(
    row: Index,
    near: Index,
    film_top: Array,
    film_low: Array,
    way: Way,
    width: float,
    edge: Array,
    section: Array,
) -> None:
    """Fill what edge and section exchange with the outside [1/h], (members, rows) each.

    row, near : (rows,), (members,) places in the films (hours, members) [W/m2K]; width : of the
    edge over its depth
    """
    for n in range(near.shape[0]):
        m = near[n]
        for r in range(row.shape[0]):
            h_low = film_low[row[r], m]
            top, low = way.R_top[r] + 1 / film_top[row[r], m], way.R_low[r] + 1 / h_low
            beside = way.R_side[r] + 1 / h_low
            sides = 0.0
            for half in way.half_m:
                sides += 1 / (half * (beside + half / (3 * way.k)))
            edge[n, r] = lost(way.deep_m, top, low, way)
            edge[n, r] += way.per_hour / (beside * width * way.deep_m)
            section[n, r] = lost(way.thick_m, top, low, way) + sides * way.per_hour


@stage
def settle(
    T: float, change: float, star_C: float, rate: float, pushed: float, ice_K: float
) -> float:
    """Temperature at the end of a step, where ice may form or melt [degC].

    The enthalpy under the freezing point Tf is (Tf - T) + ice_K (1 - Tf / T); it rises by what the
    place would cool without ice and falls by rate (T - T*). Implicit: a quadratic in T.

    Source: heat balance; Raoult's law for the share Tf / T that stays liquid.
    """
    held = FREEZES_C - T
    if T < FREEZES_C:
        held += ice_K * (1 - FREEZES_C / T)
    held -= change + rate * star_C + pushed
    warm = (FREEZES_C - held) / (1 + rate)
    if warm >= FREEZES_C:
        return warm
    b = held - FREEZES_C - ice_K
    cold: float = (-b - np.sqrt(b * b - 4 * (1 + rate) * ice_K * FREEZES_C)) / (2 * (1 + rate))
    return cold


@kernel
def ice(
    hour: Array,
    mean_C: Array,
    coldest_C: Array,
    te_h: Array,
    young_h: Array,
    lumps: Lumps,
    water: Water,
    site: Site,
    harm: Array,
    depth: Array,
) -> None:
    """Chance that ice has harmed each member by each row, and how deep it went.

    hour : (rows,) [h], rising
    mean_C, coldest_C, te_h : (members, rows), without latent heat; young_h : (members,) [h] age at
    which a member bears a frost
    Adds to harm (members, rows), 0 to 1, and to depth (members,), share of the thickness.
    """
    members, rows = coldest_C.shape
    part = 1.0 / STEPS
    follows = np.empty(rows)
    for m in range(members):
        follows[0] = site.begins
        for r in range(1, rows):
            gone = 1 - np.exp(-lumps.section_per_h[m, r] * (hour[r] - hour[r - 1]))
            follows[r] = follows[r - 1] + (lumps.open[r] - follows[r - 1]) * gone
        for node in range(site.nodes_K.shape[0]):
            apart = site.nodes_K[node] - site.own_K[m]
            old = apart * follows[0]
            edge, inner = coldest_C[m, 0] + old, mean_C[m, 0] + old
            most, chance, deep = 0.0, 0.0, 0.0
            for r in range(1, rows):
                new = apart * follows[r]
                ages = 1 + site.age_per_K[m] * new
                before, after = te_h[m, r - 1] * ages, te_h[m, r] * ages
                left = 1.0  # share of the time since the row before in which it is young
                if after >= young_h[m]:
                    left = (young_h[m] - before) / max(after - before, 1e-9)
                if left > 0:
                    c0, c1 = coldest_C[m, r - 1] + old, coldest_C[m, r] + new
                    s0, s1 = mean_C[m, r - 1] + old, mean_C[m, r] + new
                    if min(c0, c1) >= FREEZES_C and abs(edge - c0) + abs(inner - s0) < NEAR_K:
                        edge, inner = c1, s1
                    else:
                        x = (water.tau_h[m] / max(te_h[m, r], 1e-3)) ** water.beta[m]
                        ice_K = water.whole_K - water.bound_K[m] * np.exp(-x)
                        wet = ice_K / water.whole_K
                        dc, ds = part * (c1 - c0), part * (s1 - s0)
                        dt = part * (hour[r] - hour[r - 1])
                        between = lumps.between_per_h * dt
                        out_s = lumps.section_per_h[m, r] * dt
                        out_e = lumps.edge_per_h[m, r] * dt + between
                        share = wet * (1 - FREEZES_C / edge) if edge < FREEZES_C else 0.0
                        for step in range(STEPS):
                            begin = step * part
                            if begin >= left:
                                break
                            here = s0 + (step + 1) * ds
                            inner = settle(inner, ds, here, out_s, 0.0, ice_K)
                            lent = between * (inner - here)
                            edge = settle(edge, dc, c0 + (step + 1) * dc, out_e, lent, ice_K)
                            last = share
                            share = wet * (1 - FREEZES_C / edge) if edge < FREEZES_C else 0.0
                            told = last + (share - last) * min((left - begin) / part, 1.0)
                            if told > most:
                                most = told
                                deep = 1.0
                                if inner > FREEZES_C and edge < FREEZES_C:
                                    deep = (FREEZES_C - edge) / (inner - edge)
                        if most > 0:
                            chance = HARMS / (1 + (CRITICAL_ICE / most) ** FOLLOWS)
                old = new
                harm[m, r] += site.weights[node] * chance
                if left < 1 or most > FROZEN:
                    for later in range(r + 1, rows):
                        harm[m, later] += site.weights[node] * chance
                    break
            depth[m] += site.weights[node] * deep
