"""Freezing and hardening of a casting in its mould by enthalpy, in explicit finite volumes.

Nothing of the program is used: this judges it from outside. The section is solved from underside to
top and from a side face to the middle of the piece, which is closed by symmetry, so that both
edges are there; where half of its length is told as well, from an end face too, with both corners.
Water freezes as a solution does: at a temperature T under its freezing point T0 the share T0 / T of
it is still liquid (colligative, Raoult and van 't Hoff), less as hydration binds water (Powers:
0.23 g a gram of hydrated cement chemically, 0.19 in gel that does not freeze in a night; from
memory). Boards are a lump between two halves of their resistance; covers weigh nothing.
"""

from dataclasses import dataclass, field

import numpy as np
from numba import njit

from models.units import Array

LATENT_J_KG = 334e3
EVAPORATION_J_KG = 2.49e6
CHEMICALLY_BOUND, IN_GEL = 0.23, 0.19  # of the hydrated cement by mass; Powers, from memory
FULL_HEAT_J_G = 480.0  # of Portland cement, from memory
STOPS_C = -10.0  # hydration slows from the freezing point on and ends here; common practice
GAS_J_MOL_K, KELVIN, REFERENCE_K = 8.314, 273.15, 293.15
CELL_M, GROWTH = 0.005, 1.45
BLOCK_S = 300.0  # so often hydration, sun and air are looked at anew


@dataclass(frozen=True)
class Hardening:
    """What a mix does by equivalent age at 20 degC: age_h evenly spaced from zero [h], heat [J/m3]
    and strength [MPa] at those ages; binder and water [kg/m3]; activation energy [J/mol], over
    20 degC another one where it is told.
    """

    age_h: Array
    heat_J_m3: Array
    strength_MPa: Array
    binder_kg_m3: float
    water_kg_m3: float
    energy_J_mol: float = 40e3
    freezing_C: float = -0.75
    warm_energy_J_mol: float | None = None


@dataclass(frozen=True)
class Casting:
    """Section and half width [m], conductivity [W/mK], heat capacity [J/m3K], board R [m2K/W] and
    mass [J/m2K]; cells [m] wide at the faces; half length [m], None: it goes on for ever.
    """

    thickness_m: float
    half_width_m: float
    k_W_mK: float = 2.0
    capacity_J_m3K: float = 2.35e6
    board_R: float = 0.0
    board_J_m2K: float = 0.0
    cell_m: float = CELL_M
    half_length_m: float | None = None

    def widths(self) -> tuple[Array, Array, Array]:
        """Cells from underside to top, from the end face inwards, one where there is none, and from
        the side face inwards [m]."""
        through = np.full(round(self.thickness_m / self.cell_m), 1.0)
        along = np.ones(1) if self.half_length_m is None else self._inwards(self.half_length_m)
        return through * self.thickness_m / len(through), along, self._inwards(self.half_width_m)

    def _inwards(self, half_m: float) -> Array:
        cells = np.ones(2)
        while cells.sum() * self.cell_m < half_m:
            growth = GROWTH ** (self.cell_m / CELL_M)
            cells = np.append(cells, cells[-1] * growth)
        return np.asarray(cells * half_m / cells.sum())


@dataclass(frozen=True)
class Surroundings:
    """What the faces feel, (hours + 1,) each, straight between hours but for R and wet, which hold
    from their hour on: air with sun and sky in it [degC] and film [W/m2K] of top, underside and
    sides, ends like them, R of what covers them [m2K/W]; the air for evaporation from a wet top.
    """

    top_C: Array
    low_C: Array
    side_C: Array
    top_film: Array
    low_film: Array
    side_film: Array
    top_R: Array
    low_R: Array
    side_R: Array
    wet: Array = field(default_factory=lambda: np.zeros(0))
    vapour: Array = field(default_factory=lambda: np.zeros(0))
    wind_m_s: Array = field(default_factory=lambda: np.zeros(0))


