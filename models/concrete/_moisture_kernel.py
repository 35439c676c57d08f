"""Compiled sweep of pore humidity through time: cells outermost, members innermost."""

import numpy as np

from models._jit import kernel
from models.concrete import _moisture_stages as stages
from models.concrete import _moisture_state as states
from models.concrete._moisture_state import Hours, Law, Record, Section
from models.units import Array

PASSES = 3  # the diffusivity is taken again at the humidity it led to


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
    Source: HALL_1989.
    """
    cells = volume.shape[0]
    full = sorption[sorption.shape[0] - 1]
    rate = offered / hours  # kg/m2h
    apart = pull / rate  # mm: nearer than this rain is what lacks, deeper suction
    left, depth, taken = hours, 0.0, 0.0
    for j in range(cells):
        i = cells - 1 - j if low else j
        pct = stages.moisture_pct(sorption, h[i, m])
        room = (full - pct) * kg_m2_mm  # kg/m2 in a millimetre
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
                fraction = min(max((reach - depth) / volume[i], 0.0), 1.0)
                taken += fraction * volume[i] * room
                h[i, m] = max(h[i, m], stages.humidity_of(sorption, pct + fraction * (full - pct)))
                return float(taken)
            left -= whole
            taken += room * volume[i]
            h[i, m] = 1.0
        depth = end
    return float(taken)


@kernel
def sweep(
    first: int, last: int, per_hour: int, section: Section, hours: Hours, law: Law, out: Record
) -> None:
    """Advance members first..last: implicit Euler, the law's exact mean of D between two cells.

    Monotone: drier air leads to no wetter cell. Humidity outside (rows, members), NaN where the
    face is closed. Where water lies on a face suction takes it in and the face gives nothing off.
    Overwrites columns first..last of the histories (rows + 1, members).
    """
    rows, M, cells = hours.D1_mm2_h.shape[0], last - first, section.volume.shape[0]
    dt = 1.0 / per_hour
    state = states.at_start(first, M, cells, law)
    volume, sorption, soaked = section.volume, law.sorption, state.soaked
    top, low = (
        states.closed_face(first, M, 0, law),
        states.closed_face(first, M, cells - 1, law),
    )
    begun = False  # before a face first opens, all cells are alike and nothing flows
    for r in range(rows + 1):
        stages.record(r, first, section, top, low, state, out)
        if r == rows:
            break
        top_open = stages.open_face(r, first, hours.top_rh, hours.top_wet, law, top)
        low_open = stages.open_face(r, first, hours.low_rh, hours.low_wet, law, low)
        begun = begun or top_open or low_open
        for _ in range(per_hour):
            # no stage: there `soak` would be inlined, and 1 / dt rounded before it is used
            for m in range(M):
                c = first + m
                kg, pull = law.kg_m2_mm[c], law.suction[c]
                wet, damp = hours.top_wet[r, c], hours.low_wet[r, c]
                if wet > 0.0:
                    soaked[m] += soak(state.h, m, False, volume, sorption, kg, pull, wet * dt, dt)
                if damp > 0.0:
                    soaked[m] += soak(state.h, m, True, volume, sorption, kg, pull, damp * dt, dt)
            stages.self_desiccate(r, first, dt, begun, hours, law, state)
            if not begun:
                stages.follow_cells(top, low, state)
                continue
            for _pass in range(PASSES):
                stages.conduct(r, first, hours, section, state)
                stages.conduct_face(r, first, 0, 0, hours, section, top, state)
                stages.conduct_face(r, first, cells - 1, cells, hours, section, low, state)
                stages.solve(dt, volume, top, low, state)
                stages.face_humidity(r, first, hours, section, top, low, state)
            stages.give_off(dt, top, low, state)
