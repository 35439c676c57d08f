"""The coldest place of a panel against conduction solved in two and three dimensions.

Source     Fourier's law in finite volumes written here, on a grid that is fine at the faces; the
           product of one-dimensional responses (Carslaw & Jaeger) as a check of that solution.
Page says  nothing: the test computes edge (50 mm by the half of 400 + 400 mm) and corner itself.
Status     exact mathematics, solved here to 0.1 K.
Tolerance  of an excess of 20 K over the air: never over 0.3 K warmer than edge or corner, the
           unsafe side; at most 2.5 K colder than the corner, more where the excess is more. Seen:
           never warmer.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import pytest
from scipy.sparse import csc_matrix, diags, identity, kron
from scipy.sparse.linalg import splu
from scipy.special import erfcx

from models.concrete import heat
from tests.support import sections

K, CAPACITY, FILM = 2.0, 2.35e6, 13.3
THICK_M, HALF_M = 0.050, 0.400
GAS, KELVIN = 8.314462618, 273.15
HOURS, STEP_H = 24, 1 / 20
HUNG, RAPID = "cover on top and down the sides, 350 kg of cement", "cover on top, a rapid mix"


@dataclass(frozen=True)
class Panel:
    """Concrete placed at 20 degC in steady air; covers R [m2K/W]; heat [J/m3]."""

    air_C: float
    R_top: float = 0.0
    R_side: float = 0.0
    heat_J_m3: float = 0.0
    placed_C: float = 20.0
    tau_h: float = 14.0
    beta: float = 0.9
    energy_kJ_mol: float = 40.0


PANELS = {
    "bare, no heat": Panel(0.0),
    "bare, 350 kg of cement": Panel(0.0, heat_J_m3=350.0 * 340e3),
    "bare, in mild air, 350 kg of cement": Panel(12.0, heat_J_m3=350.0 * 340e3),
    "cover on top, no heat": Panel(0.0, R_top=0.7),
    "cover on top, 350 kg of cement": Panel(0.0, R_top=0.7, heat_J_m3=350.0 * 340e3),
    HUNG: Panel(0.0, R_top=0.7, R_side=0.7, heat_J_m3=350.0 * 340e3),
    RAPID: Panel(5.0, R_top=0.7, heat_J_m3=420.0 * 400e3, tau_h=2.5, beta=1.1),
}


@dataclass(frozen=True)
class Axis:
    """Widths of the cells, and the conductance from the air to each end [W/m2K], 0: closed."""

    width_m: np.ndarray
    low: float
    high: float

    def exchange(self) -> csc_matrix:
        """Conduction between the cells of this line, and from the ends to the air [W/m2K]."""
        w = self.width_m
        between = 2 * K / (w[:-1] + w[1:])
        gone = np.zeros(len(w))
        for end, film in ((0, self.low), (-1, self.high)):
            gone[end] += 1 / (1 / film + w[end] / 2 / K) if film else 0.0
        gone[:-1] += between
        gone[1:] += between
        return csc_matrix(diags([between, -gone, between], [-1, 0, 1]))

    def at_face(self, end: int) -> float:
        """Excess at the face as a share of that in the last cell."""
        conductance = 2 * K / self.width_m[end]
        film = (self.low, self.high)[end]
        return float(conductance / (conductance + film))


def through(panel: Panel) -> Axis:
    """Underside to top, 1 mm at the faces."""
    half = np.geomspace(1.0, 5.0, 7)
    w = np.concatenate((half, half[::-1]))
    return Axis(w / w.sum() * THICK_M, FILM, 1 / (1 / FILM + panel.R_top))


def across(panel: Panel) -> Axis:
    """Side face, 1 mm there, to the middle of the panel, which is closed by symmetry."""
    w = np.geomspace(1.0, 60.0, 14)
    return Axis(w / w.sum() * HALF_M, 1 / (1 / FILM + panel.R_side), 0.0)


def conduction(axes: list[Axis]) -> csc_matrix:
    """Net flow into each cell of the box a kelvin, by its volume [W/m3K]."""
    shape = [len(axis.width_m) for axis in axes]
    whole = csc_matrix((np.prod(shape), np.prod(shape)))
    for k, axis in enumerate(axes):
        per_cell = diags(1 / axis.width_m) @ axis.exchange()
        term = identity(1)
        for j, n in enumerate(shape):
            term = kron(term, per_cell if j == k else identity(n))
        whole = whole + term
    return csc_matrix(whole)


def solved(panel: Panel, axes: list[Axis]) -> np.ndarray:
    """Coldest edge (two axes) or corner (three) over the air, hourly [K]: implicit steps."""
    shape = [len(axis.width_m) for axis in axes]
    flow = conduction(axes)
    one = identity(flow.shape[0])
    dt = 3600 * STEP_H
    # second order backwards: 1.5 new - 2 now + 0.5 before
    solve = splu(csc_matrix(1.5 * one - dt / CAPACITY * flow)).solve
    first = splu(csc_matrix(one - dt / CAPACITY * flow)).solve
    now = before = np.full(flow.shape[0], panel.placed_C - panel.air_C)
    age = np.zeros_like(now)
    out = [now.reshape(shape)]
    released = hydration(panel)
    for step in range(round(HOURS / STEP_H)):
        age, gained = released(now, age)
        if step == 0:
            now, before = first(now + gained), now
        else:
            now, before = solve(2 * now - 0.5 * before + gained), now
        if (step + 1) % round(1 / STEP_H) == 0:
            out.append(now.reshape(shape))
    return coldest(np.array(out), axes)


def hydration(panel: Panel) -> Callable[[np.ndarray, np.ndarray], tuple[np.ndarray, np.ndarray]]:
    """Age of each cell a step later, and the temperature its heat gives meanwhile."""

    def degree(age: np.ndarray) -> np.ndarray:
        part: np.ndarray = np.exp(-((panel.tau_h / np.maximum(age, 1e-3)) ** panel.beta))
        return part

    def advance(over: np.ndarray, age: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        T = over + panel.air_C + KELVIN
        later = age + STEP_H * np.exp(1e3 * panel.energy_kJ_mol / GAS * (1 / 293.15 - 1 / T))
        return later, panel.heat_J_m3 / CAPACITY * (degree(later) - degree(age))

    return advance


def coldest(field: np.ndarray, axes: list[Axis]) -> np.ndarray:
    """Of the line where faces meet: under or on top, at the side (and the other side)."""
    inside = field[(slice(None), slice(None)) + (0,) * len(axes[1:])]
    sides = np.prod([axis.at_face(0) for axis in axes[1:]])
    ends = [inside[:, end] * axes[0].at_face(end) * sides for end in (0, -1)]
    return np.minimum(*ends)


def told(panel: Panel) -> tuple[np.ndarray, np.ndarray]:
    """What the program takes for the coldest place, and the mean, over the air [K]."""
    one = np.ones(1)
    got = heat.temperature(
        heat.Column(1e3 * THICK_M, k_W_mK=K, heat_capacity_J_m3K=CAPACITY),
        sections.schedule(R_top=panel.R_top, R_side=panel.R_side),
        sections.exposure(panel.air_C, FILM, FILM, HOURS + 1),
        heat.Kinetics(
            panel.heat_J_m3 * one,
            panel.tau_h * one,
            panel.beta * one,
            panel.energy_kJ_mol * one,
            0.0 * one,
        ),
        np.array([panel.placed_C]),
        HOURS,
    )
    return got.coldest_C[1:, 0] - panel.air_C, got.mean_C[1:, 0] - panel.air_C


@pytest.fixture(scope="module")
def edges() -> dict[str, np.ndarray]:
    return {
        name: solved(panel, [through(panel), across(panel)])[1:] for name, panel in PANELS.items()
    }


@pytest.fixture(scope="module")
def corners() -> dict[str, np.ndarray]:
    return {
        name: solved(panel, [through(panel), across(panel), across(panel)])[1:]
        for name, panel in PANELS.items()
    }


@pytest.mark.parametrize("name", ["bare, no heat", "cover on top, no heat"])
def test_reference_corner_is_its_edge_times_a_half_space(
    edges: dict[str, np.ndarray], corners: dict[str, np.ndarray], name: str
) -> None:
    hours = np.arange(1.0, 7.0)
    half_space = erfcx(FILM * np.sqrt(K / CAPACITY * 3600 * hours) / K)
    assert corners[name][:6] == pytest.approx(edges[name][:6] * half_space, abs=0.1)


@pytest.mark.parametrize("name", PANELS)
def test_coldest_place_is_not_warmer_than_the_edge(edges: dict[str, np.ndarray], name: str) -> None:
    coldest_K, _ = told(PANELS[name])
    assert (coldest_K <= edges[name] + 0.3).all()


@pytest.mark.parametrize("name", PANELS)
def test_coldest_place_is_not_warmer_than_the_corner(
    corners: dict[str, np.ndarray], name: str
) -> None:
    coldest_K, _ = told(PANELS[name])
    assert (coldest_K <= corners[name] + 0.3).all()


@pytest.mark.parametrize("name", PANELS)
def test_coldest_place_is_not_much_colder_than_the_corner(
    corners: dict[str, np.ndarray], name: str
) -> None:
    coldest_K, mean_K = told(PANELS[name])
    allowed = 2.5 * max(20.0, mean_K.max()) / 20.0
    assert (coldest_K >= corners[name] - allowed).all()


def test_the_corner_is_colder_than_the_edge_and_the_edge_than_the_mean(
    edges: dict[str, np.ndarray], corners: dict[str, np.ndarray]
) -> None:
    for name, panel in PANELS.items():
        assert (corners[name] <= edges[name]).all()
        assert (edges[name][:6] < told(panel)[1][:6]).all()
