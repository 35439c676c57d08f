"""Stages of one step of the heat kernel: section, edge strip, ages and heat; members innermost.

Every stage reads NamedTuples of arrays and writes into those of `State` or `Faces`.
"""

import numpy as np

from models._jit import stage
from models.concrete._heat_sides import through_sides
from models.concrete._heat_state import (
    SECONDS,
    TWENTY_K,
    BlockCement,
    Conductances,
    Exposure,
    Faces,
    Histories,
    Layers,
    State,
    Steps,
)
from models.facts.air import MAGNUS_A_HPA, MAGNUS_M, MAGNUS_TN_C, PSYCHROMETRIC_HPA_K
from models.facts.frost import HYDRATION_ENDS_C, HYDRATION_SLOWS_C
from models.units import KELVIN, Array

FIRST_AGE_H = 1e-3  # hydration is not evaluated under this equivalent age
YOUNG_STEPS = 24  # ln(age) by the library; afterwards by the series of its small growth
ENDLESS_R = 1e6  # a side as tight as this is no side: the section goes on for ever
DORMANT = 3.5  # ln of (tau / age)^beta from which on no heat is counted (exp(-33))


@stage
def fast_exp(x: float) -> float:
    """exp(x) for |x| <= 30 to a few 1e-6, without a branch, so that loops vectorise."""
    y = x / 256.0
    p = 1.0 + y * (1.0 + y * (0.5 + y * (1 / 6 + y * (1 / 24 + y * (1 / 120 + y / 720)))))
    p *= p
    p *= p
    p *= p
    p *= p
    p *= p
    p *= p
    p *= p
    p *= p
    return p


@stage
def pace_at(temperature_C: float, energy_K: float, rise_K: float) -> float:
    """Equivalent hours at 20 degC that an hour counts for: exp(E/R (1/293 - 1/T)), fading in frost.

    E rises by rise_K for each kelvin under 20 degC. Source: FHP_1977; as maturity.rate.
    """
    energy_K += rise_K * max(TWENTY_K - KELVIN - temperature_C, 0.0)
    x = energy_K * (1 / TWENTY_K - 1 / (temperature_C + KELVIN))
    thawed = (temperature_C - HYDRATION_ENDS_C) / (HYDRATION_SLOWS_C - HYDRATION_ENDS_C)
    pace: float = min(max(thawed, 0.0), 1.0) * fast_exp(x)
    return pace


@stage
def read_outside(s: int, first: int, steps: Steps, outside: Exposure, ends: Exposure) -> None:
    """The outside at the end of step s, by straight lines between the hours."""
    j = int(steps.hour_index[s])
    g = steps.hour_weight[s]
    film_top, film_low, hd = outside.film_top, outside.film_low, outside.drying_top
    sol, air, vapour = outside.sol_C, outside.air_C, outside.vapour_hPa
    for m in range(ends.air_C.shape[0]):
        c = first + m
        ends.film_low[m] = film_low[j, c] * (1 - g) + film_low[j + 1, c] * g
        ends.air_C[m] = air[j, c] * (1 - g) + air[j + 1, c] * g
        ends.film_top[m] = film_top[j, c] * (1 - g) + film_top[j + 1, c] * g
        ends.sol_C[m] = sol[j, c] * (1 - g) + sol[j + 1, c] * g
    if steps.wet[s] > 0:
        for m in range(ends.air_C.shape[0]):
            c = first + m
            ends.drying_top[m] = hd[j, c] * (1 - g) + hd[j + 1, c] * g
            ends.vapour_hPa[m] = vapour[j, c] * (1 - g) + vapour[j + 1, c] * g


