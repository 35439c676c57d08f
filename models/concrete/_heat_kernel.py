"""Compiled sweep through time: concrete column, board below, edge strip; members innermost."""

import numpy as np

from models._jit import kernel
from models.units import Array

KELVIN = 273.15
TWENTY_K = 293.15
PSYCHROMETRIC_HPA_K = 0.668  # cp P / (0.622 Lv) at sea level, FAO_56
SECONDS = 3600.0
FIRST_AGE_H = 1e-3  # hydration is not evaluated under this equivalent age
YOUNG_STEPS = 24  # ln(age) by the library; afterwards by the series of its small growth
ENDLESS_R = 1e6  # a side as tight as this is no side: the section goes on for ever
DORMANT = 3.5  # ln of (tau / age)^beta from which on no heat is counted (exp(-33))


@kernel
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


@kernel
def sweep(
    first: int,
    last: int,
    dt_h: Array,
    hour_index: Array,
    hour_weight: Array,
    calm: Array,
    R_top: Array,
    R_bottom: Array,
    R_side: Array,
    board_on: Array,
    wet: Array,
    top_fixed_C: Array,
    bottom_fixed_C: Array,
    row: Array,
    film_top: Array,
    film_low: Array,
    convection_top: Array,
    sol_C: Array,
    air_C: Array,
    vapour_hPa: Array,
    dx_m: float,
    cells: int,
    k: float,
    rc: float,
    board_dx_m: float,
    board_cells: int,
    board_k: float,
    board_rc: float,
    strip_m: Array,
    heat_J_m3: Array,
    tau_h: Array,
    beta: Array,
    energy_K: Array,
    rise_K: Array,
    placed_C: Array,
    board_C: Array,
    mean_C: Array,
    top_C: Array,
    coldest_C: Array,
    te_mean: Array,
    te_cold: Array,
) -> None:
    """Advance members first..last: theta method, heat as given, trapezoid in equivalent age.

    In each step the balance is struck at a part of it, 0.5 to 1, that lets the slowest mode of the
    section, taken as one lump, die away exactly; at its end where calm[s] > 0, which leaves no
    ringing after a change. Heat runs on as before and is set right in the next step.

    Overwrites columns first..last of the five histories (rows, members); row[s] says which row
    step s fills, or -1. The outside (hours, members) is read at step ends, straight in between.
    """
    steps = dt_h.shape[0]
    M = last - first
    strips = strip_m.shape[0]
    column = cells + board_cells
    living = cells + strips
    thickness = dx_m * cells
    inv20 = 1 / TWENTY_K

    T = np.empty((column + strips, M))
    T1 = np.empty((column + strips, M))
    te = np.zeros((living + 1, M))
    ln_age = np.zeros((living, M))
    q = np.zeros((living, M))
    q1 = np.zeros((living, M))
    shed = np.zeros((living, M))  # heat that the cement has given
    put = np.zeros((living, M))  # rate at which it goes in, with what was short before
    short = np.zeros((living, M))
    r = np.zeros((living + 1, M))
    cp = np.zeros((column + strips, M))
    into_top = np.zeros(M)
    loss_top = np.zeros(M)
    film = np.zeros(M)
    air = np.zeros(M)
    part = np.zeros(M)
    ahead = np.zeros(M)
    ends = np.zeros((6, M))
    starts = np.zeros((6, M))
    mean = np.zeros(M)
    E = np.zeros(M)
    ln_tau = np.zeros(M)
    warm = np.zeros(M)
    rise = np.zeros(M)
    power = np.zeros(M)
    heat = np.zeros(M)
    for m in range(M):
        ln_tau[m] = np.log(tau_h[first + m])
        warm[m] = energy_K[first + m]
        rise[m] = rise_K[first + m]
        power[m] = beta[first + m]
        heat[m] = heat_J_m3[first + m]
        for i in range(column + strips):
            on_board = cells <= i < column
            T[i, m] = board_C[first + m] if on_board else placed_C[first + m]
            T1[i, m] = T[i, m]
        cold = max(TWENTY_K - KELVIN - placed_C[first + m], 0.0)
        pace = np.exp((warm[m] + rise[m] * cold) * (inv20 - 1 / (placed_C[first + m] + KELVIN)))
        for i in range(living + 1):
            r[i, m] = pace

    G = k / dx_m * SECONDS
    half = 0.5 * dx_m / k
    board_R = 0.0
    G_board = 0.0
    G_joint = 0.0
    if board_cells > 0:
        board_R = board_dx_m * board_cells / board_k
        G_board = board_k / board_dx_m * SECONDS
        G_joint = SECONDS / (half + 0.5 * board_dx_m / board_k)

    dt_old = dt_h[0]
    for s in range(steps):
        dt = dt_h[s]
        w = 0.5 * dt / dt_old
        dt_old = dt
        j = int(hour_index[s])
        g = hour_weight[s]
        n = column if board_on[s] > 0 else cells
        top_given = not np.isnan(top_fixed_C[s])
        bottom_given = not np.isnan(bottom_fixed_C[s])

        # the outside at the end of the step, and where the balance is struck
        for m in range(M):
            for a in range(6):
                starts[a, m] = ends[a, m]
            ends[0, m] = film_low[j, first + m] * (1 - g) + film_low[j + 1, first + m] * g
            ends[1, m] = air_C[j, first + m] * (1 - g) + air_C[j + 1, first + m] * g
            ends[2, m] = film_top[j, first + m] * (1 - g) + film_top[j + 1, first + m] * g
            ends[3, m] = sol_C[j, first + m] * (1 - g) + sol_C[j + 1, first + m] * g
        if wet[s] > 0:
            for m in range(M):
                ends[4, m] = (
                    convection_top[j, first + m] * (1 - g) + convection_top[j + 1, first + m] * g
                )
                ends[5, m] = vapour_hPa[j, first + m] * (1 - g) + vapour_hPa[j + 1, first + m] * g
        if s == 0 or (wet[s] > 0 and wet[s - 1] == 0):
            for a in range(6):
                for m in range(M):
                    starts[a, m] = ends[a, m]
        under = R_bottom[s] + (board_R if board_on[s] > 0 else 0.0)
        skin = thickness / (6 * k)
        lump = rc * thickness + (0.5 * board_rc * board_R * board_k if board_on[s] > 0 else 0.0)
        for m in range(M):
            over = 1.0 / (1.0 / ends[2, m] + R_top[s] + skin)
            z = SECONDS * dt / lump * (over + 1.0 / (1.0 / ends[0, m] + under + skin))
            part[m] = 0.5 + z / 12 if z < 0.1 else 1 / (1 - np.exp(-z)) - 1 / z
            if calm[s] > 0:
                part[m] = 1.0
            ahead[m] = part[m] * dt
        for m in range(M):
            film[m] = starts[0, m] + part[m] * (ends[0, m] - starts[0, m])
            air[m] = starts[1, m] + part[m] * (ends[1, m] - starts[1, m])
            h = starts[2, m] + part[m] * (ends[2, m] - starts[2, m])
            loss_top[m] = 1.0 / (R_top[s] + 1.0 / h)
            into_top[m] = starts[3, m] + part[m] * (ends[3, m] - starts[3, m])
        if top_given:
            for m in range(M):
                into_top[m] = top_fixed_C[s]
        elif wet[s] > 0:
            for m in range(M):
                h = starts[2, m] + part[m] * (ends[2, m] - starts[2, m])
                hc = starts[4, m] + part[m] * (ends[4, m] - starts[4, m])
                e = starts[5, m] + part[m] * (ends[5, m] - starts[5, m])
                F = T[0, m]
                es = 6.112 * np.exp(17.62 * F / (243.12 + F))
                slope = es * 17.62 * 243.12 / (243.12 + F) ** 2
                ge = hc / PSYCHROMETRIC_HPA_K
                total = h + ge * slope
                into_top[m] = (h * into_top[m] + ge * (slope * F - es + e)) / total
                loss_top[m] = 1.0 / (R_top[s] + 1.0 / total)
        for m in range(M):
            E[m] = bottom_fixed_C[s] if bottom_given else air[m]

        for i in range(living):
            for m in range(M):
                put[i, m] = (1 + w) * q[i, m] - w * q1[i, m] + short[i, m] / dt

        # column, forward elimination into T1
        for i in range(n):
            concrete = i < cells
            cap = rc * dx_m if concrete else board_rc * board_dx_m
            up = 0.0
            if i > 0:
                up = G_joint if i == cells else (G if concrete else G_board)
            down = 0.0
            if i < n - 1:
                down = G_joint if i == cells - 1 else (G if concrete else G_board)
            if concrete:
                for m in range(M):
                    cp[i, m] = cap / ahead[m] + up + down
                    T1[i, m] = cap / ahead[m] * T[i, m] + dx_m * put[i, m]
            else:
                for m in range(M):
                    cp[i, m] = cap / ahead[m] + up + down
                    T1[i, m] = cap / ahead[m] * T[i, m]
            # faces: a parabola through the two outer cells meets the outside (third order)
            if i == 0:
                for m in range(M):
                    U = SECONDS / (1.0 / loss_top[m] + dx_m / (3 * k))
                    b = 1.0 / (cp[i, m] + 7 / 6 * U)
                    T1[i, m] = (T1[i, m] + U * into_top[m]) * b
                    cp[i, m] = (down + U / 6) * b
            elif i == n - 1:
                third = dx_m / (3 * k) if n == cells else board_dx_m / (3 * board_k)
                for m in range(M):
                    U = SECONDS / (1.0 / film[m] + R_bottom[s] + third)
                    b = 1.0 / (cp[i, m] + 7 / 6 * U - (up + U / 6) * cp[i - 1, m])
                    T1[i, m] = (T1[i, m] + U * E[m] + (up + U / 6) * T1[i - 1, m]) * b
                    cp[i, m] = 0.0
            else:
                for m in range(M):
                    b = 1.0 / (cp[i, m] - up * cp[i - 1, m])
                    T1[i, m] = (T1[i, m] + up * T1[i - 1, m]) * b
                    cp[i, m] = down * b
        for i in range(n - 2, -1, -1):
            for m in range(M):
                T1[i, m] += cp[i, m] * T1[i + 1, m]
        for m in range(M):
            mean[m] = 0.0
        for i in range(cells):
            for m in range(M):
                mean[m] += T1[i, m]
        for m in range(M):
            mean[m] /= cells

        # edge strip: thickness-averaged lumps from the side face inwards to the column's mean
        for i in range(strips):
            a = column + i
            width = strip_m[i]
            cap = rc * width
            up = 0.0
            if i > 0:
                up = SECONDS * k / (0.5 * (strip_m[i - 1] + width))
            inner = strip_m[i + 1] if i < strips - 1 else width
            down = SECONDS * k / (0.5 * (width + inner))
            share = SECONDS * width / thickness
            for m in range(M):
                Ut = share / (1.0 / loss_top[m] + skin)
                Ub = share / (1.0 / film[m] + under + skin)
                T1[a, m] = (
                    cap / ahead[m] * T[a, m]
                    + width * put[cells + i, m]
                    + Ut * into_top[m]
                    + Ub * E[m]
                )
                cp[a, m] = cap / ahead[m] + up + down + Ut + Ub
            if i == 0:
                for m in range(M):
                    U = SECONDS / (1.0 / film[m] + R_side[s] + 0.5 * width / k)
                    cp[a, m] += U
                    T1[a, m] += U * (top_fixed_C[s] if top_given else air[m])
            if i == strips - 1:
                for m in range(M):
                    T1[a, m] += down * mean[m]
                down = 0.0
            if i == 0:
                for m in range(M):
                    b = 1.0 / cp[a, m]
                    T1[a, m] *= b
                    cp[a, m] = down * b
            else:
                for m in range(M):
                    b = 1.0 / (cp[a, m] - up * cp[a - 1, m])
                    T1[a, m] = (T1[a, m] + up * T1[a - 1, m]) * b
                    cp[a, m] = down * b
        for i in range(strips - 2, -1, -1):
            for m in range(M):
                T1[column + i, m] += cp[column + i, m] * T1[column + i + 1, m]

        # on to the end of the step; age and heat there
        for i in range(column + strips):
            if n <= i < column:
                continue
            for m in range(M):
                T[i, m] += (T1[i, m] - T[i, m]) / part[m]
        for m in range(M):
            mean[m] = 0.0
            E[m] = bottom_fixed_C[s] if bottom_given else ends[1, m]
            air[m] = ends[1, m]
            film[m] = ends[0, m]
        for i in range(cells):
            for m in range(M):
                mean[m] += T[i, m]
        for m in range(M):
            mean[m] /= cells
        if not top_given and wet[s] == 0:
            for m in range(M):
                into_top[m] = ends[3, m]
                loss_top[m] = 1.0 / (R_top[s] + 1.0 / ends[2, m])
        for i in range(living):
            a = i if i < cells else column + i - cells
            for m in range(M):
                t = T[a, m]
                cold = max(TWENTY_K - KELVIN - t, 0.0)
                pace = fast_exp((warm[m] + rise[m] * cold) * (inv20 - 1 / (t + KELVIN)))
                grown = 0.5 * dt * (r[i, m] + pace)
                z = grown / (2 * te[i, m] + grown)
                z2 = z * z
                ln_age[i, m] += (
                    2
                    * z
                    * (1 + z2 * (1 / 3 + z2 * (1 / 5 + z2 * (1 / 7 + z2 * (1 / 9 + z2 / 11)))))
                )
                te[i, m] += grown
                r[i, m] = pace
                q1[i, m] = q[i, m]
            if s < YOUNG_STEPS:
                for m in range(M):
                    ln_age[i, m] = np.log(te[i, m])
            for m in range(M):
                x = fast_exp(min(power[m] * (ln_tau[m] - ln_age[i, m]), DORMANT))
                y = heat[m] * fast_exp(-x)
                q[i, m] = y * x * power[m] * r[i, m] / te[i, m]
                short[i, m] += y - shed[i, m] - put[i, m] * dt
                shed[i, m] = y
            if s < YOUNG_STEPS:
                for m in range(M):
                    if te[i, m] < FIRST_AGE_H:
                        q[i, m] = 0.0

        # faces, edge and corner; te[living] is the corner's age
        k_row = int(row[s])
        width = strip_m[0]
        for m in range(M):
            low = 0.5 * (3 * T[cells - 1, m] - T[cells - 2, m])
            if n == cells:
                U = dx_m / (3 * k) / (1.0 / film[m] + R_bottom[s])
                low = ((7 * T[cells - 1, m] - T[cells - 2, m]) / 6 + U * E[m]) / (1 + U)
            U = dx_m / (3 * k) * loss_top[m]
            top = ((7 * T[0, m] - T[1, m]) / 6 + U * into_top[m]) / (1 + U)
            S = top_fixed_C[s] if top_given else air[m]
            Us = 1.0 / (1.0 / film[m] + R_side[s])
            edge = (T[column, m] * 2 * k / width + Us * S) / (2 * k / width + Us)
            # product of the one-dimensional drops where the excess is clear, their sum elsewhere
            excess = mean[m] - S
            drop = max(mean[m] - edge, 0.0) if R_side[s] < ENDLESS_R else 0.0
            left = min(max((edge - S) / max(excess, 0.1), 0.0), 1.0)
            clear = min(max((excess - 1.0) / 3.0, 0.0), 1.0)
            uneven = max(mean[m] - min(top, low), 0.0)
            point = mean[m] - drop * (2 - clear * (1 - left)) - uneven
            point = max(point, min(S, E[m], into_top[m], edge))
            cold = max(TWENTY_K - KELVIN - point, 0.0)
            pace = fast_exp((warm[m] + rise[m] * cold) * (inv20 - 1 / (point + KELVIN)))
            te[living, m] += 0.5 * dt * (r[living, m] + pace)
            r[living, m] = pace
            if k_row >= 0:
                age = 0.0
                for c in range(cells):
                    age += te[c, m]
                mean_C[k_row, first + m] = mean[m]
                top_C[k_row, first + m] = top
                coldest_C[k_row, first + m] = min(top, low, point)
                te_mean[k_row, first + m] = age / cells
                te_cold[k_row, first + m] = min(te[0, m], te[cells - 1, m], te[living, m])