@dataclass(frozen=True)
class Frozen:
    """Fields at every hour until all of it bore its need, (hours, through, across), with a length
    (hours, through, along, across): temperature [degC], ice as a share of the mixing water,
    equivalent age [h]; heat that came in through the faces and by hydration since placing [J a
    metre of length, or J of a quarter], (hours,); heat in it likewise.
    """

    temperature_C: Array
    ice: Array
    age_h: Array
    through_m: Array
    along_m: Array
    across_m: Array
    gained_J_m: Array
    held_J_m: Array

    def mean(self, values: Array, depth_m: float, *, top: bool) -> Array:
        """Mean over a square of some depth at the upper or lower edge, with a length over a cube at
        the corner, (hours,)."""
        upright = self.through_m[::-1] if top else self.through_m
        lying = [self.along_m] if values.ndim == 4 else []
        rows = values[:, ::-1] if top else values
        for widths in (upright, *lying, self.across_m):
            part = np.clip(depth_m - (np.cumsum(widths) - widths), 0.0, widths)
            rows = np.tensordot(rows, part / part.sum(), axes=(1, 0))
        return np.asarray(rows)


def solve(
    casting: Casting, mix: Hardening, felt: Surroundings, placed_C: float, need_MPa: float = np.inf
) -> Frozen:
    """Fields of a casting placed at a temperature, hourly, until all of it bears need_MPa.

    Source: Fourier's law and the heat balance; Powers for bound water; Uno 1998 for evaporation.
    """
    dx, dz, dy = casting.widths()
    hours = len(felt.top_C) - 1
    nothing = np.zeros(hours + 1)
    hydrated_kg = mix.heat_J_m3 / (1e3 * FULL_HEAT_J_G)
    evaporable = np.maximum(mix.water_kg_m3 - CHEMICALLY_BOUND * hydrated_kg, 1e-9)
    freezable = np.maximum(evaporable - IN_GEL * hydrated_kg, 1e-9)
    point = mix.freezing_C * max(mix.water_kg_m3, 1e-9) / evaporable
    reached = mix.strength_MPa >= need_MPa
    need_h = mix.age_h[np.argmax(reached)] if reached.any() else np.inf
    out = np.zeros((3, hours + 1, len(dx), len(dz), len(dy)))
    budget = np.zeros((2, hours + 1))
    rows = _march(
        dx,
        dz,
        dy,
        np.array(
            [casting.k_W_mK, casting.capacity_J_m3K, casting.board_R, casting.board_J_m2K, placed_C]
            + [mix.energy_J_mol, mix.warm_energy_J_mol or mix.energy_J_mol, mix.age_h[1], need_h]
            + [float(casting.half_length_m is not None)]
        ),
        np.stack((mix.heat_J_m3, freezable, point)),
        np.stack((felt.top_C, felt.low_C, felt.side_C)),
        np.stack((felt.top_film, felt.low_film, felt.side_film)),
        np.stack((felt.top_R, felt.low_R, felt.side_R)),
        np.stack([v if len(v) else nothing for v in (felt.wet, felt.vapour, felt.wind_m_s)]),
        out,
        budget,
    )
    water = max(mix.water_kg_m3, 1e-9)
    fields = out[:, :rows] if casting.half_length_m is not None else out[:, :rows, :, 0]
    return Frozen(
        fields[0],
        fields[1] / water,
        fields[2],
        dx,
        dz,
        dy,
        budget[0, :rows],
        budget[1, :rows],
    )


compiled = njit(cache=True, error_model="numpy")


