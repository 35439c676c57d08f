"""A casting in a mould of five boards, solved in three dimensions: conduction and hydration heat.

Nothing of the program is used: this judges it from outside. A quarter of the piece, since the two
upright planes of symmetry are closed; boards under it and at its four sides are cells of their own
with their own mass, flush with its open face. Finite volumes, fine at the faces, and a step that is
implicit in one direction after the other (Douglas 1962, from memory).
Source: Fourier's law; hydration by ASTM_C1074 and the three-parameter heat of FHP_1977.
"""

from dataclasses import dataclass

import numpy as np

from models.units import Array

HOUR_S, GAS, KELVIN, TWENTY_K = 3600.0, 8.314462618, 273.15, 293.15
EARLY, EARLY_H = 8, 3  # so much shorter are the steps of the first hours
SLOWS_C, ENDS_C = -1.0, -10.0  # hydration fades in between, as the program has it


@dataclass(frozen=True)
class Stuff:
    """Conductivity [W/mK] and heat capacity [J/m3K]."""

    k: float
    capacity: float


CONCRETE, PARTICLEBOARD = Stuff(2.0, 2.35e6), Stuff(0.15, 680.0 * 1700.0)


@dataclass(frozen=True)
class MouldedBox:
    """Measures [m]; covers R [m2K/W]; films [W/m2K]; heat [J/m3]; all boards alike, 0 m: none."""

    length_m: float
    width_m: float
    height_m: float
    air_C: float
    board_m: float = 0.016
    board: Stuff = PARTICLEBOARD
    R_top: float = 0.0
    R_side: float = 0.0
    R_under: float = 0.0
    placed_C: float = 18.0
    film: float = 13.3
    heat_J_m3: float = 350.0 * 340e3
    tau_h: float = 14.0
    beta: float = 0.9
    energy_kJ_mol: float = 40.0

    def pace(self, T_C: Array) -> Array:
        """Equivalent hours at 20 degC an hour."""
        thawed = np.clip((T_C - ENDS_C) / (SLOWS_C - ENDS_C), 0.0, 1.0)
        energy_K = 1e3 * self.energy_kJ_mol / GAS
        return np.asarray(thawed * np.exp(energy_K * (1 / TWENTY_K - 1 / (T_C + KELVIN))))

    def solved(self, hours: int, *, fine: float = 1.0, step_h: float = 1 / 10) -> "Solved":
        """Hourly from placing; cells `fine` times as many, steps of step_h [h]."""
        return _solved(self, hours, fine, round(1 / step_h))


@dataclass(frozen=True)
class Solved:
    """Hourly: the coldest of the upright line where two sides meet [degC], the least equivalent age
    on it, the mean age of the piece [h], and its mean temperature [degC]."""

    corner_C: Array
    least_te_h: Array
    mean_te_h: Array
    mean_C: Array

    def reaches_h(self, te_h: float) -> float:
        """Hour at which the slowest place has an equivalent age; infinite: never."""
        return reached(self.least_te_h, te_h)

    @property
    def freezes_h(self) -> float:
        """Hour at which the corner first falls to 0 degC."""
        return reached(-self.corner_C, 0.0)


def reached(rising: Array, value: float) -> float:
    """First hour at which hourly values pass one, straight in between; infinite: never."""
    over = np.flatnonzero(rising >= value)
    if not len(over):
        return np.inf
    i = int(over[0])
    if i == 0:
        return 0.0
    return i - 1 + float((value - rising[i - 1]) / (rising[i] - rising[i - 1]))


def _graded(first_m: float, whole_m: float, fine: float) -> Array:
    """Cells that grow by half from a face inwards [m], `fine` times as many."""
    widths = [first_m]
    while sum(widths) < whole_m:
        widths.append(widths[-1] * 1.5)
    coarse = np.array(widths) * whole_m / sum(widths)
    return np.repeat(coarse / fine, round(fine))


@dataclass(frozen=True)
class _Line:
    """One direction: widths of the cells [m], conductance between them and from the ends [W/m2K],
    (cells + 1, others, others)."""

    width: Array
    through: Array

    def flow(self, over: Array, axis: int) -> Array:
        """What comes into each cell along it, per volume [W/m3]; `over` the air [K]."""
        T = np.moveaxis(over, axis, 0)
        edge = np.zeros((1, *T.shape[1:]))
        across = self.through * np.diff(np.concatenate((edge, T, edge)), axis=0)
        return np.moveaxis(np.diff(across, axis=0) / self.width[:, None, None], 0, axis)


