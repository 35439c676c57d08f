"""What the heat kernel works on: named arrays, and how they stand at placing.

Cells count from the top face down, concrete first, then the board, then the strips of the edge
from the side face inwards, then the side board from its outside inwards. M members of a block lie
side by side.
"""

from typing import NamedTuple

import numpy as np

from models._jit import stage
from models.units import KELVIN, Array

TWENTY_K = 293.15  # ages are equivalent hours at this
SECONDS = 3600.0


class Steps(NamedTuple):
    """The time steps, each array (steps,); what is in force in a step, as in heat.Schedule."""

    dt_h: Array
    hour_index: Array  # whole hour of the outside at or before the end of the step
    hour_weight: Array  # and how far the end lies on the way to the next, 0 to 1
    calm: Array  # above 0: strike the balance at the end of the step
    R_top: Array
    R_bottom: Array
    R_side: Array
    board_on: Array
    sides_on: Array
    wet: Array
    top_fixed_C: Array
    bottom_fixed_C: Array
    row: Array  # row of the histories that the step fills, or -1


class Exposure(NamedTuple):
    """The outside, hour by hour: (hours, members), or of a block at one instant (M,).

    before_h : [h] how long before placing row 0 lies
    film_top, film_low : [W/m2K] whole film coefficient over and under the piece, 0.5 to 400
    drying_top : [W/m2K] the film by which the water of a wet face leaves, as of heat (Lewis)
    sol_C : [degC] air over the piece with sun and sky in it
    air_C : [degC] air beside and under the piece
    vapour_hPa : [hPa] vapour pressure of the air
    """

    before_h: float
    film_top: Array
    film_low: Array
    drying_top: Array
    sol_C: Array
    air_C: Array
    vapour_hPa: Array


class Layers(NamedTuple):
    """Concrete and board: cells of dx [m], conductivity k [W/mK], heat capacity rc [J/m3K]."""

    dx_m: float
    cells: int
    k: float
    rc: float
    board_dx_m: float
    board_cells: int
    board_k: float
    board_rc: float
    strip_m: Array  # widths of the strips
    whole: Array  # share of the plan that each strip stands for; of one without end: the last's all
    half_m: Array  # half of the length and of the width, infinite: no sides
    side_dx_m: float
    side_cells: int
    side_k: float
    side_rc: float
    side_more: float  # as so much wider counts a side board, since it goes round corners
    side_out: float  # and as so much wider its outside
    foot_out: float  # and its ends, which the underside meets, counted by its height
    corner_dip: float  # share of a corner's excess that the edges of such boards take
    edge: float  # through such an edge, over both widths of its outside [W/m2K]


class Cement(NamedTuple):
    """Hydration and start of each member, (members,); energy and its rise over R [K, -]."""

    heat_J_m3: Array
    tau_h: Array
    beta: Array
    energy_K: Array
    rise_K: Array
    placed_C: Array
    board_C: Array


class Histories(NamedTuple):
    """What the section went through, hourly from placing: (rows, members).

    mean_C, top_C, coldest_C : [degC] mean, open face, coldest of faces and corner
    te_mean_h, te_cold_h : [h] equivalent age at 20 degC, mean and at the slowest place
    """

    mean_C: Array
    top_C: Array
    coldest_C: Array
    te_mean_h: Array
    te_cold_h: Array

    @property
    def rows(self) -> int:
        return len(self.mean_C)

    @property
    def hour(self) -> Array:
        """Hours from placing [h], (rows,)."""
        return np.arange(float(self.rows))


class Course(NamedTuple):
    """Where a sweep begins, and how it stands at some instants, so that another can go on there.

    begin : the step that it begins with; 0: from placing
    begun : (values, members), the state before that step
    keep : (steps,) which of `kept` the state after each step fills, or -1
    kept : (instants, values, members)
    """

    begin: int
    begun: Array
    keep: Array
    kept: Array


class Conductances(NamedTuple):
    """How heat gets through the layers: conductance between cells [J/m2hK]."""

    concrete: float
    board: float
    joint: float  # between the two
    thickness_m: float  # of the concrete
    board_R: float  # of the whole board [m2K/W]
    side: float  # between cells of the side board
    side_R: float  # of the whole of it [m2K/W]


class BlockCement(NamedTuple):
    """What is the block's own of `Cement`, (M,) each."""

    ln_tau: Array
    energy_K: Array
    rise_K: Array
    beta: Array
    heat_J_m3: Array


class Faces(NamedTuple):
    """What the faces meet where the balance is struck, (M,) each."""

    part: Array  # of the step, 0.5 to 1
    ahead_h: Array  # the same in hours
    film: Array  # film coefficient of side and low face [W/m2K]
    air_C: Array  # air
    beside_C: Array  # at the side
    meets_C: Array  # at the side too, or the side boards, taken as one lump
    round_R: Array  # from the outside of the side boards to that [m2K/W]
    sides: Array  # what leaves through all sides a volume and kelvin over that [J/m3hK]
    through_sides: Array  # the same times that temperature [J/m3h]
    lost: Array  # what leaves the column through top and low face [J/m2h]
    below_C: Array
    U_top: Array  # from the top face to what it faces [W/m2K]
    U_both: Array  # from the mean of the section through top and low face
    into_top_C: Array  # temperature it faces, sun, sky and evaporation in it
    mean_C: Array  # of the column


class State(NamedTuple):
    """Temperatures (cells + strips, M) and, of the concrete, what its cement has done."""

    T: Array
    T1: Array  # where the balance is struck
    cp: Array  # upper diagonal of the elimination
    te: Array  # [h] equivalent age; the last row is the corner's
    pace: Array  # equivalent hours an hour
    ln_age: Array
    q: Array  # [J/m3h] heat now
    q1: Array  # and a step ago
    shed: Array  # [J/m3] heat that the cement has given
    put: Array  # rate at which it goes in, with what was short before
    short: Array
    side_C: Array  # the side boards as one lump


