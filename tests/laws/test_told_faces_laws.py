"""What a maker tells of faces and inserts reaches the steps and the checks by hand."""

from collections.abc import Callable

import numpy as np
import pytest

from models.air.series import AirSeries
from models.piece.shape import FaceTold, Insert, Shape
from models.planning import before_pour
from models.simulation import cases
from models.simulation.physics import Simulation, simulate
from models.simulation.scenario import Scenario
from models.steps import registry
from models.steps.case import Case
from models.steps.finish import cover, finish
from models.steps.opening import StepOpening
from service.pages import checks
from service.words.reader import PLAIN
from tests.support.words import said

AirOf = Callable[..., AirSeries]
PourOf = Callable[..., Scenario]
CaseOf = Callable[[Shape], Case]
SIDES = (1200.0, 600.0, 50.0)
LEFT_AS_POURED = FaceTold("underside", against="open", trowelled=False)


@pytest.fixture
def case_of(air_of: AirOf, pour_of: PourOf) -> CaseOf:
    def case(shape: Shape) -> Case:
        pour = pour_of(shape=shape)
        simulation = simulate(pour, air_of(15.0), pour.placement.at, 48, 8)
        assert isinstance(simulation, Simulation)
        return cases.case_of(pour, simulation, 0.0)

    return case


def codes(case: Case, criterion: Callable[[Case], StepOpening]) -> list[str]:
    return [one.code for one in criterion(case).cautions]


@pytest.mark.parametrize(
    ("faces", "is_floated"),
    [
        ((), True),
        ((FaceTold("top", shown=True),), True),
        ((LEFT_AS_POURED,), False),
        ((LEFT_AS_POURED, FaceTold("top", trowelled=True)), True),
    ],
)
def test_a_face_left_as_poured_is_never_told_to_be_floated(
    case_of: CaseOf,
    faces: tuple[FaceTold, ...],
    is_floated: bool,
) -> None:
    case = case_of(Shape("panel", *SIDES, faces_told=faces))
    steps = [key for key, _ in registry.of_pour(case.setup)]
    assert ("finish" in steps) is is_floated
    assert "cover" in steps
    assert np.isfinite(cover(case).opens_h).all()


def test_what_is_cast_in_is_looked_at_before_the_pour_and_once_more_while_it_moves(
    case_of: CaseOf, pour_of: PourOf
) -> None:
    inserts = (Insert("aluminium", gap_mm=3.0), Insert("stainless"))
    floated = Shape("panel", *SIDES, inserts=inserts)
    assert "inserts_still_level" in codes(case_of(floated), finish)
    assert "inserts_still_level" not in codes(case_of(floated), cover)
    left = Shape("panel", *SIDES, inserts=inserts, faces_told=(LEFT_AS_POURED,))
    assert "inserts_still_level" in codes(case_of(left), cover)
    assert "inserts_still_level" not in codes(case_of(Shape("panel", *SIDES)), finish)
    item = next(
        one for one in before_pour.items(pour_of(shape=floated), [], []) if one.key == "inserts"
    )
    inside = item.says[0].values["inserts"]
    assert isinstance(inside, tuple)
    told = [getattr(one, "code", "") for one in inside]
    assert told == ["before_insert_wrapped", "before_insert"]


def test_the_nail_scratches_a_face_that_nobody_sees() -> None:
    def asked(*faces: FaceTold) -> str:
        shape = Shape("panel", *SIDES, faces_told=faces)
        check = checks.of_step("sand", "/pours/1", (), PLAIN, shape)
        assert check is not None
        return check.words

    assert "underside" in asked()
    shown = FaceTold("underside", shown=True)
    assert asked(shown) == said("check_sand_scrap")
    assert "edges" in asked(shown, FaceTold("edges", shown=False))
