"""Boards and concrete against the design values of EN 12524.

Source     EN_12524, the table carried by PyPI ht 1.2 (building_materials).
Page says  particleboard 600 / 900 kg/m3: 0.14 / 0.18 W/mK; plywood 500 / 700: 0.13 / 0.17;
           fibreboard 600 / 800: 0.14 / 0.18; steel 50; concrete 2200 / 2400: 1.65 / 2.00 W/mK,
           1000 J/kgK.
Status     library.
Tolerance  20 %, the scatter of wood (Wood Handbook 4-15), for boards; 10 % for concrete and heat
           capacity; exact for steel.
"""

import numpy as np
import pytest
from ht.insulation import building_materials as page

from models.facts.materials import BOARDS, CONCRETE

ROWS = {
    "melamine": ["Wood, particleboard, 600 kg/m^3", "Wood, particleboard, 900 kg/m^3"],
    "plywood": ["Wood, plywood 500 kg/m^3", "Wood, plywood 700 kg/m^3"],
    "mdf": ["Wood, fibreboard, 600 kg/m^3", "Wood, fibreboard, 800 kg/m^3"],
}


@pytest.mark.parametrize("board", ROWS)
def test_board_between_the_rows_of_its_density(board: str) -> None:
    rows = np.array([page[name] for name in ROWS[board]])
    ours = BOARDS[board]
    assert rows[0, 0] <= ours.density_kg_m3 <= rows[1, 0]
    k = np.interp(ours.density_kg_m3, rows[:, 0], rows[:, 1])
    assert ours.k_W_mK == pytest.approx(k, rel=0.20)
    assert ours.c_J_kgK == pytest.approx(rows[0, 2], rel=0.10)


@pytest.mark.parametrize("board", ROWS)
def test_board_conductivity_is_inside_the_rows_it_names(board: str) -> None:
    rows = np.array([page[name] for name in ROWS[board]])
    assert rows[0, 1] <= BOARDS[board].k_W_mK <= rows[1, 1]


def test_steel_is_the_row() -> None:
    ours = BOARDS["steel"]
    assert (ours.density_kg_m3, ours.k_W_mK, ours.c_J_kgK) == page["Metals, steel"]


def test_concrete_lies_with_dense_concrete() -> None:
    rows = np.array([page["Concrete, medium density 2200 kg/m^3"], page["Concrete, high density"]])
    k = np.interp(CONCRETE.density_kg_m3, rows[:, 0], rows[:, 1])
    assert CONCRETE.k_W_mK == pytest.approx(k, rel=0.10)
    assert CONCRETE.c_J_kgK == pytest.approx(1000.0, rel=0.10)


@pytest.mark.parametrize(
    ("board", "row"),
    [
        ("film-faced plywood", "Wood, plywood 700 kg/m^3"),
        ("glass", "Glass, soda lime"),
        ("hdpe", "Plastics, polyethylene / polythene, high density"),
        ("silicone", "Sealant, silicone, pure"),
        ("plaster", "Gypsum, 1200 kg/m^3"),
    ],
)
def test_other_moulds_are_the_row(board: str, row: str) -> None:
    ours = BOARDS[board]
    assert (ours.density_kg_m3, ours.k_W_mK, ours.c_J_kgK) == page[row]


def test_foam_conducts_less_than_any_wood_and_steel_more_than_concrete() -> None:
    assert BOARDS["foam"].k_W_mK < 0.05 < BOARDS["melamine"].k_W_mK
    assert BOARDS["steel"].k_W_mK > CONCRETE.k_W_mK