@compiled
def _hydrate(T, age, heat, water, point, source, table, energies, age_step):  # type: ignore[no-untyped-def]
    """Age, heat [W/m3], freezable water and freezing point of every cell, over one block."""
    for n in np.ndindex(T.shape):
        energy = energies[0] if T[n] + KELVIN < REFERENCE_K else energies[1]
        pace = np.exp(energy / GAS_J_MOL_K * (1 / REFERENCE_K - 1 / (T[n] + KELVIN)))
        if T[n] < point[n]:
            pace *= max(0.0, (T[n] - STOPS_C) / (point[n] - STOPS_C))
        age[n] += pace * BLOCK_S / 3600.0
        row = min(int(age[n] / age_step), table.shape[1] - 2)
        share = min(age[n] / age_step - row, 1.0)
        now = table[0, row] * (1 - share) + table[0, row + 1] * share
        source[n] = (now - heat[n]) / BLOCK_S
        heat[n] = now
        water[n] = table[1, row] * (1 - share) + table[1, row + 1] * share
        point[n] = table[2, row] * (1 - share) + table[2, row + 1] * share


@compiled
def _conduct(T, source, flow, dx, dz, dy, k):  # type: ignore[no-untyped-def]
    """Heat of every cell from its neighbours and its hydration [W/m3]."""
    nx, nz, ny = T.shape
    flow[:] = source
    for i in range(nx - 1):
        between = 2 * k / (dx[i] + dx[i + 1])
        for z in range(nz):
            for j in range(ny):
                q = between * (T[i + 1, z, j] - T[i, z, j])
                flow[i, z, j] += q / dx[i]
                flow[i + 1, z, j] -= q / dx[i + 1]
    for z in range(nz - 1):
        between = 2 * k / (dz[z] + dz[z + 1])
        for i in range(nx):
            for j in range(ny):
                q = between * (T[i, z + 1, j] - T[i, z, j])
                flow[i, z, j] += q / dz[z]
                flow[i, z + 1, j] -= q / dz[z + 1]
    for j in range(ny - 1):
        between = 2 * k / (dy[j] + dy[j + 1])
        for i in range(nx):
            for z in range(nz):
                q = between * (T[i, z, j + 1] - T[i, z, j])
                flow[i, z, j] += q / dy[j]
                flow[i, z, j + 1] -= q / dy[j + 1]


@compiled
def _melt(H, T, ice, flow, dt, water, point, C):  # type: ignore[no-untyped-def]
    """Enthalpy a step later, its temperature and ice: C T2 - (L w + H) T + L w T0 = 0 under T0."""
    for i in range(H.shape[0]):
        for z in range(H.shape[1]):
            for j in range(H.shape[2]):
                H[i, z, j] += dt * flow[i, z, j]
                if H[i, z, j] >= C * point[i, z, j]:
                    T[i, z, j], ice[i, z, j] = H[i, z, j] / C, 0.0
                else:
                    latent, T0 = LATENT_J_KG * water[i, z, j], point[i, z, j]
                    b = latent + H[i, z, j]
                    T[i, z, j] = (b - np.sqrt(b * b - 4 * C * latent * T0)) / (2 * C)
                    ice[i, z, j] = water[i, z, j] * (1 - T0 / T[i, z, j])


@compiled
def _through_board(T, board, outside, U_out, U_in, board_J, dt):  # type: ignore[no-untyped-def]
    """What goes into a cell through its board [W/m2], and the board a step later [degC]."""
    if board_J > 0:
        into = U_in * (board - T)
        return into, board + dt / board_J * (U_out * (outside - board) - into)
    return (outside - T) / (1 / U_in + 1 / U_out), board


@compiled
def _told(hour, dx, dz, dy, H, T, ice, age, out, budget):  # type: ignore[no-untyped-def]
    """Write the row of an hour; returns the least age [h]."""
    out[0, hour], out[1, hour], out[2, hour] = T, ice, age
    for i in range(len(dx)):
        for z in range(len(dz)):
            for j in range(len(dy)):
                budget[1, hour] += H[i, z, j] * dx[i] * dz[z] * dy[j]
    return age.min()


