"""Stages of one step of the moisture kernel; cells outermost, members innermost.

Every stage reads NamedTuples of arrays and writes into those of `State` or `Face`.
"""

import numpy as np

from models._jit import stage
from models.concrete._moisture_state import Face, Hours, Law, Places, Record, Section, State
from models.units import Array

TABLE_PER_UNIT = 512  # points of the table of the law's integral
SAME = 1e-7  # two humidities as near as this have the slope of the table between them
LEAST_ROOM = 0.02  # pore humidity over which self-desiccation fades, at the least


@stage
def mean_shape(a: float, b: float, Pa: float, Pb: float, near: float, dry: float) -> float:
    """Mean of D / D1 between two u, exact for the law: its integral P over its span.

    near : 1 / (1 + u^n) at one of them, for the case that they are the same
    """
    span = b - a
    apart = abs(span) > SAME
    mean: float = dry + (1 - dry) * ((Pb - Pa) / span if apart else near)
    return mean


@stage
def look_up(pairs: Array, per_unit: float, x: Array, k: Places, value: Array, rise: Array) -> None:
    """A table at the x of a row of cells by straight lines, and its rise from point to point.

    pairs : as `state.pairs_of` makes them; k : room for the points before them
    What is fetched is fetched apart, so that the rest goes by vectors.
    """
    last = pairs.shape[0] - 1e-9
    for m in range(x.shape[0]):
        k[m] = np.int32(min(max(x[m], 0.0) * per_unit, last))
    for m in range(x.shape[0]):
        at = np.uint64(k[m])
        place = min(max(x[m], 0.0) * per_unit, last)
        rise[m] = pairs[at, 1]
        value[m] = pairs[at, 0] + (place - k[m]) * pairs[at, 1]


@stage
def moisture_pct(sorption: Array, h: float) -> float:
    """Moisture by mass at a humidity by straight lines between the points of the curve."""
    bins = sorption.shape[0] - 1
    place = min(max(h, 0.0) * bins, bins - 1e-9)
    k = np.int32(place)
    pct: float = sorption[k] + (place - k) * (sorption[k + 1] - sorption[k])
    return pct


@stage
def humidity_of(sorption: Array, pct: float) -> float:
    """Humidity at which a moisture by mass is held: the curve the other way round."""
    bins = sorption.shape[0] - 1
    k = 0
    while k < bins - 1 and sorption[k + 1] < pct:
        k += 1
    place = k + (pct - sorption[k]) / (sorption[k + 1] - sorption[k])
    rh: float = min(place / bins, 1.0)
    return rh


@stage
def record(
    r: int, first: int, section: Section, top: Face, low: Face, state: State, out: Record
) -> None:
    """What stands at hour r: means over the section, the wettest probe, faces, balance.

    The tilt is that of the straight line of least squares through the section, times its thickness.
    Source: BRANZ_SORPTION for the moisture by mass.
    """
    h, bound = state.h, state.bound
    cells, M = h.shape
    some = slice(first, first + M)
    volume, centre = section.volume, section.centre
    hole, weight = section.probe_cell, section.probe_weight
    mean, by_mass, with_bound = (
        out.mean_rh[r, some],
        out.by_mass_pct[r, some],
        out.with_bound_pct[r, some],
    )
    tilt, probe = out.tilt_rh[r, some], out.probe_rh[r, some]
    mean[:], by_mass[:], with_bound[:], tilt[:] = 0.0, 0.0, 0.0, 0.0
    for m in range(M):
        out.top_rh[r, first + m] = top.rh[m]
        out.low_rh[r, first + m] = low.rh[m]
        out.outflow[r, first + m] = state.flow[m]
        out.soaked_kg_m2[r, first + m] = state.soaked[m]
    whole = 0.0
    for i in range(cells):
        whole += volume[i]
    bins = state.sorption.shape[0]
    u, pct, rise = state.u, state.P, state.near  # free until the next step
    for i in range(cells):
        fraction = volume[i] / whole
        lean = 12.0 * fraction * centre[i]
        for m in range(M):
            mean[m] += fraction * h[i, m]
        for m in range(M):
            tilt[m] += lean * h[i, m]
        look_up(state.sorption, bins, h[i], state.k, pct[i], rise[i])
        for m in range(M):
            by_mass[m] += fraction * pct[i, m]
        for m in range(M):
            u[i, m] = h[i, m] + bound[i, m]
        look_up(state.sorption, bins, u[i], state.k, pct[i], rise[i])
        for m in range(M):
            with_bound[m] += fraction * pct[i, m]
    probe[:] = 0.0
    for p in range(hole.shape[0]):
        k = int(hole[p])
        for m in range(M):
            probe[m] = max(probe[m], h[k, m] * (1 - weight[p]) + h[k + 1, m] * weight[p])
    if out.keep[r] >= 0:
        profile = out.profile[int(out.keep[r])]
        for i in range(cells):
            for m in range(M):
                profile[i, first + m] = h[i, m]


@stage
def open_face(r: int, first: int, rh: Array, wet: Array, law: Law, face: Face) -> bool:
    """What a face meets in hour r; whether it is open or wet for any member.

    Water on a face meets no film of air; one that suction works at gives nothing off.
    """
    begun = False
    for m in range(face.film_mm.shape[0]):
        c = first + m
        face.outside_rh[m] = rh[r, c]
        face.film_mm[m] = law.surface_mm[c] if face.outside_rh[m] < 1.0 else 0.0
        if wet[r, c] > 0.0:
            face.outside_rh[m] = np.nan
            begun = True
        begun = begun or not np.isnan(face.outside_rh[m])
    return begun