@stage
def conductances(layers: Layers) -> Conductances:
    """Conductances k / dx between neighbours, at the joint the two half cells in series."""
    concrete = layers.k / layers.dx_m * SECONDS
    half = 0.5 * layers.dx_m / layers.k
    board_R = board = joint = 0.0
    if layers.board_cells > 0:
        board_R = layers.board_dx_m * layers.board_cells / layers.board_k
        board = layers.board_k / layers.board_dx_m * SECONDS
        joint = SECONDS / (half + 0.5 * layers.board_dx_m / layers.board_k)
    side_R = side = 0.0
    if layers.side_cells > 0:
        side_R = layers.side_dx_m * layers.side_cells / layers.side_k
        side = layers.side_k / layers.side_dx_m * SECONDS
    thickness = layers.dx_m * layers.cells
    return Conductances(concrete, board, joint, thickness, board_R, side, side_R)


@stage
def block_cement(first: int, M: int, cement: Cement) -> BlockCement:
    """Hydration of members first..first + M, side by side in memory."""
    block = BlockCement(np.zeros(M), np.zeros(M), np.zeros(M), np.zeros(M), np.zeros(M))
    for m in range(M):
        block.ln_tau[m] = np.log(cement.tau_h[first + m])
        block.energy_K[m] = cement.energy_K[first + m]
        block.rise_K[m] = cement.rise_K[first + m]
        block.beta[m] = cement.beta[first + m]
        block.heat_J_m3[m] = cement.heat_J_m3[first + m]
    return block


@stage
def as_placed(first: int, M: int, layers: Layers, cement: Cement) -> State:
    """Concrete as placed, no heat given yet, and the pace of age at that temperature."""
    column = layers.cells + layers.board_cells
    strips = layers.strip_m.shape[0]
    living = layers.cells + strips
    rows = column + strips + layers.side_cells
    state = State(
        np.empty((rows, M)),
        np.empty((rows, M)),
        np.zeros((rows, M)),
        np.zeros((living + 1, M)),
        np.zeros((living + 1, M)),
        np.zeros((living, M)),
        np.zeros((living, M)),
        np.zeros((living, M)),
        np.zeros((living, M)),
        np.zeros((living, M)),
        np.zeros((living, M)),
        np.zeros((1, M)),
    )
    for m in range(M):
        c = first + m
        state.side_C[0, m] = cement.board_C[c]
        for i in range(rows):
            on_board = layers.cells <= i < column or i >= column + strips
            state.T[i, m] = cement.board_C[c] if on_board else cement.placed_C[c]
            state.T1[i, m] = state.T[i, m]
        cold = max(TWENTY_K - KELVIN - cement.placed_C[c], 0.0)
        energy_K = cement.energy_K[c] + cement.rise_K[c] * cold
        pace = np.exp(energy_K * (1 / TWENTY_K - 1 / (cement.placed_C[c] + KELVIN)))
        for i in range(living + 1):
            state.pace[i, m] = pace
    return state


@stage
def put_down(first: int, state: State, values: Array) -> None:
    """The state of a block, one row behind the other, into its columns of (values, members)."""
    row = 0
    for of in lasting(state):
        for i in range(of.shape[0]):
            for m in range(of.shape[1]):
                values[row, first + m] = of[i, m]
            row += 1


@stage
def take_up(first: int, values: Array, state: State) -> None:
    """The state of a block out of its columns of (values, members), as `put_down` laid them."""
    row = 0
    for to in lasting(state):
        for i in range(to.shape[0]):
            for m in range(to.shape[1]):
                to[i, m] = values[row, first + m]
            row += 1


@stage
def lasting(state: State) -> tuple[Array, ...]:
    """What of the state lasts from step to step."""
    s = state
    return (s.T, s.te, s.pace, s.ln_age, s.q, s.q1, s.shed, s.short, s.side_C)


def values_of(layers: Layers) -> int:
    """How many values of a member last from step to step, dimensionless.

    Source: definition of `lasting`.
    """
    living = layers.cells + len(layers.strip_m)
    return living + layers.board_cells + layers.side_cells + 2 * (living + 1) + 5 * living + 1


@stage
def no_outside(M: int) -> Exposure:
    """Nothing outside yet [degC, W/m2K, W/m2], (M,) each.

    Source: definition.
    """
    a, b, c = np.zeros(M), np.zeros(M), np.zeros(M)
    return Exposure(0.0, a, b, c, np.zeros(M), np.zeros(M), np.zeros(M))


@stage
def no_faces(M: int) -> Faces:
    """Faces before the first step [degC, W/m2K, W/m2], (M,) each.

    Source: definition.
    """
    a, b, c, d, e, f = np.zeros(M), np.zeros(M), np.zeros(M), np.zeros(M), np.zeros(M), np.zeros(M)
    g, h, i, j, k = np.zeros(M), np.zeros(M), np.zeros(M), np.zeros(M), np.zeros(M)
    o, p, q, r = np.zeros(M), np.zeros(M), np.zeros(M), np.zeros(M)
    return Faces(a, b, c, d, e, f, g, h, i, j, k, o, p, q, r)


@stage
def copy_outside(to: Exposure, of: Exposure) -> None:
    """Keep the outside of one instant."""
    for m in range(of.air_C.shape[0]):
        to.film_low[m] = of.film_low[m]
        to.air_C[m] = of.air_C[m]
        to.film_top[m] = of.film_top[m]
        to.sol_C[m] = of.sol_C[m]
        to.drying_top[m] = of.drying_top[m]
        to.vapour_hPa[m] = of.vapour_hPa[m]