@compiled
def _march(dx, dz, dy, numbers, table, driven, film, cover, vapour, out, budget):  # type: ignore[no-untyped-def]
    """March in explicit steps; out (temperature, ice, age); returns the rows that were filled."""
    k, C, board_R, board_J, placed, cold, warm, age_step, need_h, has_ends = numbers
    energies = (cold, warm)
    nx, nz, ny, hours = len(dx), len(dz), len(dy), driven.shape[1] - 1
    T, H = np.full((nx, nz, ny), placed), np.full((nx, nz, ny), C * placed)
    age, ice, heat = np.zeros_like(T), np.zeros_like(T), np.zeros_like(T)
    water, point = np.zeros_like(T), np.zeros_like(T)
    source, flow = np.zeros_like(T), np.zeros_like(T)
    low_board = np.full((nz, ny), driven[1, 0])
    side_board, end_board = np.full((nx, nz), driven[2, 0]), np.full((nx, ny), driven[2, 0])
    ends = 1 / dz[0] ** 2 if has_ends > 0 else 0.0
    stable = 0.45 * C / k / (1 / dx[0] ** 2 + 1 / dy[0] ** 2 + ends)
    steps = int(np.ceil(BLOCK_S / stable))
    dt, blocks = BLOCK_S / steps, int(3600.0 / BLOCK_S)
    gained = 0.0
    for hour in range(hours + 1):
        budget[0, hour] = gained
        least = _told(hour, dx, dz, dy, H, T, ice, age, out, budget)
        if least >= need_h or hour == hours:
            return hour + 1
        U_top = 1 / (1 / film[0, hour] + cover[0, hour] + dx[-1] / 2 / k)
        U_low = 1 / (1 / film[1, hour] + cover[1, hour] + board_R / 2)
        in_low = 1 / (board_R / 2 + dx[0] / 2 / k)
        U_side = 1 / (1 / film[2, hour] + cover[2, hour] + board_R / 2)
        in_side, in_end = 1 / (board_R / 2 + dy[0] / 2 / k), 1 / (board_R / 2 + dz[0] / 2 / k)
        for block in range(blocks):
            part = (block + 0.5) / blocks
            top = driven[0, hour] * (1 - part) + driven[0, hour + 1] * part
            low = driven[1, hour] * (1 - part) + driven[1, hour + 1] * part
            side = driven[2, hour] * (1 - part) + driven[2, hour + 1] * part
            _hydrate(T, age, heat, water, point, source, table, energies, age_step)
            for i in range(nx):
                for z in range(nz):
                    for j in range(ny):
                        gained += BLOCK_S * source[i, z, j] * dx[i] * dz[z] * dy[j]
            for _ in range(steps):
                _conduct(T, source, flow, dx, dz, dy, k)
                for z in range(nz):
                    for j in range(ny):
                        q = U_top * (top - T[-1, z, j])
                        if vapour[0, hour] > 0:  # Uno 1998: kg/m2h of V in km/h
                            skin = max(T[-1, z, j] + 18.0, 0.0) ** 2.5 - vapour[1, hour]
                            kg_m2h = 5e-6 * max(skin, 0.0) * (3.6 * vapour[2, hour] + 4.0)
                            q -= vapour[0, hour] * kg_m2h * EVAPORATION_J_KG / 3600.0
                        into, low_board[z, j] = _through_board(
                            T[0, z, j], low_board[z, j], low, U_low, in_low, board_J, dt
                        )
                        flow[-1, z, j] += q / dx[-1]
                        flow[0, z, j] += into / dx[0]
                        gained += dt * dz[z] * dy[j] * (q + into)
                for i in range(nx):
                    for z in range(nz):
                        into, side_board[i, z] = _through_board(
                            T[i, z, 0], side_board[i, z], side, U_side, in_side, board_J, dt
                        )
                        flow[i, z, 0] += into / dy[0]
                        gained += dt * dx[i] * dz[z] * into
                if has_ends > 0:
                    for i in range(nx):
                        for j in range(ny):
                            into, end_board[i, j] = _through_board(
                                T[i, 0, j], end_board[i, j], side, U_side, in_end, board_J, dt
                            )
                            flow[i, 0, j] += into / dz[0]
                            gained += dt * dx[i] * dy[j] * into
                _melt(H, T, ice, flow, dt, water, point, C)
    return hours + 1