@stage
def place_balance(
    s: int, steps: Steps, layers: Layers, G: Conductances, ends: Exposure, faces: Faces
) -> None:
    """At which part of the step the balance is struck: that lets the slowest mode die exactly.

    The section taken as one lump cools by exp(-z); 1 / (1 - exp(-z)) - 1 / z makes the theta method
    do the same, 0.5 (trapezoid) for z -> 0 and 1 (implicit) for long steps; 1 where it is calm.
    """
    board = steps.board_on[s] > 0
    thickness, board_R = G.thickness_m, G.board_R
    under = steps.R_bottom[s] + (board_R if board else 0.0)
    skin = thickness / (6 * layers.k)
    R_side = steps.R_side[s]
    beside = 0.5 * G.side_R if steps.sides_on[s] > 0 else 0.0
    lump = layers.rc * thickness + (
        0.5 * layers.board_rc * board_R * layers.board_k if board else 0.0
    )
    for m in range(faces.part.shape[0]):
        over = 1.0 / (1.0 / ends.film_top[m] + steps.R_top[s] + skin)
        over += 1.0 / (1.0 / ends.film_low[m] + under + skin)
        faces.sides[m] = through_sides(1.0 / ends.film_low[m] + R_side, layers)
        z = steps.dt_h[s] / lump * (SECONDS * over + faces.sides[m] * thickness)
        if beside > 0:
            faces.sides[m] = through_sides(beside, layers)
        faces.part[m] = 0.5 + z / 12 if z < 0.1 else 1 / (1 - np.exp(-z)) - 1 / z
        if steps.calm[s] > 0:
            faces.part[m] = 1.0
        faces.ahead_h[m] = faces.part[m] * steps.dt_h[s]


@stage
def meet_outside(
    s: int, steps: Steps, starts: Exposure, ends: Exposure, faces: Faces, state: State
) -> None:
    """What each face meets where the balance is struck.

    A wet top face loses heat by evaporation besides, hd / 0.668 (es(T) - e), linear in T about the
    face (Penman's way): a larger film coefficient towards a lower temperature.
    Source: FAO_56 for the psychrometric constant, WMO_8 for es.
    """
    R_top, fixed_C = steps.R_top[s], steps.top_fixed_C[s]
    below_C = steps.bottom_fixed_C[s]
    for m in range(faces.part.shape[0]):
        part = faces.part[m]
        faces.film[m] = starts.film_low[m] + part * (ends.film_low[m] - starts.film_low[m])
        faces.air_C[m] = starts.air_C[m] + part * (ends.air_C[m] - starts.air_C[m])
        h = starts.film_top[m] + part * (ends.film_top[m] - starts.film_top[m])
        faces.U_top[m] = 1.0 / (R_top + 1.0 / h)
        faces.into_top_C[m] = starts.sol_C[m] + part * (ends.sol_C[m] - starts.sol_C[m])
    if not np.isnan(fixed_C):
        for m in range(faces.part.shape[0]):
            faces.into_top_C[m] = fixed_C
    elif steps.wet[s] > 0:
        for m in range(faces.part.shape[0]):
            part = faces.part[m]
            h = starts.film_top[m] + part * (ends.film_top[m] - starts.film_top[m])
            faces.into_top_C[m] *= h  # what air, sun and sky give [W/m2]
        for m in range(faces.part.shape[0]):
            part = faces.part[m]
            h = starts.film_top[m] + part * (ends.film_top[m] - starts.film_top[m])
            hd = starts.drying_top[m] + part * (ends.drying_top[m] - starts.drying_top[m])
            e = starts.vapour_hPa[m] + part * (ends.vapour_hPa[m] - starts.vapour_hPa[m])
            F = state.T[0, m]
            es = MAGNUS_A_HPA * np.exp(MAGNUS_M * F / (MAGNUS_TN_C + F))
            slope = es * MAGNUS_M * MAGNUS_TN_C / (MAGNUS_TN_C + F) ** 2
            ge = hd / PSYCHROMETRIC_HPA_K
            total = h + ge * slope
            faces.into_top_C[m] = (faces.into_top_C[m] + ge * (slope * F - es + e)) / total
            faces.U_top[m] = 1.0 / (R_top + 1.0 / total)
    for m in range(faces.part.shape[0]):
        faces.below_C[m] = faces.air_C[m] if np.isnan(below_C) else below_C
        faces.beside_C[m] = faces.air_C[m] if np.isnan(fixed_C) else fixed_C


