"""Compiled sweep through time: concrete column, board below, edge strip; members innermost."""

from models._jit import kernel
from models.concrete import _heat_sides as sides
from models.concrete import _heat_stages as stages
from models.concrete import _heat_state as states
from models.concrete._heat_state import Cement, Course, Exposure, Histories, Layers, Steps


@kernel
def sweep(
    first: int,
    last: int,
    steps: Steps,
    outside: Exposure,
    layers: Layers,
    cement: Cement,
    course: Course,
    out: Histories,
) -> None:
    """Advance members first..last: theta method, heat as given, trapezoid in equivalent age.

    In each step the balance is struck at a part of it, 0.5 to 1, that lets the slowest mode of the
    section, taken as one lump, die away exactly; at its end where calm[s] > 0, which leaves no
    ringing after a change. Heat runs on as before and is set right in the next step.

    Goes on from where `course` begins: the rows before are those of the sweep it comes from.

    Overwrites columns first..last of the five histories (rows, members); row[s] says which row
    step s fills, or -1. The outside (hours, members) is read at step ends, straight in between.
    """
    M = last - first
    G = states.conductances(layers)
    block = states.block_cement(first, M, cement)
    state = states.as_placed(first, M, layers, cement)
    starts, ends, faces = states.no_outside(M), states.no_outside(M), states.no_faces(M)
    begin = course.begin
    dt_old = steps.dt_h[max(begin - 1, 0)]
    if begin > 0:
        states.take_up(first, course.begun, state)
        stages.read_outside(begin - 1, first, steps, outside, ends)
    stages.mean_of(state.T, layers.cells, faces.mean_C)
    for s in range(begin, steps.dt_h.shape[0]):
        dt = steps.dt_h[s]
        n = layers.cells + (layers.board_cells if steps.board_on[s] > 0 else 0)
        states.copy_outside(starts, ends)
        stages.read_outside(s, first, steps, outside, ends)
        if s == 0 or (steps.wet[s] > 0 and steps.wet[s - 1] == 0):
            states.copy_outside(starts, ends)
        stages.place_balance(s, steps, layers, G, ends, faces)
        stages.meet_outside(s, steps, starts, ends, faces, state)
        sides.meet_sides(s, steps, layers, G, faces, state)
        stages.put_heat(dt, dt_old, state)
        stages.solve_column(n, steps.R_bottom[s], layers, G, faces, state)
        sides.solve_strip(s, steps, layers, G, faces, state)
        stages.go_to_end(s, n, steps, layers, ends, faces, state)
        stages.hydrate(s, dt, layers, block, state)
        stages.record(s, n, first, steps, layers, G, block, faces, state, out)
        dt_old = dt
        if course.keep[s] >= 0:
            states.put_down(first, state, course.kept[int(course.keep[s])])
