"""Stages of one step of the moisture kernel; cells outermost, members innermost.

Every stage reads NamedTuples of arrays and writes into those of `State` or `Face`.
"""

import numpy as np

from models._jit import stage
from models.concrete._moisture_state import Face, Hours, Law, Record, Section, State
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
def looked_up(table: Array, u: float) -> tuple[float, float]:
    """Integral of 1 / (1 + u^n) from 0 to u by straight lines in the table, and their slope."""
    place = min(max(u, 0.0) * TABLE_PER_UNIT, table.shape[0] - 1.001)
    k = np.int32(place)
    low = table[k]
    rise = table[k + 1] - low
    return low + (place - k) * rise, rise * TABLE_PER_UNIT


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
    r: int, first: int, section: Section, law: Law, top: Face, low: Face, state: State, out: Record
) -> None:
    """What stands at hour r: means over the section, the wettest probe, faces, balance.

    The tilt is that of the straight line of least squares through the section, times its thickness.
    Source: BRANZ_SORPTION for the moisture by mass.
    """
    h, bound, flow, soaked = state.h, state.bound, state.flow, state.soaked
    top_rh, low_rh, sorption = top.rh, low.rh, law.sorption
    volume, centre = section.volume, section.centre
    hole, weight = section.probe_cell, section.probe_weight
    mean, by_mass, with_bound = out.mean_rh[r], out.by_mass_pct[r], out.with_bound_pct[r]
    tilt, probe, at_top, at_low = out.tilt_rh[r], out.probe_rh[r], out.top_rh[r], out.low_rh[r]
    outflow, taken, profile, profile_row = (
        out.outflow[r],
        out.soaked_kg_m2[r],
        out.profile,
        out.keep[r],
    )
    cells, M = h.shape
    whole = 0.0
    for i in range(cells):
        whole += volume[i]
    for m in range(M):
        c = first + m
        mean[c] = 0.0
        by_mass[c] = 0.0
        with_bound[c] = 0.0
        tilt[c] = 0.0
        at_top[c] = top_rh[m]
        at_low[c] = low_rh[m]
        outflow[c] = flow[m]
        taken[c] = soaked[m]
    for i in range(cells):
        fraction = volume[i] / whole
        lean = 12.0 * fraction * centre[i]
        for m in range(M):
            c = first + m
            mean[c] += fraction * h[i, m]
            tilt[c] += lean * h[i, m]
            by_mass[c] += fraction * moisture_pct(sorption, h[i, m])
            with_bound[c] += fraction * moisture_pct(sorption, h[i, m] + bound[i, m])
    for m in range(M):
        wettest = 0.0
        for p in range(hole.shape[0]):
            k = int(hole[p])
            w = weight[p]
            wettest = max(wettest, h[k, m] * (1 - w) + h[k + 1, m] * w)
        probe[first + m] = wettest
    if profile_row >= 0:
        for i in range(cells):
            for m in range(M):
                profile[int(profile_row), i, first + m] = h[i, m]


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
    sealed_rh, sink_h = hours.sealed_rh, hours.sink_h
    for i in range(h.shape[0]):
        for m in range(h.shape[1]):
            room = max(sealed_rh[r, first + m] - stops_rh, LEAST_ROOM)
            part = min(max((h[i, m] - stops_rh) / room, 0.0), 1.0)
            taken = sink_h[r, first + m] * part * dt
            bound[i, m] += taken
            old[i, m] = h[i, m] - taken
            if not begun:
                h[i, m] = old[i, m]


@stage
def conduct(r: int, first: int, hours: Hours, section: Section, law: Law, state: State) -> None:
    """Conductance between neighbours, A D1 / gap times the exact mean of D / D1 between them.

    Source: BAZANT_NAJJAR_1972.
    """
    h, u, P, near, g = state.h, state.u, state.P, state.near, state.g
    inv, dry, table, D1_mm2_h = state.inv, state.dry, law.table, hours.D1_mm2_h
    area, gap_mm = section.area, section.gap_mm
    cells, M = u.shape
    for i in range(cells):
        for m in range(M):
            u[i, m] = (1.0 - h[i, m]) * inv[m]
            P[i, m], near[i, m] = looked_up(table, u[i, m])
    for i in range(1, cells):
        wide = area[i] / gap_mm[i]
        for m in range(M):
            shape = mean_shape(u[i - 1, m], u[i, m], P[i - 1, m], P[i, m], near[i, m], dry[m])
            g[i, m] = wide * D1_mm2_h[r, first + m] * shape


@stage
def conduct_face(
    m: int, end: int, edge: int, D1: float, section: Section, law: Law, face: Face, state: State
) -> None:
    """Conductance A D1 / (gap / (D / D1) + film) from face `edge` to cell `end` behind it.

    Source: BAZANT_NAJJAR_1972; a film of air counts as so much of moist concrete.
    """
    u, P, near, inv, dry = state.u, state.P, state.near, state.inv, state.dry
    area, gap_mm = section.area, section.gap_mm
    if not np.isnan(face.outside_rh[m]):
        uf = (1.0 - face.rh[m]) * inv[m]
        Pf, _slope = looked_up(law.table, uf)
        shape = mean_shape(uf, u[end, m], Pf, P[end, m], near[end, m], dry[m])
        face.U[m] = area[edge] * D1 / (gap_mm[edge] / shape + face.film_mm[m])
        face.into[m] = face.U[m] * face.outside_rh[m]


@stage
def conduct_faces(
    r: int, first: int, hours: Hours, section: Section, law: Law, top: Face, low: Face, state: State
) -> None:
    """Conductance of both faces in one pass over the members; nothing goes through a closed one."""
    cells, M = state.u.shape
    for m in range(M):
        D1 = hours.D1_mm2_h[r, first + m]
        top.U[m] = 0.0
        low.U[m] = 0.0
        top.into[m] = 0.0
        low.into[m] = 0.0
        conduct_face(m, 0, 0, D1, section, law, top, state)
        conduct_face(m, cells - 1, cells, D1, section, law, low, state)


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