@stage
def put_heat(dt: float, dt_old: float, state: State) -> None:
    """Rate of heat in this step: straight on from the two before, and what was short then."""
    w = 0.5 * dt / dt_old
    q, q1, short, put = state.q, state.q1, state.short, state.put
    for i in range(q.shape[0]):
        for m in range(q.shape[1]):
            put[i, m] = (1 + w) * q[i, m] - w * q1[i, m] + short[i, m] / dt


@stage
def solve_column(
    n: int, R_bottom: float, layers: Layers, G: Conductances, faces: Faces, state: State
) -> None:
    """Temperature of the n cells where the balance is struck: rho c dT/dt = d/dx(k dT/dx) + q,
    less what leaves through the sides.

    Finite volumes; the three-diagonal system by elimination downwards (Thomas) and back. At the
    faces a parabola through the two outer cells meets the outside, which is of third order.
    Source: Fourier's law.
    """
    cells, k, dx = layers.cells, layers.k, layers.dx_m
    T, T1, cp, put = state.T, state.T1, state.cp, state.put
    members = T.shape[1]
    for i in range(n):
        concrete = i < cells
        cap = layers.rc * dx if concrete else layers.board_rc * layers.board_dx_m
        up = 0.0
        if i > 0:
            up = G.joint if i == cells else (G.concrete if concrete else G.board)
        down = 0.0
        if i < n - 1:
            down = G.joint if i == cells - 1 else (G.concrete if concrete else G.board)
        if concrete:
            for m in range(members):
                kept = cap / faces.ahead_h[m]
                cp[i, m] = kept + up + down + dx * faces.sides[m]
                T1[i, m] = kept * T[i, m] + dx * (put[i, m] + faces.through_sides[m])
        else:
            for m in range(members):
                cp[i, m] = cap / faces.ahead_h[m] + up + down
                T1[i, m] = cap / faces.ahead_h[m] * T[i, m]
        if i == 0:
            for m in range(members):
                U = SECONDS / (1.0 / faces.U_top[m] + dx / (3 * k))
                b = 1.0 / (cp[i, m] + 7 / 6 * U)
                T1[i, m] = (T1[i, m] + U * faces.into_top_C[m]) * b
                cp[i, m] = (down + U / 6) * b
        elif i == n - 1:
            third = dx / (3 * k) if n == cells else layers.board_dx_m / (3 * layers.board_k)
            for m in range(members):
                U = SECONDS / (1.0 / faces.film[m] + R_bottom + third)
                b = 1.0 / (cp[i, m] + 7 / 6 * U - (up + U / 6) * cp[i - 1, m])
                T1[i, m] = (T1[i, m] + U * faces.below_C[m] + (up + U / 6) * T1[i - 1, m]) * b
                cp[i, m] = 0.0
        else:
            for m in range(members):
                b = 1.0 / (cp[i, m] - up * cp[i - 1, m])
                T1[i, m] = (T1[i, m] + up * T1[i - 1, m]) * b
                cp[i, m] = down * b
    for i in range(n - 2, -1, -1):
        for m in range(members):
            T1[i, m] += cp[i, m] * T1[i + 1, m]
    mean_of(T1, cells, faces.mean_C)
    third = dx / (3 * k)
    for m in range(members):
        U = SECONDS / (1.0 / faces.U_top[m] + third)
        faces.lost[m] = U * ((7 * T1[0, m] - T1[1, m]) / 6 - faces.into_top_C[m])
        if n > cells:
            faces.lost[m] += G.joint * (T1[cells - 1, m] - T1[cells, m])
        else:
            U = SECONDS / (1.0 / faces.film[m] + R_bottom + third)
            low = (7 * T1[cells - 1, m] - T1[cells - 2, m]) / 6
            faces.lost[m] += U * (low - faces.below_C[m])