@stage
def self_desiccate(
    r: int, first: int, dt: float, begun: bool, hours: Hours, law: Law, state: State
) -> None:
    """Cement takes its water: the sealed drop, times (h - stops) / (sealed h - stops), 0 to 1.

    Source: NBS_RP_1334 for the drop; OWN_JUDGEMENT for its fading.
    """
    h, old, bound, stops_rh = state.h, state.old, state.bound, law.stops_rh
    M = h.shape[1]
    sealed_rh, sink_h = hours.sealed_rh[r, first : first + M], hours.sink_h[r, first : first + M]
    for i in range(h.shape[0]):
        for m in range(M):
            room = max(sealed_rh[m] - stops_rh, LEAST_ROOM)
            part = min(max((h[i, m] - stops_rh) / room, 0.0), 1.0)
            old[i, m] = sink_h[m] * part * dt
        for m in range(M):
            bound[i, m] += old[i, m]
        for m in range(M):
            old[i, m] = h[i, m] - old[i, m]
    if not begun:
        for i in range(h.shape[0]):
            for m in range(M):
                h[i, m] = old[i, m]


@stage
def conduct(r: int, first: int, hours: Hours, section: Section, state: State) -> None:
    """Conductance between neighbours, A D1 / gap times the exact mean of D / D1 between them.

    Source: BAZANT_NAJJAR_1972.
    """
    h, u, P, near, g = state.h, state.u, state.P, state.near, state.g
    area, gap_mm = section.area, section.gap_mm
    cells, M = u.shape
    inv, dry, D1_mm2_h = state.inv, state.dry, hours.D1_mm2_h[r, first : first + M]
    for i in range(cells):
        for m in range(M):
            u[i, m] = (1.0 - h[i, m]) * inv[m]
        look_up(state.law, TABLE_PER_UNIT, u[i], state.k, P[i], near[i])
        for m in range(M):
            near[i, m] *= TABLE_PER_UNIT
    for i in range(1, cells):
        wide = area[i] / gap_mm[i]
        for m in range(M):
            shape = mean_shape(u[i - 1, m], u[i, m], P[i - 1, m], P[i, m], near[i, m], dry[m])
            g[i, m] = wide * D1_mm2_h[m] * shape


@stage
def conduct_face(
    r: int,
    first: int,
    end: int,
    edge: int,
    hours: Hours,
    section: Section,
    face: Face,
    state: State,
) -> None:
    """Conductance A D1 / (gap / (D / D1) + film) from face `edge` to cell `end` behind it; nothing
    goes through a closed one.

    Source: BAZANT_NAJJAR_1972; a film of air counts as so much of moist concrete.
    """
    u, P, near, inv, dry = state.u, state.P, state.near, state.inv, state.dry
    M, area, gap = inv.shape[0], section.area[edge], section.gap_mm[edge]
    D1_mm2_h = hours.D1_mm2_h[r, first : first + M]
    at, Pf, rise = face.into, face.U, face.rise
    for m in range(M):
        at[m] = (1.0 - face.rh[m]) * inv[m]
    look_up(state.law, TABLE_PER_UNIT, at, state.k, Pf, rise)
    for m in range(M):
        shape = mean_shape(at[m], u[end, m], Pf[m], P[end, m], near[end, m], dry[m])
        U = area * D1_mm2_h[m] / (gap / shape + face.film_mm[m])
        is_open = not np.isnan(face.outside_rh[m])
        face.U[m] = U if is_open else 0.0
        face.into[m] = U * face.outside_rh[m] if is_open else 0.0


@stage
def solve(dt: float, volume: Array, top: Face, low: Face, state: State) -> None:
    """Humidity at the end of the step: dh/dt = d/dx(D dh/dx), implicit Euler, finite volumes.

    The three-diagonal system by elimination downwards (Thomas) and back.
    Source: BAZANT_NAJJAR_1972.
    """
    h, old, g, cp = state.h, state.old, state.g, state.cp
    U_top, into_top, U_low, into_low = top.U, top.into, low.U, low.into
    cells, M = h.shape
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


@stage
def face_humidity(
    r: int, first: int, hours: Hours, section: Section, top: Face, low: Face, state: State
) -> None:
    """Humidity at each face by what flows through its film: h outside + flow film / D1.

    Source: Fick's law.
    """
    h, area, D1_mm2_h = state.h, section.area, hours.D1_mm2_h
    cells, M = h.shape
    for m in range(M):
        c = first + m
        top.rh[m] = h[0, m]
        if top.U[m] > 0:
            pull = top.U[m] / area[0] * (h[0, m] - top.outside_rh[m])
            top.rh[m] = top.outside_rh[m] + pull * top.film_mm[m] / D1_mm2_h[r, c]
        low.rh[m] = h[cells - 1, m]
        if low.U[m] > 0:
            pull = low.U[m] / area[cells] * (h[cells - 1, m] - low.outside_rh[m])
            low.rh[m] = low.outside_rh[m] + pull * low.film_mm[m] / D1_mm2_h[r, c]


@stage
def follow_cells(top: Face, low: Face, state: State) -> None:
    """A face through which nothing flows yet stands as the cell behind it."""
    end = state.h.shape[0] - 1
    for m in range(top.rh.shape[0]):
        top.rh[m] = state.h[0, m]
        low.rh[m] = state.h[end, m]


@stage
def give_off(dt: float, top: Face, low: Face, state: State) -> None:
    """Add to the balance what went through the faces in the step, dt U (h - h outside)."""
    h, flow = state.h, state.flow
    cells, M = h.shape
    for m in range(M):
        if top.U[m] > 0:
            flow[m] += dt * top.U[m] * (h[0, m] - top.outside_rh[m])
        if low.U[m] > 0:
            flow[m] += dt * low.U[m] * (h[cells - 1, m] - low.outside_rh[m])
