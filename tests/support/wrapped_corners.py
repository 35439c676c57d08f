"""Wrapped pieces in their moulds: the corner as the program tells it, and as it is solved."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from functools import cached_property

import numpy as np

from models.air.place import Site
from models.concrete import heat
from models.concrete.mixture import Mixture
from models.concrete.section import Covering, MouldBoard
from models.facts.materials import BOARDS
from models.facts.protection import COVERS
from models.piece.shape import Shape
from models.simulation import in_force, thermal
from models.simulation.scenario import Placement, Scenario
from models.units import Array
from tests.support import sections
from tests.support.moulded_box import CONCRETE, MouldedBox, Solved, Stuff, reached

FILM, PLACED_C = 13.3, 18.0
STRIP_TE_H = 12.0  # 2 N/mm2 beside walls in unsealed plywood, equivalent hours (CCA_42505)
AIRS_C = (0.0, -10.0)
PANEL = Shape("panel", 900.0, 700.0, thickness_mm=50.0)
PEDESTAL = Shape("block", 300.0, 300.0, height_mm=450.0)


@dataclass(frozen=True)
class Wrapping:
    """What a piece is cast in, and what lies on it (`top`), hangs down it or is all about it."""

    cover: str
    faces: str = "top"
    mould: MouldBoard = MouldBoard("melamine", 16.0)


WRAPPINGS: Mapping[str, Wrapping] = {
    "film": Wrapping("film"),
    "blanket": Wrapping("blanket"),
    "foam on top": Wrapping("foam"),
    "foam all round": Wrapping("foam", "all"),
    "foam hung down": Wrapping("foam", "sides"),
    "thick boards": Wrapping("film", mould=MouldBoard("plywood", 40.0)),
}


@dataclass(frozen=True)
class Wrapped:
    """A shape in its mould under a cover, placed at 18 degC in still steady air [degC]."""

    shape: Shape
    wrapping: Wrapping
    air_C: float
    hours: int = 72

    @property
    def box(self) -> MouldedBox:
        """As it is solved."""
        shape, mould = self.shape, self.wrapping.mould
        board = BOARDS[mould.material]
        height_mm = shape.height_mm or shape.thickness_mm
        assert height_mm is not None
        R = COVERS[self.wrapping.cover].R_m2K_W
        around = R if self.wrapping.faces != "top" else 0.0
        under = R if self.wrapping.faces == "all" else 0.0
        return MouldedBox(
            shape.length_mm / 1e3,
            shape.width_mm / 1e3,
            height_mm / 1e3,
            self.air_C,
            mould.thickness_mm / 1e3,
            Stuff(board.k_W_mK, board.density_kg_m3 * board.c_J_kgK),
            R,
            around,
            under,
            PLACED_C,
            FILM,
        )

    @cached_property
    def solved(self) -> Solved:
        return self.box.solved(self.hours)

    @cached_property
    def told(self) -> heat.Histories:
        """By the sweep of the program, under the schedule that it makes of mould and cover."""
        scenario = Scenario(
            "wrapped",
            Site("open yard", 41.5, -74.0),
            Mixture("general-purpose"),
            self.shape,
            Placement(datetime(2025, 10, 20, 16, tzinfo=UTC), PLACED_C),
            mould=self.wrapping.mould,
            coverings=(Covering(0.0, None, self.wrapping.cover, faces=self.wrapping.faces),),
        )
        box = self.box
        column = replace(
            thermal.column(scenario), k_W_mK=CONCRETE.k, heat_capacity_J_m3K=CONCRETE.capacity
        )
        hydration = (box.heat_J_m3, box.tau_h, box.beta, box.energy_kJ_mol, 0.0)
        return heat.temperature(
            column,
            in_force.schedule(scenario),
            sections.exposure(self.air_C, FILM, FILM, self.hours + 1),
            heat.Kinetics(*(np.array([value]) for value in hydration)),
            np.array([PLACED_C]),
            self.hours,
        )

    @property
    def told_strip_h(self) -> float:
        return reached(self.told.te_cold_h[:, 0], STRIP_TE_H)

    @property
    def told_freezes_h(self) -> float:
        return reached(-self.told_corner_C, 0.0)

    @property
    def told_corner_C(self) -> Array:
        return np.asarray(self.told.coldest_C[:, 0])


def all_wrapped(shape: Shape, hours: int = 72) -> dict[tuple[str, float], Wrapped]:
    return {
        (name, air_C): Wrapped(shape, wrapping, air_C, hours)
        for air_C in AIRS_C
        for name, wrapping in WRAPPINGS.items()
    }
