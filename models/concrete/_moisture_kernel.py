"""Compiled sweep of pore humidity through time: cells outermost, members innermost."""

import numpy as np

from models._jit import kernel
from models.units import Array

PASSES = 3  # the diffusivity is taken again at the humidity it led to
TABLE_PER_UNIT = 512  # points of the table of the law's integral
SAME = 1e-7  # two humidities as near as this have the slope of the table between them
LEAST_ROOM = 0.02  # pore humidity over which self-desiccation fades, at the least


@kernel
def mean_shape(a: float, b: float, Pa: float, Pb: float, near: float, dry: float) -> float:
    """Mean of D / D1 between two u, exact for the law: its integral P over its span.

    near : 1 / (1 + u^n) at one of them, for the case that they are the same
    """
    span = b - a
    apart = abs(span) > SAME
    mean: float = dry + (1 - dry) * ((Pb - Pa) / span if apart else near)
    return mean


@kernel
def looked_up(table: Array, u: float) -> tuple[float, float]:
    """Integral of 1 / (1 + u^n) from 0 to u by straight lines in the table, and their slope."""
    place = min(max(u, 0.0) * TABLE_PER_UNIT, table.shape[0] - 1.001)
    k = np.int32(place)
    low = table[k]
    rise = table[k + 1] - low
    return low + (place - k) * rise, rise * TABLE_PER_UNIT


@kernel
def held_at(sorption: Array, h: float) -> float:
    """Moisture by mass at a humidity by straight lines between the points of the curve."""
    bins = sorption.shape[0] - 1
    place = min(max(h, 0.0) * bins, bins - 1e-9)
    k = np.int32(place)
    held: float = sorption[k] + (place - k) * (sorption[k + 1] - sorption[k])
    return held


@kernel
def humidity_of(sorption: Array, held: float) -> float:
    """Humidity at which a moisture by mass is held: the curve the other way round."""
    bins = sorption.shape[0] - 1
    k = 0
    while k < bins - 1 and sorption[k + 1] < held:
        k += 1
    place = k + (held - sorption[k]) / (sorption[k + 1] - sorption[k])
    rh: float = min(place / bins, 1.0)
    return rh


@kernel
def soak(
    h: Array,
    m: int,
    low: bool,
    volume: Array,
    sorption: Array,
    kg_m2_mm: float,
    pull: float,
    offered: float,
    hours: float,
) -> float:
    """Fill the cells of member m from one face inwards with the water that suction takes [kg/m2].

    A sharp front: the face takes pull / depth [kg/m2h], never more than is offered, and what is
    full already costs no time. The wetter a section is, the deeper the front runs, so that none
    that was wetter becomes the drier one.

    kg_m2_mm : what one per cent of moisture weighs in a millimetre of section [kg/m2]
    pull : [kg mm/m2h]; offered : [kg/m2] in these hours, more than 0
    """
    cells = volume.shape[0]
    full = sorption[sorption.shape[0] - 1]
    rate = offered / hours  # kg/m2h
    apart = pull / rate  # mm: nearer than this rain is what lacks, deeper suction
    left, depth, taken = hours, 0.0, 0.0
    for j in range(cells):
        i = cells - 1 - j if low else j
        held = held_at(sorption, h[i, m])
        room = (full - held) * kg_m2_mm  # kg/m2 in a millimetre
        end = depth + volume[i]
        if room > 1e-12:
            near, far = min(end, max(apart, depth)), max(apart, depth)
            whole = room / rate * (near - depth)  # h to fill it
            if end > far:
                whole += room / pull * 0.5 * (end * end - far * far)
            if whole > left:
                reach = depth + left * rate / room
                if reach > near:
                    spare = left - room / rate * (near - depth)
                    reach = np.sqrt(far * far + 2.0 * spare * pull / room)
                share = min(max((reach - depth) / volume[i], 0.0), 1.0)
                taken += share * volume[i] * room
                h[i, m] = max(h[i, m], humidity_of(sorption, held + share * (full - held)))
                return float(taken)
            left -= whole
            taken += room * volume[i]
            h[i, m] = 1.0
        depth = end
    return float(taken)


