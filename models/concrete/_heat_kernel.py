"""Compiled sweep through time: concrete column, board below, edge strip; members innermost."""

import numpy as np

from models._jit import kernel
from models.units import Array

KELVIN = 273.15
TWENTY_K = 293.15
PSYCHROMETRIC_HPA_K = 0.668  # cp P / (0.622 Lv) at sea level, FAO_56
SECONDS = 3600.0
FIRST_AGE_H = 1e-3  # hydration is not evaluated under this equivalent age


@kernel
def sweep(
    dt_h: Array,
    hour_index: Array,
    hour_weight: Array,
    fresh: Array,
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
    T: Array,
    te: Array,
    mean_C: Array,
    top_C: Array,
    coldest_C: Array,
    te_mean: Array,
    te_cold: Array,
) -> None:
    """Advance BDF2 in temperature, extrapolated heat, trapezoid in equivalent age.

    Overwrites T (column + board + strip, M), te (cells + strip + 1 corner, M) and the five
    histories (rows, M); row[s] says which row step s fills, or -1; fresh[s] restarts the order.
    Boundary arrays are (hours, M), taken at the end of each step; step arrays are (steps,).
    """
    steps = dt_h.shape[0]
    M = T.shape[1]
    strips = strip_m.shape[0]
    column = cells + board_cells
    living = cells + strips
    T1 = T.copy()
    q = np.zeros((living, M))
    q1 = np.zeros((living, M))
    r = np.zeros((living + 1, M))
    cp = np.zeros((column + strips, M))
    corner = np.zeros(M)
    loss_top = np.zeros(M)
    into_top = np.zeros(M)
    edge_face = np.zeros(M)
    thickness = dx_m * cells
    G = k / dx_m * SECONDS
    G_board = 0.0
    G_joint = 0.0
    if board_cells > 0:
        G_board = board_k / board_dx_m * SECONDS
        G_joint = SECONDS / (0.5 * dx_m / k + 0.5 * board_dx_m / board_k)
    for m in range(M):
        corner[m] = T[0, m]
    for i in range(living):
        source = i if i < cells else column + i - cells
        for m in range(M):
            lower = max(TWENTY_K - KELVIN - T[source, m], 0.0)
            r[i, m] = np.exp(
                (energy_K[m] + rise_K[m] * lower) * (1 / TWENTY_K - 1 / (T[source, m] + KELVIN))
            )
    for m in range(M):
        r[living, m] = r[0, m]

    dt_old = dt_h[0]
    for s in range(steps):
        dt = dt_h[s]
        if fresh[s] > 0:
            c0, c1, c2, w = 1.0, 1.0, 0.0, 0.0
        else:
            w = dt / dt_old
            c0 = (1 + 2 * w) / (1 + w)
            c1 = 1 + w
            c2 = w * w / (1 + w)
        j = int(hour_index[s])
        g = hour_weight[s]
        n = column if board_on[s] > 0 else cells
        top_given = not np.isnan(top_fixed_C[s])
        bottom_given = not np.isnan(bottom_fixed_C[s])

        # outside of the top face: one conductance and one temperature
        for m in range(M):
            h = film_top[j, m] * (1 - g) + film_top[j + 1, m] * g
            E = sol_C[j, m] * (1 - g) + sol_C[j + 1, m] * g
            if top_given:
                E = top_fixed_C[s]
            elif wet[s] > 0:
                hc = convection_top[j, m] * (1 - g) + convection_top[j + 1, m] * g
                e = vapour_hPa[j, m] * (1 - g) + vapour_hPa[j + 1, m] * g
                F = T[0, m]
                es = 6.112 * np.exp(17.62 * F / (243.12 + F))
                slope = es * 17.62 * 243.12 / (243.12 + F) ** 2
                ge = hc / PSYCHROMETRIC_HPA_K
                total = h + ge * slope
                E = (h * E + ge * (slope * F - es + e)) / total
                h = total
            into_top[m] = E
            loss_top[m] = 1.0 / (R_top[s] + 1.0 / h)
        # column: forward elimination
        for i in range(n):
            cap = rc * dx_m if i < cells else board_rc * board_dx_m
            up = 0.0
            if i > 0:
                up = G_joint if i == cells else (G if i < cells else G_board)
            down = 0.0
            if i < n - 1:
                down = G_joint if i == cells - 1 else (G if i < cells else G_board)
            half = 0.5 * dx_m / k if n == cells else 0.5 * board_dx_m / board_k
            for m in range(M):
                b = c0 * cap / dt + up + down
                d = cap / dt * (c1 * T[i, m] - c2 * T1[i, m])
                if i < cells:
                    d += dx_m * ((1 + w) * q[i, m] - w * q1[i, m])
                if i == 0:
                    U = SECONDS / (1.0 / loss_top[m] + 0.5 * dx_m / k)
                    b += U
                    d += U * into_top[m]
                if i == n - 1:
                    hl = film_low[j, m] * (1 - g) + film_low[j + 1, m] * g
                    E = air_C[j, m] * (1 - g) + air_C[j + 1, m] * g
                    if bottom_given:
                        E = bottom_fixed_C[s]
                    U = SECONDS / (1.0 / hl + R_bottom[s] + half)
                    b += U
                    d += U * E
                if i > 0:
                    b -= up * cp[i - 1, m]
                    d += up * T1[i - 1, m]
                cp[i, m] = down / b
                T1[i, m] = d / b  # T1 is spent for cell i: it holds the eliminated right side
        # back substitution into T1, then T1 becomes the new T
        for i in range(n - 2, -1, -1):
            for m in range(M):
                T1[i, m] += cp[i, m] * T1[i + 1, m]
        # edge strip: thickness-averaged lumps from the side face inwards to the column's mean
        R_board = 0.0
        if board_on[s] > 0:
            R_board = board_dx_m * board_cells / board_k
        for i in range(strips):
            a = column + i
            width = strip_m[i]
            cap = rc * width
            up = 0.0
            if i > 0:
                up = SECONDS * k / (0.5 * (strip_m[i - 1] + width))
            inner = strip_m[i + 1] if i < strips - 1 else width
            down = SECONDS * k / (0.5 * (width + inner))
            for m in range(M):
                hl = film_low[j, m] * (1 - g) + film_low[j + 1, m] * g
                E = air_C[j, m] * (1 - g) + air_C[j + 1, m] * g
                B = bottom_fixed_C[s] if bottom_given else E
                S = top_fixed_C[s] if top_given else E
                skin = thickness / (6 * k)
                share = SECONDS * width / thickness
                Ut = share / (1.0 / loss_top[m] + skin)
                Ub = share / (1.0 / hl + R_bottom[s] + R_board + skin)
                b = c0 * cap / dt + up + down + Ut + Ub
                d = (
                    cap / dt * (c1 * T[a, m] - c2 * T1[a, m])
                    + width * ((1 + w) * q[cells + i, m] - w * q1[cells + i, m])
                    + Ut * into_top[m]
                    + Ub * B
                )
                if i == 0:
                    Us = SECONDS / (1.0 / hl + R_side[s] + 0.5 * width / k)
                    b += Us
                    d += Us * S
                    edge_face[m] = S
                if i == strips - 1:
                    mean = 0.0
                    for c in range(cells):
                        mean += T1[c, m]
                    d += down * mean / cells
                if i > 0:
                    b -= up * cp[a - 1, m]
                    d += up * T1[a - 1, m]
                cp[a, m] = (down if i < strips - 1 else 0.0) / b
                T1[a, m] = d / b
        for i in range(strips - 2, -1, -1):
            for m in range(M):
                T1[column + i, m] += cp[column + i, m] * T1[column + i + 1, m]
        # swap: T <- new, T1 <- old
        for i in range(n):
            for m in range(M):
                new = T1[i, m]
                T1[i, m] = T[i, m]
                T[i, m] = new
        for i in range(column, column + strips):
            for m in range(M):
                new = T1[i, m]
                T1[i, m] = T[i, m]
                T[i, m] = new
        # equivalent age and heat at the new time
        for i in range(living):
            source = i if i < cells else column + i - cells
            for m in range(M):
                t = T[source, m]
                lower = max(TWENTY_K - KELVIN - t, 0.0)
                fast = np.exp((energy_K[m] + rise_K[m] * lower) * (1 / TWENTY_K - 1 / (t + KELVIN)))
                age = te[i, m] + 0.5 * dt * (r[i, m] + fast)
                r[i, m] = fast
                te[i, m] = age
                q1[i, m] = q[i, m]
                if age > FIRST_AGE_H:
                    x = np.exp(beta[m] * np.log(tau_h[m] / age))
                    q[i, m] = heat_J_m3[m] * x * np.exp(-x) * beta[m] / age * fast
        k_row = int(row[s])
        for m in range(M):
            mean = 0.0
            age = 0.0
            for c in range(cells):
                mean += T[c, m]
                age += te[c, m]
            mean /= cells
            top = (T[0, m] * 2 * k / dx_m + loss_top[m] * into_top[m]) / (
                2 * k / dx_m + loss_top[m]
            )
            low = T[cells - 1, m]
            hl = film_low[j, m] * (1 - g) + film_low[j + 1, m] * g
            if n == cells:
                E = air_C[j, m] * (1 - g) + air_C[j + 1, m] * g
                if bottom_given:
                    E = bottom_fixed_C[s]
                U = 1.0 / (1.0 / hl + R_bottom[s])
                low = (low * 2 * k / dx_m + U * E) / (2 * k / dx_m + U)
            else:
                low = 0.5 * (3 * low - T[cells - 2, m])
            Us = 1.0 / (1.0 / hl + R_side[s])
            width = strip_m[0]
            edge = (T[column, m] * 2 * k / width + Us * edge_face[m]) / (2 * k / width + Us)
            point = edge
            if edge < mean:
                point = max(2 * edge - mean, min(edge_face[m], edge))
            lower = max(TWENTY_K - KELVIN - point, 0.0)
            fast = np.exp((energy_K[m] + rise_K[m] * lower) * (1 / TWENTY_K - 1 / (point + KELVIN)))
            te[living, m] += 0.5 * dt * (r[living, m] + fast)
            r[living, m] = fast
            corner[m] = point
            if k_row >= 0:
                mean_C[k_row, m] = mean
                top_C[k_row, m] = top
                coldest_C[k_row, m] = min(top, low, point)
                te_mean[k_row, m] = age / cells
                te_cold[k_row, m] = min(te[0, m], te[cells - 1, m], te[living, m])
        dt_old = dt