@stage
def mean_of(T: Array, cells: int, mean_C: Array) -> None:
    """Mean of the concrete of each member."""
    for m in range(mean_C.shape[0]):
        mean_C[m] = 0.0
    for i in range(cells):
        for m in range(mean_C.shape[0]):
            mean_C[m] += T[i, m]
    for m in range(mean_C.shape[0]):
        mean_C[m] /= cells


@stage
def go_to_end(
    s: int, n: int, steps: Steps, layers: Layers, ends: Exposure, faces: Faces, state: State
) -> None:
    """From where the balance was struck on to the end of the step; what the faces meet there."""
    T, T1 = state.T, state.T1
    column = layers.cells + layers.board_cells
    sides = column + layers.strip_m.shape[0]
    for i in range(T.shape[0]):
        if n <= i < column or (i >= sides and steps.sides_on[s] == 0):
            continue  # a board that is off keeps its temperature
        for m in range(T.shape[1]):
            T[i, m] += (T1[i, m] - T[i, m]) / faces.part[m]
    below_C, fixed_C = steps.bottom_fixed_C[s], steps.top_fixed_C[s]
    for m in range(T.shape[1]):
        faces.below_C[m] = ends.air_C[m] if np.isnan(below_C) else below_C
        faces.beside_C[m] = ends.air_C[m] if np.isnan(fixed_C) else fixed_C
        faces.air_C[m] = ends.air_C[m]
        faces.film[m] = ends.film_low[m]
    mean_of(T, layers.cells, faces.mean_C)
    if np.isnan(fixed_C) and steps.wet[s] == 0:
        for m in range(T.shape[1]):
            faces.into_top_C[m] = ends.sol_C[m]
            faces.U_top[m] = 1.0 / (steps.R_top[s] + 1.0 / ends.film_top[m])


@stage
def hydrate(s: int, dt: float, layers: Layers, block: BlockCement, state: State) -> None:
    """Equivalent age, and the heat H exp(-(tau / te)^beta) that it has set free, in each cell.

    The age by the trapezoid of its pace; ln(te) goes on by 2 artanh(z) of its growth, five terms.
    Source: FHP_1977 for the age, SCHINDLER_FOLLIARD_2005 for the curve.
    """
    cells, strips = layers.cells, layers.strip_m.shape[0]
    members = block.ln_tau.shape[0]
    T, te, pace, ln_age = state.T, state.te, state.pace, state.ln_age
    q, q1, short, shed, put = state.q, state.q1, state.short, state.shed, state.put
    for i in range(cells + strips):
        a = i if i < cells else layers.board_cells + i
        for m in range(members):
            now = pace_at(T[a, m], block.energy_K[m], block.rise_K[m])
            grown = 0.5 * dt * (pace[i, m] + now)
            z = grown / (2 * te[i, m] + grown)
            z2 = z * z
            series = 1 / 3 + z2 * (1 / 5 + z2 * (1 / 7 + z2 * (1 / 9 + z2 / 11)))
            ln_age[i, m] += 2 * z * (1 + z2 * series)
            te[i, m] += grown
            pace[i, m] = now
            q1[i, m] = q[i, m]
        if s < YOUNG_STEPS:
            for m in range(members):
                ln_age[i, m] = np.log(te[i, m])
        for m in range(members):
            x = fast_exp(min(block.beta[m] * (block.ln_tau[m] - ln_age[i, m]), DORMANT))
            y = block.heat_J_m3[m] * fast_exp(-x)
            q[i, m] = y * x * block.beta[m] * pace[i, m] / te[i, m]
            short[i, m] += y - shed[i, m] - put[i, m] * dt
            shed[i, m] = y
        if s < YOUNG_STEPS:
            for m in range(members):
                if te[i, m] < FIRST_AGE_H:
                    q[i, m] = 0.0


