"""One caution for a step and its product: the right one, once, and none that is another's."""

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime, timedelta

import pytest

from models.air.series import AirSeries
from models.coating.film import SealerSystem
from models.errors import Unknown
from models.facts.hazards import GENERAL, HAZARDS, MILD, OF_CHEMISTRY, OF_STEP
from models.facts.sealers import CHEMISTRIES
from models.message import text
from models.planning import timeline
from models.results import StepWindow
from models.simulation.scenario import Done, Scenario
from models.steps import registry
from models.steps.hazards import hazard_of
from service.words import en

HOUR = timedelta(hours=1)
Panel = Callable[..., Scenario]


def codes(step: StepWindow) -> list[str]:
    return [one.code for one in step.cautions]


def hazards(step: StepWindow) -> list[str]:
    return [code for code in codes(step) if code.startswith("hazard_")]


def test_the_table_names_steps_and_products_that_there_are() -> None:
    assert OF_STEP.keys() <= set(registry.KEYS)
    assert (OF_CHEMISTRY.keys() | set(MILD)) <= CHEMISTRIES.keys()
    assert {*OF_STEP.values(), *OF_CHEMISTRY.values()} == HAZARDS.keys()
    for key in HAZARDS:
        assert f"hazard_{key.replace('-', '_')}" in en.TEMPLATES


@pytest.mark.parametrize(
    ("chemistry", "hazard"),
    [
        ("two-part-urethane", "hazard_isocyanate"),
        ("epoxy", "hazard_hardener"),
        ("solvent-acrylic", "hazard_solvent"),
        ("acid-stain", "hazard_acid"),
        ("water-based-acrylic", None),
        (None, None),
    ],
)
def test_a_coat_is_cautioned_for_its_own_product(chemistry: str | None, hazard: str | None) -> None:
    told = hazard_of("coat-2", chemistry)
    assert (told and told.code) == hazard
    assert hazard_of("light-use", chemistry) is None


def test_every_step_of_a_pour_has_one_caution_at_most_and_it_stands_first(
    panel: Panel, cool: AirSeries, poured_at: datetime
) -> None:
    pour = panel(sealer=SealerSystem("two-part-urethane"))
    steps = {one.step: one for one in timeline.project(pour, cool, poured_at + HOUR).steps}
    for key, step in steps.items():
        assert len(hazards(step)) <= 1, key
        if hazards(step):
            assert codes(step)[0] == hazards(step)[0]
            assert not set(codes(step)) & set(GENERAL), key
    assert hazards(steps["finish"]) == ["hazard_wet_cement"]
    assert hazards(steps["turn"]) == ["hazard_on_edge"]
    assert hazards(steps["sand"]) == ["hazard_silica"]
    assert hazards(steps["hone"]) == ["hazard_wet_mains"]
    assert hazards(steps["coat-1"]) == ["hazard_isocyanate"]
    assert "coat_sheet_first" in codes(steps["coat-1"])


def test_what_is_done_is_cautioned_no_more_and_without_weather_it_still_is(
    panel: Panel, cool: AirSeries, poured_at: datetime
) -> None:
    pour = panel(done=(Done("finish", poured_at + 3 * HOUR),))
    (finish,) = (
        one
        for one in timeline.project(pour, cool, poured_at + 4 * HOUR).steps
        if one.step == "finish"
    )
    assert hazards(finish) == []
    missing = Unknown(text("the weather"), text("none"), text("set a place"))
    blind = timeline.project(replace(pour, done=()), missing, poured_at + HOUR).steps
    assert hazards(next(one for one in blind if one.step == "sand")) == ["hazard_silica"]


def test_of_a_sealer_nobody_told_the_general_caution_stays(
    panel: Panel, cool: AirSeries, poured_at: datetime
) -> None:
    steps = timeline.project(panel(sealer=SealerSystem("polish")), cool, poured_at + HOUR).steps
    coat = next(one for one in steps if one.step == "coat-1")
    assert "coat_solvents" in codes(coat)
    mild = timeline.project(panel(), cool, poured_at + HOUR).steps
    assert "coat_solvents" not in codes(next(one for one in mild if one.step == "coat-1"))
