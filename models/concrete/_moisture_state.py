"""What the moisture kernel works on: named arrays. M members of a block lie side by side."""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from models._jit import stage
from models.units import Array

Places = NDArray[np.int32]


class Section(NamedTuple):
    """The cells from the top face down, and the holes of the probes."""

    area: Array  # (cells + 1,) of the faces between cells, relative
    volume: Array  # (cells,) relative; a slab: its width [mm]
    gap_mm: Array  # (cells + 1,) between the middles of cells, from face to middle at the ends
    centre: Array  # (cells,) place of the middle as a share of the thickness, -0.5 to 0.5
    probe_cell: Array  # cell over the hole, and how far it lies on the way to the next
    probe_weight: Array


class Hours(NamedTuple):
    """What the section meets in each hour, (rows, members)."""

    D1_mm2_h: Array
    sink_h: Array  # pore humidity that cement takes, sealed
    sealed_rh: Array  # humidity of the sealed concrete at the end of the hour
    top_rh: Array  # NaN where the face is closed
    low_rh: Array
    top_wet: Array  # water that lies on the face in the hour [kg/m2]
    low_wet: Array


class Law(NamedTuple):
    """The law of each member (members,), and what is the same for all."""

    alpha: Array
    hc: Array
    surface_mm: Array  # concrete that a face to air counts for
    suction: Array  # [kg mm/m2h]
    kg_m2_mm: Array  # what one per cent of moisture weighs in a millimetre of section
    start_rh: Array  # (cells, members) from which it goes on
    table: Array  # the law's integral, moisture.shape_table
    sorption: Array  # [%] by mass at even steps of humidity
    stops_rh: float  # under this cement takes no more water


class Record(NamedTuple):
    """The histories to fill, (rows + 1, members), as in moisture.Dried; profiles at `keep`."""

    mean_rh: Array
    probe_rh: Array
    top_rh: Array
    low_rh: Array
    with_bound_pct: Array  # moisture by mass, what the cement bound counted in
    by_mass_pct: Array
    tilt_rh: Array
    outflow: Array
    soaked_kg_m2: Array
    profile: Array  # (kept, cells, members)
    keep: Array  # row of the profile for each hour, or -1


class Face(NamedTuple):
    """One face in this hour, (M,) each."""

    rh: Array
    outside_rh: Array  # NaN where it is closed or wet
    film_mm: Array
    U: Array  # conductance to the first cell [mm2/h]
    into: Array
    rise: Array  # of the law's integral at it


class State(NamedTuple):
    """Pore humidity of the cells (cells, M), and the law at it."""

    h: Array
    old: Array  # at the begin of the step
    bound: Array  # taken by the cement so far
    u: Array  # (1 - h) / (1 - hc), its integral P, and 1 / (1 + u^n) there
    P: Array
    near: Array
    g: Array  # conductance to the cell above
    cp: Array  # upper diagonal of the elimination
    flow: Array  # (M,) given off and taken in so far
    soaked: Array
    inv: Array  # (M,) 1 / (1 - hc), alpha
    dry: Array
    law: Array  # the tables of the law, as `pairs_of`
    sorption: Array
    k: Places  # (M,) points of a table


@stage
def pairs_of(table: Array) -> Array:
    """Every point of a table but the last with the rise to the next, (points, 2): one fetch."""
    pairs = np.empty((table.shape[0] - 1, 2))
    for k in range(table.shape[0] - 1):
        pairs[k, 0] = table[k]
        pairs[k, 1] = table[k + 1] - table[k]
    return pairs


@stage
def closed_face(first: int, M: int, cell: int, law: Law) -> Face:
    """A face of members first..first + M that meets nothing yet, as the cell behind it begins."""
    a, b, c = np.zeros(M), np.zeros(M), np.zeros(M)
    face = Face(np.empty(M), a, b, c, np.zeros(M), np.zeros(M))
    for m in range(M):
        face.rh[m] = law.start_rh[cell, first + m]
    return face


@stage
def at_start(first: int, M: int, cells: int, law: Law) -> State:
    """All cells at the humidity they begin with, nothing given off yet."""
    state = State(
        np.empty((cells, M)),
        np.empty((cells, M)),
        np.zeros((cells, M)),
        np.empty((cells, M)),
        np.empty((cells, M)),
        np.empty((cells, M)),
        np.empty((cells + 1, M)),
        np.empty((cells, M)),
        np.zeros(M),
        np.zeros(M),
        np.empty(M),
        np.empty(M),
        pairs_of(law.table),
        pairs_of(law.sorption),
        np.empty(M, dtype=np.int32),
    )
    for m in range(M):
        state.dry[m] = law.alpha[first + m]
        state.inv[m] = 1.0 / (1.0 - law.hc[first + m])
        for i in range(cells):
            state.h[i, m] = law.start_rh[i, first + m]
    return state
