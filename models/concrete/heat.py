"""Temperature through the section: checks its input, lays the time grid, calls the kernel."""

from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass

import numpy as np

from models.concrete import _heat_kernel, time_steps
from models.concrete._heat_state import Cement, Course, Layers, Steps, values_of
from models.concrete._heat_state import Exposure as Exposure
from models.concrete._heat_state import Histories as Histories
from models.concrete.section import Schedule as Schedule
from models.concrete.sweeps import Sweeps, Swept, kept_h
from models.errors import InputError
from models.facts.materials import CONCRETE, EDGE_DIP, EDGE_OF_WALLS, Material
from models.units import GAS_J_MOLK, Array, Limits, Mask, arrays_within, within

CALM_STEPS = 4  # implicit ones after each change
BOARD_CELLS = 5  # a board is slow for its thickness
SIDE_CELLS = 2  # of the boards round it
BLOCK = 64  # members side by side: the state of a block stays in the fast cache
PARALLEL_BLOCKS = 8  # from here on the blocks are shared among threads (the kernel holds no lock)
EXPOSURE_LIMITS: Limits = {
    "film_top": (0.5, 1e5, "W/m2K"),
    "film_low": (0.5, 1e5, "W/m2K"),
    "drying_top": (0.0, 1e5, "W/m2K"),
    "sol_C": (-100.0, 150.0, "degC"),
    "air_C": (-80.0, 90.0, "degC"),
    "vapour_hPa": (0.0, 500.0, "hPa"),
}
EXPOSED = tuple(EXPOSURE_LIMITS)
KINETICS_LIMITS: Limits = {
    "heat_J_m3": (0.0, 1e9, "J/m3"),
    "tau_h": (0.1, 300.0, "h"),
    "beta": (0.1, 5.0, ""),
    "activation_energy_kJ_mol": (15.0, 90.0, "kJ/mol"),
    "rise_kJ_mol_K": (0.0, 3.0, "kJ/(mol K)"),
}
RESISTANCE = (0.0, 1e12, "m2K/W")
SCHEDULE_LIMITS: Limits = {"R_top": RESISTANCE, "R_bottom": RESISTANCE, "R_side": RESISTANCE}
FIXED_LIMITS: Limits = {
    "top_fixed_C": (-40.0, 80.0, "degC"),
    "bottom_fixed_C": (-40.0, 80.0, "degC"),
}
STRIP_SHARES = np.array((1.0, 2.4, 5.8, 13.8)) / 23  # of the strips, of the way they reach
REACH, REACH_M = 6.0, 0.20  # how far the edge may be felt: thicknesses, and besides [m]


@dataclass(frozen=True)
class Column:
    """The section: concrete of thickness_mm on a board (0 mm: no board) [mm, W/mK, J/m3K].

    plan_mm : [mm] length and width between its sides, infinite: its sides are far from all of it
    side_mm, side : [mm] the boards round it, with their mass; 0: none
    """

    thickness_mm: float
    board_mm: float = 0.0
    board: Material | None = None
    k_W_mK: float = CONCRETE.k_W_mK
    heat_capacity_J_m3K: float = CONCRETE.density_kg_m3 * CONCRETE.c_J_kgK
    cells: int | None = None
    plan_mm: tuple[float, float] = (np.inf, np.inf)
    side_mm: float = 0.0
    side: Material | None = None

    def __post_init__(self) -> None:
        within("thickness_mm", self.thickness_mm, 5.0, 3000.0, "mm")
        within("plan_mm", np.array(self.plan_mm)[np.isfinite(self.plan_mm)], 10.0, 1e5, "mm")
        within("board_mm", self.board_mm, 0.0, 300.0, "mm")
        within("side_mm", self.side_mm, 0.0, 300.0, "mm")
        within("k_W_mK", self.k_W_mK, 0.1, 10.0, "W/mK")
        within("heat_capacity_J_m3K", self.heat_capacity_J_m3K, 5e5, 5e6, "J/m3K")

    @property
    def cell_count(self) -> int:
        return self.cells or int(np.clip(np.ceil(self.thickness_mm / 10.0), 6, 30))

    @property
    def half_m(self) -> Array:
        """Half of its length and of its width [m], (2,)."""
        return np.array(self.plan_mm) / 2e3

    @property
    def foot_mm(self) -> float:
        """The board that the sides stand on [mm]; ground, which goes on beyond them, is none."""
        return self.board_mm if self.board_mm <= self.side_mm else 0.0

    @property
    def side_more(self) -> float:
        """As how much wider the side boards count, since they go round the corners.

        Source: shape factor of an edge of two walls, 0.54 of a thickness (INCROPERA_TABLE_4_1).
        """
        round_m, half_m = EDGE_OF_WALLS * self.side_mm / 1e3, float(self.half_m.min())
        return (1 + EDGE_OF_WALLS * self.foot_mm / self.thickness_mm) * (1 + round_m / half_m)

    @property
    def side_out(self) -> float:
        """As how much wider the outside of the side boards counts, with that of the foot.

        Source: geometry.
        """
        return (1 + self.foot_mm / self.thickness_mm) * self._round

    @property
    def foot_out(self) -> float:
        """And as how much of it their ends count, which stand on the underside.

        Source: geometry.
        """
        return self.side_mm / self.thickness_mm * self._round

    @property
    def _round(self) -> float:
        return 1 + self.side_mm / 1e3 / float(self.half_m.min())

    @property
    def corner_dip(self) -> float:
        """Share of a corner's excess over the outside that the three edges of bare boards take.

        Source: a line sink in a quarter; OWN_JUDGEMENT for its size, by solves in three dimensions.
        """
        if self.side is None or self.side_mm == 0:
            return 0.0
        reach_mm = min(0.5 * self.thickness_mm, 1e3 * float(self.half_m.min()))
        ratio = self.side.k_W_mK / self.k_W_mK
        return 3 * EDGE_DIP * ratio * float(np.log1p(reach_mm / self.side_mm))

    @property
    def edge_W_m2K(self) -> float:
        """Through an edge of boards, over both their widths outside [W/m2K].

        Source: INCROPERA_TABLE_4_1.
        """
        if self.side is None or self.side_mm == 0:
            return 0.0
        return EDGE_OF_WALLS * self.side.k_W_mK / (2 * self.side_mm / 1e3)

    def strips(self) -> tuple[Array, Array]:
        """Widths of the strips from the side face inwards [m], and the share of the plan that each
        stands for: the last for all that is further in. Both directions count as the mean one."""
        half_m = float(np.sqrt(self.half_m.prod()))
        reach_m = min(half_m, REACH * self.thickness_mm / 1e3 + REACH_M)
        width_m = STRIP_SHARES * reach_m
        share = width_m / half_m
        share[-1] += 1 - reach_m / half_m if np.isfinite(half_m) else 1.0
        return width_m, share


