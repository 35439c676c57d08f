"""A pad cast on the ground, and what an admixture does to set."""

from dataclasses import replace
from datetime import UTC, datetime

import numpy as np
import pytest

from models.air.place import Site
from models.air.series import HOUR, AirSeries
from models.concrete import prior
from models.concrete.mixture import Mixture
from models.concrete.section import MouldBoard
from models.errors import InputError
from models.piece.shape import Shape
from models.planning import pour_check
from models.simulation import physics
from models.simulation.scenario import Placement, Scenario

POURED = datetime(2026, 10, 14, 18, tzinfo=UTC)
PAD = Scenario(
    "pad",
    Site("covered"),
    Mixture("general-purpose"),
    Shape("panel", 2400, 1800, 90),
    Placement(POURED, 15.0),
    MouldBoard("ground"),
)


def falling(night_C: float) -> AirSeries:
    """Three days of 12 C before the pour, then a long cold spell."""
    hours = 24 * 16
    air = np.where(np.arange(hours) < 72, 12.0, night_C)
    same = np.ones(hours)
    return AirSeries(
        POURED - 72 * HOUR,
        air,
        air - 4,
        2 * same,
        0 * same,
        0 * same,
        np.nan * same,
        POURED,
        "-",
    )


def simulation(scenario: Scenario, night_C: float = 0.0) -> physics.Simulation:
    told = physics.simulate(scenario, falling(night_C), POURED, 96)
    assert isinstance(told, physics.Simulation)
    return told


def test_the_ground_keeps_a_pad_warmer_in_a_cold_spell_than_a_board_on_a_bench() -> None:
    ground = simulation(PAD).trajectory.mean_C[48].mean()
    bench = simulation(replace(PAD, mould=MouldBoard("plywood", 18.0))).trajectory.mean_C[48].mean()
    assert bench + 1.0 < ground < 12.0


def test_cold_ground_chills_a_pad_in_warm_air() -> None:
    ground = simulation(PAD, 25.0).trajectory.mean_C[24].mean()
    bench = (
        simulation(replace(PAD, mould=MouldBoard("plywood", 18.0)), 25.0)
        .trajectory.mean_C[24]
        .mean()
    )
    assert ground < bench - 1.0


def test_the_pour_check_knows_the_ground() -> None:
    answer = pour_check.check(PAD, falling(0.0), POURED, days=1)
    assert answer.options


@pytest.mark.parametrize(("admixture", "later"), [("accelerator", False), ("retarder", True)])
def test_an_admixture_moves_the_set_unless_the_set_was_told(admixture: str, later: bool) -> None:
    plain = prior.draw(Mixture("general-purpose"), 64, 1)
    mixed = prior.draw(Mixture("general-purpose", admixture=admixture), 64, 1)
    assert bool(np.median(mixed.initial_set_h) > np.median(plain.initial_set_h)) is later
    assert bool(np.median(mixed.tau_h) > np.median(plain.tau_h)) is later
    told = prior.draw(Mixture("general-purpose", admixture=admixture, initial_set_h=5.0), 64, 1)
    assert np.median(told.initial_set_h) == pytest.approx(5.0, rel=0.05)


def test_an_unknown_admixture_is_refused_with_the_known_ones() -> None:
    with pytest.raises(InputError, match="accelerator | retarder | plasticiser"):
        Mixture("general-purpose", admixture="magic")