@kernel
def sweep(
    first: int,
    last: int,
    per_hour: int,
    D1_mm2_h: Array,
    sink_h: Array,
    sealed_rh: Array,
    stops_rh: float,
    top_rh: Array,
    low_rh: Array,
    top_wet: Array,
    low_wet: Array,
    suction: Array,
    kg_m2_mm: Array,
    area: Array,
    volume: Array,
    gap_mm: Array,
    centre: Array,
    alpha: Array,
    hc: Array,
    surface_mm: Array,
    table: Array,
    start_rh: Array,
    probe_cell: Array,
    probe_weight: Array,
    sorption: Array,
    keep: Array,
    mean_out: Array,
    probe_out: Array,
    top_out: Array,
    low_out: Array,
    lost_out: Array,
    mass_out: Array,
    tilt_out: Array,
    flow_out: Array,
    soaked_out: Array,
    profile: Array,
) -> None:
    """Advance members first..last: implicit Euler, the law's exact mean of D between two cells.

    Monotone: drier air leads to no wetter cell. Humidity outside (rows, members), NaN where the
    face is closed. Where water lies on a face (top_wet, low_wet [kg/m2] in the hour) suction takes
    it in and the face gives nothing off. Overwrites columns first..last of the histories (rows + 1,
    members).
    """
    rows = D1_mm2_h.shape[0]
    cells = volume.shape[0]
    M = last - first
    dt = 1.0 / per_hour
    probes = probe_cell.shape[0]
    whole = 0.0
    for i in range(cells):
        whole += volume[i]

    h = np.empty((cells, M))
    old = np.empty((cells, M))
    bound = np.zeros((cells, M))
    u = np.empty((cells, M))  # (1 - h) / (1 - hc), its integral P, and D there
    P = np.empty((cells, M))
    near = np.empty((cells, M))
    g = np.empty((cells + 1, M))
    cp = np.empty((cells, M))
    face_top = np.empty(M)
    face_low = np.empty(M)
    U_top = np.zeros(M)
    U_low = np.zeros(M)
    env_top = np.zeros(M)
    env_low = np.zeros(M)
    flow = np.zeros(M)
    soaked = np.zeros(M)
    into_top = np.zeros(M)
    into_low = np.zeros(M)
    film_top = np.zeros(M)
    film_low = np.zeros(M)
    inv = np.empty(M)
    dry = np.empty(M)
    for m in range(M):
        dry[m] = alpha[first + m]
        inv[m] = 1.0 / (1.0 - hc[first + m])
        face_top[m] = start_rh[first + m]
        face_low[m] = start_rh[first + m]
        for i in range(cells):
            h[i, m] = start_rh[first + m]

    begun = False  # before a face first opens, all cells are alike and nothing flows
    for r in range(rows + 1):
        # what stands at hour r
        for m in range(M):
            c = first + m
            mean_out[r, c] = 0.0
            mass_out[r, c] = 0.0
            lost_out[r, c] = 0.0
            tilt_out[r, c] = 0.0
            top_out[r, c] = face_top[m]
            low_out[r, c] = face_low[m]
            flow_out[r, c] = flow[m]
            soaked_out[r, c] = soaked[m]
        for i in range(cells):
            share = volume[i] / whole
            lean = 12.0 * share * centre[i]
            for m in range(M):
                c = first + m
                mean_out[r, c] += share * h[i, m]
                tilt_out[r, c] += lean * h[i, m]
                mass_out[r, c] += share * held_at(sorption, h[i, m])
                lost_out[r, c] += share * held_at(sorption, h[i, m] + bound[i, m])
        for m in range(M):
            wettest = 0.0
            for p in range(probes):
                k = int(probe_cell[p])
                w = probe_weight[p]
                wettest = max(wettest, h[k, m] * (1 - w) + h[k + 1, m] * w)
            probe_out[r, first + m] = wettest
        if keep[r] >= 0:
            for i in range(cells):
                for m in range(M):
                    profile[int(keep[r]), i, first + m] = h[i, m]
        if r == rows:
            break

        for m in range(M):
            env_top[m] = top_rh[r, first + m]
            env_low[m] = low_rh[r, first + m]
            # water on a face meets no film of air
            film_top[m] = surface_mm[first + m] if env_top[m] < 1.0 else 0.0
            film_low[m] = surface_mm[first + m] if env_low[m] < 1.0 else 0.0
            if top_wet[r, first + m] > 0.0:
                env_top[m] = np.nan
                begun = True
            if low_wet[r, first + m] > 0.0:
                env_low[m] = np.nan
                begun = True
            begun = begun or not (np.isnan(env_top[m]) and np.isnan(env_low[m]))
        for _ in range(per_hour):
            for m in range(M):
                c = first + m
                if top_wet[r, c] > 0.0:
                    soaked[m] += soak(
                        h,
                        m,
                        False,
                        volume,
                        sorption,
                        kg_m2_mm[c],
                        suction[c],
                        top_wet[r, c] * dt,
                        dt,
                    )
                if low_wet[r, c] > 0.0:
                    soaked[m] += soak(
                        h,
                        m,
                        True,
                        volume,
                        sorption,
                        kg_m2_mm[c],
                        suction[c],
                        low_wet[r, c] * dt,
                        dt,
                    )
            for i in range(cells):
                for m in range(M):
                    room = max(sealed_rh[r, first + m] - stops_rh, LEAST_ROOM)
                    part = min(max((h[i, m] - stops_rh) / room, 0.0), 1.0)
                    taken = sink_h[r, first + m] * part * dt
                    bound[i, m] += taken
                    old[i, m] = h[i, m] - taken
                    if not begun:
                        h[i, m] = old[i, m]
            if not begun:
                for m in range(M):
                    face_top[m] = h[0, m]
                    face_low[m] = h[cells - 1, m]
                continue
            for _pass in range(PASSES):
                for i in range(cells):
                    for m in range(M):
                        u[i, m] = (1.0 - h[i, m]) * inv[m]
                        P[i, m], near[i, m] = looked_up(table, u[i, m])
                for i in range(1, cells):
                    wide = area[i] / gap_mm[i]
                    for m in range(M):
                        shape = mean_shape(
                            u[i - 1, m], u[i, m], P[i - 1, m], P[i, m], near[i, m], dry[m]
                        )
                        g[i, m] = wide * D1_mm2_h[r, first + m] * shape
                end = cells - 1
                for m in range(M):
                    D1 = D1_mm2_h[r, first + m]
                    U_top[m] = 0.0
                    U_low[m] = 0.0
                    into_top[m] = 0.0
                    into_low[m] = 0.0
                    if not np.isnan(env_top[m]):
                        uf = (1.0 - face_top[m]) * inv[m]
                        Pf, _slope = looked_up(table, uf)
                        shape = mean_shape(uf, u[0, m], Pf, P[0, m], near[0, m], dry[m])
                        U_top[m] = area[0] * D1 / (gap_mm[0] / shape + film_top[m])
                        into_top[m] = U_top[m] * env_top[m]
                    if not np.isnan(env_low[m]):
                        uf = (1.0 - face_low[m]) * inv[m]
                        Pf, _slope = looked_up(table, uf)
                        shape = mean_shape(uf, u[end, m], Pf, P[end, m], near[end, m], dry[m])
                        U_low[m] = area[cells] * D1 / (gap_mm[cells] / shape + film_low[m])
                        into_low[m] = U_low[m] * env_low[m]
                cap = volume[0] / dt
                for m in range(M):
                    b = 1.0 / (cap + U_top[m] + g[1, m])
                    h[0, m] = (cap * old[0, m] + into_top[m]) * b
                    cp[0, m] = g[1, m] * b
                for i in range(1, cells - 1):
                    cap = volume[i] / dt
                    for m in range(M):
                        up, down = g[i, m], g[i + 1, m]
                        b = 1.0 / (cap + up + down - up * cp[i - 1, m])
                        h[i, m] = (cap * old[i, m] + up * h[i - 1, m]) * b
                        cp[i, m] = down * b
                i = cells - 1
                cap = volume[i] / dt
                for m in range(M):
                    up = g[i, m]
                    b = 1.0 / (cap + up + U_low[m] - up * cp[i - 1, m])
                    h[i, m] = (cap * old[i, m] + into_low[m] + up * h[i - 1, m]) * b
                for i in range(cells - 2, -1, -1):
                    for m in range(M):
                        h[i, m] += cp[i, m] * h[i + 1, m]
                for m in range(M):
                    c = first + m
                    face_top[m] = h[0, m]
                    if U_top[m] > 0:
                        pull = U_top[m] / area[0] * (h[0, m] - env_top[m])
                        face_top[m] = env_top[m] + pull * film_top[m] / D1_mm2_h[r, c]
                    face_low[m] = h[cells - 1, m]
                    if U_low[m] > 0:
                        pull = U_low[m] / area[cells] * (h[cells - 1, m] - env_low[m])
                        face_low[m] = env_low[m] + pull * film_low[m] / D1_mm2_h[r, c]
            for m in range(M):
                if U_top[m] > 0:
                    flow[m] += dt * U_top[m] * (h[0, m] - env_top[m])
                if U_low[m] > 0:
                    flow[m] += dt * U_low[m] * (h[cells - 1, m] - env_low[m])
