"""How sure a step has to be goes by what is lost when it is done too early."""

from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from models.air.place import Site
from models.air.series import HOUR, AirSeries
from models.concrete.mixture import LabelStrength, Mixture
from models.piece.shape import Shape
from models.planning import pour_check, timeline, watch
from models.results import Projection
from models.simulation.scenario import Meant, Placement, Scenario, ShopRules
from models.steps import registry
from models.steps.heat import LATER

POURED_AT = datetime(2026, 5, 4, 15, tzinfo=UTC)
HURTS = {"turn", "first-heating", *LATER}
LOSES_THE_PIECE = {"core", "uncover", "full-use", "load", "install"}


def weather(mean_C: float, swing_K: float = 4.0) -> AirSeries:
    t = np.arange(72 + 40 * 24)
    air = mean_C + swing_K * np.sin(2 * np.pi * (t - 9) / 24)
    same = np.ones_like(air)
    return AirSeries(
        POURED_AT - 72 * HOUR,
        air,
        air - 5.0,
        2.0 * same,
        0.0 * same,
        0.4 * same,
        np.nan * same,
        POURED_AT,
        "made up",
    )


def bench(confidence: float = 0.9) -> Scenario:
    """A bench whose maker has said when it is stripped and out of its damp cure, so that what comes
    after waits for the same hours whatever the shop wants."""
    label = (LabelStrength(72.0, 14.0), LabelStrength(672.0, 35.0))
    return Scenario(
        "bench",
        Site("covered", 44.0, 0.0),
        Mixture("general-purpose", label),
        Shape("panel", 1500, 420, 60),
        Placement(POURED_AT, 18.0),
        rules=ShopRules(confidence=confidence),
        plan=(
            Meant("strip", POURED_AT + 60 * HOUR),
            Meant("end-wet-cure", POURED_AT + 240 * HOUR),
        ),
    )


def told(confidence: float) -> Projection:
    return timeline.project(bench(confidence), weather(14.0), POURED_AT + timedelta(hours=2))


@pytest.mark.parametrize("confidence", [0.8, 0.9, 0.99])
def test_a_step_is_safe_at_the_level_of_its_harm(confidence: float) -> None:
    for step in told(confidence).steps:
        least = 0.95 if step.step in HURTS | LOSES_THE_PIECE else 0.0
        assert step.level == max(confidence, least), step.step


def test_who_wants_less_than_19_in_20_waits_for_it_where_people_may_be_hurt() -> None:
    hasty, usual, careful = (
        {step.step: step for step in told(confidence).steps} for confidence in (0.8, 0.95, 0.99)
    )
    assert hasty["turn"].safe == usual["turn"].safe
    assert usual["turn"].safe is not None
    assert careful["turn"].safe is not None
    assert usual["turn"].safe < careful["turn"].safe
    assert hasty["strip"].safe is not None
    assert usual["strip"].safe is not None
    assert hasty["strip"].safe < usual["strip"].safe  # edges only: the shop's own risk


def test_the_hour_at_90_percent_stays_the_hour_at_90_percent() -> None:
    for one, other in zip(told(0.8).steps, told(0.99).steps, strict=True):
        if not registry.coat_number(one.step) and registry.known(one.step).stage != "use":
            assert one.p90 == other.p90, one.step


def test_every_step_says_what_is_at_stake() -> None:
    at_stake = {step.key: step.harm for step in registry.STEPS}
    assert {key for key, harm in at_stake.items() if harm == "person"} == HURTS
    assert {key for key, harm in at_stake.items() if harm == "piece"} == LOSES_THE_PIECE


def test_one_piece_in_twenty_may_freeze_whatever_the_shop_takes_of_blemishes() -> None:
    answer = pour_check.check(bench(0.8), weather(9.0), POURED_AT, only=POURED_AT)
    allowed = {risk.risk: risk.allowed for option in answer.options for risk in option.risks}
    assert allowed[watch.FROST] == pytest.approx(0.05)
    assert allowed[watch.MOULD] == pytest.approx(0.05)
    assert allowed[watch.RAIN] == pytest.approx(0.20)
    for option in answer.options:
        assert option.passes == (not any(risk.forbids for risk in option.risks))