@dataclass(frozen=True)
class Kinetics:
    """Hydration of each member: (members,) arrays.

    heat_J_m3 : [J/m3] whole heat, 0 to 1e9; tau_h [h]; beta dimensionless
    activation_energy_kJ_mol : [kJ/mol], 15 to 90; rise_kJ_mol_K : [kJ/(mol K)], 0 to 3
    """

    heat_J_m3: Array
    tau_h: Array
    beta: Array
    activation_energy_kJ_mol: Array
    rise_kJ_mol_K: Array


def temperature(
    column: Column,
    schedule: Schedule,
    exposure: Exposure,
    kinetics: Kinetics,
    placed_C: Array,
    hours: int,
    *,
    steps_h: tuple[float, float] = time_steps.USUAL_H,
    sprint_tau_h: float | None = None,
    board_C: Array | None = None,
    marks_h: Array | None = None,
    sweeps: Sweeps | None = None,
    rough: Mask | None = None,
) -> Histories:
    """Temperature and equivalent age of the section, hourly from placing [degC, h].

    rho c dT/dt = d/dx(k dT/dx) + q, finite volumes, theta method; q by the three-parameter
    hydration curve; the edge strip is the thickness-averaged (fin) equation; the corner takes the
    product of the drops of the two edges where the excess over the air is clear, their sum where it
    is small, and the unevenness through the thickness besides; never colder than what surrounds it.
    Latent heat of freezing is left out (cools sooner than in truth).

    placed_C : (members,) [degC], 0 to 60, concrete as placed
    hours : [h], 1 to 20000; exposure must reach one hour further
    steps_h : [h] steps before and after 48 h
    sprint_tau_h : [h] hydration time of a rapid mix; its first hours get steps of a hundredth of it

    board_C : (members,) [degC] start of the board, the air at placing when not given
    marks_h : (n,) [h] instants out of `time_steps.marks_after`, with rows behind the hourly ones
    sweeps : earlier ones of the same column, members, air and steps, which this one goes on from
        where its schedule parts from theirs, and to which it is added
    rough : (hours or more,) `time_steps.rough_hours` of these members and of all that share their
        sweeps; None: no hour behind 48 h gets shorter steps

    Raises InputError outside the ranges and where the exposure is too short or holds NaN.
    Source: FHP_1977 and SCHINDLER_FOLLIARD_2005 for the heat; Fourier's law.
    """
    if not 1 <= hours <= 20000:
        raise InputError("hours", hours, "outside the allowed range", "1 to 20000 h")
    T0 = within("placed_C", placed_C, 0.0, 60.0, "degC")
    members = len(T0)
    rows_needed = int(np.ceil(exposure.before_h + hours)) + 1
    felt = {name: _plain(getattr(exposure, name)[:rows_needed]) for name in EXPOSED}
    exposure = Exposure(float(exposure.before_h), **felt)
    arrays_within("exposure", exposure, EXPOSURE_LIMITS, (rows_needed, members))
    arrays_within("schedule", schedule, SCHEDULE_LIMITS, schedule.from_h.shape)
    arrays_within("schedule", schedule, FIXED_LIMITS, schedule.from_h.shape, gaps=True)
    arrays_within("kinetics", kinetics, KINETICS_LIMITS, (members,))
    grid = time_steps.grid(hours, schedule.from_h, steps_h, sprint_tau_h, rough)
    end = grid[1:]
    interval = np.searchsorted(schedule.from_h, 0.5 * (grid[:-1] + end), side="right") - 1
    place = np.minimum(end + exposure.before_h, rows_needed - 1 - 1e-9)
    index = np.floor(place)
    whole = np.round(end)
    row = np.where(np.abs(end - whole) < 1e-9, whole, -1.0)
    marks = np.empty(0) if marks_h is None else marks_h
    row[np.searchsorted(end, marks - 1e-6)] = hours + 1.0 + np.arange(len(marks))
    before, begins_h = (None, 0.0) if sweeps is None else sweeps.nearest(schedule, hours)

    changed = np.flatnonzero(np.concatenate(([True], interval[1:] != interval[:-1])))
    calm = np.zeros(len(end))
    calm[np.minimum(changed[:, None] + np.arange(CALM_STEPS), len(end) - 1)] = 1.0
    cells = column.cell_count
    board = column.board if column.board is not None and column.board_mm > 0 else None
    board_cells = 0 if board is None else BOARD_CELLS
    side = column.side if column.side is not None and column.side_mm > 0 else None
    side_cells = 0 if side is None else SIDE_CELLS
    out = Histories(*(np.empty((hours + 1 + len(marks), members)) for _ in Histories._fields))
    out.mean_C[0] = out.top_C[0] = out.coldest_C[0] = T0
    out.te_mean_h[0] = out.te_cold_h[0] = 0.0
    at_air = exposure.air_C[int(exposure.before_h)]
    steps = Steps(
        np.diff(grid),
        index,
        place - index,
        calm,
        schedule.R_top[interval],
        schedule.R_bottom[interval],
        schedule.R_side[interval],
        schedule.board_on[interval] * (board is not None),
        schedule.sides_on[interval] * (side is not None),
        schedule.wet[interval],
        schedule.top_fixed_C[interval],
        schedule.bottom_fixed_C[interval],
        row,
    )
    layers = Layers(
        column.thickness_mm / 1e3 / cells,
        cells,
        column.k_W_mK,
        column.heat_capacity_J_m3K,
        column.board_mm / 1e3 / max(board_cells, 1),
        board_cells,
        board.k_W_mK if board else 1.0,
        board.density_kg_m3 * board.c_J_kgK if board else 1.0,
        *column.strips(),
        column.half_m,
        column.side_mm / 1e3 / max(side_cells, 1),
        side_cells,
        side.k_W_mK if side else 1.0,
        side.density_kg_m3 * side.c_J_kgK if side else 1.0,
        column.side_more,
        column.side_out,
        column.foot_out,
        column.corner_dip,
        column.edge_W_m2K,
    )
    cement = Cement(
        *map(
            _plain,
            (
                kinetics.heat_J_m3,
                kinetics.tau_h,
                kinetics.beta,
                kinetics.activation_energy_kJ_mol * 1e3 / GAS_J_MOLK,
                kinetics.rise_kJ_mol_K * 1e3 / GAS_J_MOLK,
                T0,
                at_air if board_C is None else board_C,
            ),
        )
    )

    at_h = np.empty(0) if sweeps is None else kept_h(hours)
    at_h = at_h[at_h > begins_h]
    keep = np.full(len(end), -1.0)
    keep[np.searchsorted(end, at_h - 1e-6)] = np.arange(float(len(at_h)))
    kept = np.empty((len(at_h), values_of(layers), members))
    course = Course(0, np.zeros((1, 1)), keep, kept)
    if before is not None:
        begin = int(np.searchsorted(end, begins_h + 1e-6))
        course = course._replace(begin=begin, begun=before.states[begins_h])
        before.copy_rows(begins_h, hours, marks, out)

    def run(first: int) -> None:
        last = min(first + BLOCK, members)
        _heat_kernel.sweep(first, last, steps, exposure, layers, cement, course, out)

    blocks = range(0, members, BLOCK)
    if len(blocks) < PARALLEL_BLOCKS:
        for first in blocks:
            run(first)
    else:
        with ThreadPoolExecutor() as pool:
            list(pool.map(run, blocks))
    if sweeps is not None:
        states = {} if before is None else {h: s for h, s in before.states.items() if h <= begins_h}
        states |= dict(zip(at_h.tolist(), kept, strict=True))
        sweeps.known.append(Swept(schedule, hours, marks, out, states))
    return out


def _plain(values: Array) -> Array:
    """The one layout in memory for which the sweep is compiled: each other would cost half a
    minute of compiling anew."""
    return np.require(values, np.float64, ("C_CONTIGUOUS", "WRITEABLE"))