@stage
def record(
    s: int,
    n: int,
    first: int,
    steps: Steps,
    layers: Layers,
    G: Conductances,
    block: BlockCement,
    faces: Faces,
    state: State,
    out: Histories,
) -> None:
    """Faces, edge and corner at the end of the step; the corner's age; a row of the histories.

    The corner takes the product of the one-dimensional drops of two edges where the excess over
    the air is clear, their sum elsewhere, from the colder of top and low face on; it is never
    colder than what surrounds it. Source: OWN_JUDGEMENT for the switch between the two.
    """
    cells, k, dx = layers.cells, layers.k, layers.dx_m
    T, te, pace = state.T, state.te, state.pace
    R_bottom, R_side = steps.R_bottom[s], steps.R_side[s]
    corner = te.shape[0] - 1
    strips, first_strip = layers.strip_m.shape[0], cells + layers.board_cells
    row, width = int(steps.row[s]), layers.strip_m[0]
    beside = T.shape[0] - 1  # the cell of the side board that touches the concrete
    on = steps.sides_on[s] > 0 and layers.side_cells > 0
    for m in range(T.shape[1]):
        low = 0.5 * (3 * T[cells - 1, m] - T[cells - 2, m])
        if n == cells:
            U = dx / (3 * k) / (1.0 / faces.film[m] + R_bottom)
            low = ((7 * T[cells - 1, m] - T[cells - 2, m]) / 6 + U * faces.below_C[m]) / (1 + U)
        U = dx / (3 * k) * faces.U_top[m]
        top = ((7 * T[0, m] - T[1, m]) / 6 + U * faces.into_top_C[m]) / (1 + U)
        S = faces.beside_C[m]
        Us, meets_C = 1.0 / (1.0 / faces.film[m] + R_side), S
        if on:
            Us, meets_C = layers.side_more * 2 * layers.side_k / layers.side_dx_m, T[beside, m]
        edge = T[first_strip, m] * 2 * k / width + Us * meets_C
        edge /= 2 * k / width + Us
        whole = 0.0
        for i in range(strips):
            whole += layers.whole[i] * T[first_strip + i, m]
        base = min(top, low)
        excess = whole - S
        drop = max(whole - edge, 0.0) if R_side < ENDLESS_R else 0.0
        left = min(max((edge - S) / max(excess, 0.1), 0.0), 1.0)
        clear = min(max((excess - 1.0) / 3.0, 0.0), 1.0)
        there = min(max((base - S) / max(excess, 0.1), 0.0), 1.0)
        point = base - drop * (2 - clear * (1 - left)) * (1 - clear * (1 - there))
        if on:
            # of three edges one stands upright, two lie half on the side and half under it
            side, under = R_side - G.side_R + 1.0 / faces.film[m], R_bottom + 1.0 / faces.film[m]
            lying = 2 * side * under / (side + under)
            dip = 1.0 / (1.0 + layers.edge * side) + 2.0 / (1.0 + layers.edge * lying)
            point -= max(point - S, 0.0) * min(layers.corner_dip * dip / 3, 0.5)
        point = max(point, min(S, faces.below_C[m], faces.into_top_C[m], edge))
        now = pace_at(point, block.energy_K[m], block.rise_K[m])
        te[corner, m] += 0.5 * steps.dt_h[s] * (pace[corner, m] + now)
        pace[corner, m] = now
        if row >= 0:
            age = 0.0
            for c in range(cells):
                age += te[c, m]
            out.mean_C[row, first + m] = faces.mean_C[m]
            out.top_C[row, first + m] = top
            out.coldest_C[row, first + m] = min(top, low, point)
            out.te_mean_h[row, first + m] = age / cells
            out.te_cold_h[row, first + m] = min(te[0, m], te[cells - 1, m], te[corner, m])