class _Implicit:
    """(1 - dt A) of one direction, eliminated once (Thomas) and used at each step."""

    def __init__(self, line: _Line, capacity: Array, axis: int, dt_s: float) -> None:
        self.axis = axis
        per = dt_s / (np.moveaxis(capacity, axis, 0) * line.width[:, None, None])
        self.low, up = per * line.through[:-1], per * line.through[1:]
        self.by, self.cp = np.empty_like(up), np.empty_like(up)
        for i in range(len(up)):
            diagonal = 1 + self.low[i] + up[i] - (self.low[i] * self.cp[i - 1] if i else 0.0)
            self.by[i] = 1 / diagonal
            self.cp[i] = up[i] / diagonal

    def solve(self, right: Array) -> Array:
        x = np.moveaxis(right, self.axis, 0).copy()
        x[0] *= self.by[0]
        for i in range(1, len(x)):
            x[i] = (x[i] + self.low[i] * x[i - 1]) * self.by[i]
        for i in range(len(x) - 2, -1, -1):
            x[i] += self.cp[i] * x[i + 1]
        return np.moveaxis(x, 0, self.axis)


def _solved(box: MouldedBox, hours: int, fine: float, an_hour: int) -> Solved:
    board = np.full(round(6 * fine), box.board_m / round(6 * fine)) if box.board_m else np.empty(0)
    across = [_graded(0.0015, 0.5 * of, fine) for of in (box.length_m, box.width_m)]
    half = _graded(0.0015, 0.5 * box.height_m, fine)
    concrete = [*across, np.concatenate((half, half[::-1]))]  # the last upwards
    widths = [np.concatenate((board, one)) for one in concrete]
    shape = tuple(len(one) for one in widths)
    living = (slice(len(board), None),) * 3
    k, capacity = np.full(shape, box.board.k), np.full(shape, box.board.capacity)
    k[living], capacity[living] = CONCRETE.k, CONCRETE.capacity
    ends = ((box.R_side, None), (box.R_side, None), (box.R_under, box.R_top))
    lines = []
    for axis in range(3):
        half_R = 0.5 * widths[axis][:, None, None] / np.moveaxis(k, axis, 0)
        low, high = ends[axis]
        outside = 1 / (1 / box.film + low + half_R[:1]) if low is not None else 0 * half_R[:1]
        beyond = 1 / (1 / box.film + high + half_R[-1:]) if high is not None else 0 * half_R[-1:]
        inner = 1 / (half_R[:-1] + half_R[1:])
        lines.append(_Line(widths[axis], np.concatenate((outside, inner, beyond))))
    over = np.zeros(shape)
    over[living] = box.placed_C - box.air_C
    x, y, z = concrete
    share = x[:, None, None] * y[None, :, None] * z[None, None, :] / (x.sum() * y.sum() * z.sum())
    age, shed = np.full(share.shape, 1e-6), np.zeros(share.shape)
    corner_age = np.zeros(len(z) + 2)
    rows = [(box.placed_C, 0.0, 0.0, box.placed_C)]
    for hour in range(hours):
        steps = an_hour * (EARLY if hour < EARLY_H else 1)
        dt_s = HOUR_S / steps
        if hour in (0, EARLY_H):
            implicit = [_Implicit(line, capacity, axis, dt_s) for axis, line in enumerate(lines)]
        for _ in range(steps):
            T_C = over[living] + box.air_C
            age += box.pace(T_C) / steps
            corner_age += box.pace(_corner_line(T_C, x, y, z)) / steps
            given = box.heat_J_m3 * np.exp(-np.minimum((box.tau_h / age) ** box.beta, 700.0))
            flows = [line.flow(over, axis) for axis, line in enumerate(lines)]
            change = (flows[0] + flows[1] + flows[2]) * dt_s
            change[living] += given - shed
            shed = given
            change /= capacity
            for one in implicit:
                change = one.solve(change)
            over = over + change
        T_C = over[living] + box.air_C
        rows.append(
            (
                float(_corner_line(T_C, x, y, z).min()),
                float(corner_age.min()),
                float((age * share).sum()),
                float((T_C * share).sum()),
            )
        )
    return Solved(*np.array(rows).T)


def _corner_line(T_C: Array, x: Array, y: Array, z: Array) -> Array:
    """Along the upright edge where the two sides meet, its ends too: straight on from the cells."""
    along = T_C[0, 0] + (T_C[0, 0] - T_C[1, 0]) * x[0] / (x[0] + x[1])
    along += (T_C[0, 0] - T_C[0, 1]) * y[0] / (y[0] + y[1])
    under = along[0] + (along[0] - along[1]) * z[0] / (z[0] + z[1])
    top = along[-1] + (along[-1] - along[-2]) * z[-1] / (z[-1] + z[-2])
    return np.concatenate(([under], along, [top]))
