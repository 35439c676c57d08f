"""Sides of a piece in the heat kernel: what leaves through them, their boards, the edge strip."""

from models._jit import stage
from models.concrete._heat_state import SECONDS, Conductances, Faces, Layers, State, Steps


@stage
def through_sides(R: float, layers: Layers) -> float:
    """What leaves a section through its sides, a volume and kelvin [J/m3hK].

    Of each direction its slowest mode, as a lump: half a width over 3 k inside, R to the outside.
    Source: Fourier's law.
    """
    out = 0.0
    for half in layers.half_m:
        out += SECONDS / (half * (R + half / (3 * layers.k)))
    return out


@stage
def meet_sides(
    s: int, steps: Steps, layers: Layers, G: Conductances, faces: Faces, state: State
) -> None:
    """What the sides of the section meet: the outside, or their boards, which follow both slowly.

    The boards are one lump at the middle of their thickness; implicit. Source: Fourier's law.
    """
    on = steps.sides_on[s] > 0
    board_R = 0.5 * G.side_R / layers.side_more
    cover_R = steps.R_side[s] - G.side_R
    mass, around = 0.0, 0.0
    for half in layers.half_m:
        mass += layers.side_more * layers.side_rc * layers.side_dx_m * layers.side_cells / half
        around += SECONDS / half
    for m in range(faces.part.shape[0]):
        faces.meets_C[m] = faces.beside_C[m]
        if on and around > 0:
            side_R, under_R = 1.0 / faces.film[m] + cover_R, 1.0 / faces.film[m] + steps.R_bottom[s]
            faces.round_R[m] = 1.0 / (layers.side_out / side_R + layers.foot_out / under_R)
            # the lower half of a section feels its ends, the upper only its sides: OWN_JUDGEMENT
            U = layers.side_out / side_R + 0.5 * layers.foot_out * (1.0 / side_R + 1.0 / under_R)
            G_out = around / (board_R + 1.0 / U)
            G_in, kept = faces.sides[m], mass / faces.ahead_h[m]
            to = kept * state.side_C[0, m] + G_in * faces.mean_C[m] + G_out * faces.beside_C[m]
            faces.meets_C[m] = to / (kept + G_in + G_out)
            change = (faces.meets_C[m] - state.side_C[0, m]) / faces.part[m]
            state.side_C[0, m] += change
        faces.through_sides[m] = faces.sides[m] * faces.meets_C[m]


@stage
def solve_strip(
    s: int, steps: Steps, layers: Layers, G: Conductances, faces: Faces, state: State
) -> None:
    """Temperature of the edge: side board, then lumps of the whole thickness to the closed middle.

    The thickness-averaged (fin) equation: rc w dT/dt = d/dy(k dT/dy) + what goes through top and
    low face and the other two sides over w + q; the same elimination. Through the faces goes what
    leaves the column, and as much more as it is warmer. Source: Fourier's law.
    """
    column = layers.cells + layers.board_cells
    strip_m, k = layers.strip_m, layers.k
    strips = strip_m.shape[0]
    T, T1, cp, put = state.T, state.T1, state.cp, state.put
    members = T.shape[1]
    thickness, board_R = G.thickness_m, G.board_R
    under = steps.R_bottom[s] + (board_R if steps.board_on[s] > 0 else 0.0)
    skin = thickness / (6 * k)
    boards = layers.side_cells if steps.sides_on[s] > 0 else 0
    half_board = 0.5 * layers.side_dx_m / layers.side_k
    more = layers.side_more if boards > 0 else 1.0
    for m in range(members):
        faces.U_both[m] = 1.0 / (1.0 / faces.U_top[m] + skin)
        faces.U_both[m] += 1.0 / (1.0 / faces.film[m] + under + skin)
    for j in range(boards + strips):
        i = j - boards
        a, before = column + i, column + i - 1
        width = 0.0
        up = down = 0.0
        if i < 0:
            a = column + strips + j
            before = a - 1
            up = more * G.side if j > 0 else 0.0
            down = more * G.side
            if i == -1:
                down = SECONDS / (half_board / more + 0.5 * strip_m[0] / k)
            cap = more * layers.side_rc * layers.side_dx_m
            for m in range(members):
                T1[a, m] = cap / faces.ahead_h[m] * T[a, m]
                cp[a, m] = cap / faces.ahead_h[m] + up + down
        else:
            width = strip_m[i]
            if i > 0:
                up = SECONDS * k / (0.5 * (strip_m[i - 1] + width))
            elif boards > 0:
                before = column + strips + boards - 1
                up = SECONDS / (half_board / more + 0.5 * width / k)
            if i < strips - 1:
                down = SECONDS * k / (0.5 * (width + strip_m[i + 1]))
            cap = layers.rc * width
            scale = SECONDS * width / thickness
            for m in range(members):
                U = scale * faces.U_both[m]
                T1[a, m] = (
                    cap / faces.ahead_h[m] * T[a, m]
                    + width * put[layers.cells + i, m]
                    + U * faces.mean_C[m]
                    - width / thickness * faces.lost[m]
                    + 0.5 * width * faces.through_sides[m]
                )
                ends = 0.5 * width * faces.sides[m]
                cp[a, m] = cap / faces.ahead_h[m] + up + down + U + ends
        if j == 0:
            inner = half_board / more if boards > 0 else 0.5 * width / k
            for m in range(members):
                R = faces.round_R[m] if boards > 0 else 1.0 / faces.film[m] + steps.R_side[s]
                U = SECONDS / (R + inner)
                b = 1.0 / (cp[a, m] + U)
                T1[a, m] = (T1[a, m] + U * faces.beside_C[m]) * b
                cp[a, m] = down * b
        else:
            for m in range(members):
                b = 1.0 / (cp[a, m] - up * cp[before, m])
                T1[a, m] = (T1[a, m] + up * T1[before, m]) * b
                cp[a, m] = down * b
    for i in range(strips - 2, -1, -1):
        for m in range(members):
            T1[column + i, m] += cp[column + i, m] * T1[column + i + 1, m]
    inside = column
    for j in range(boards - 1, -1, -1):
        a = column + strips + j
        for m in range(members):
            T1[a, m] += cp[a, m] * T1[inside, m]
        inside = a
