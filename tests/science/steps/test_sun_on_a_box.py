"""Coats on standing faces wait for the sun to leave the one that it shines on (D4)."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from models.air.place import Site
from models.air.series import AirSeries
from models.coating.film import SealerSystem
from models.concrete.mixture import Mixture
from models.errors import Unknown
from models.piece.shape import Shape
from models.simulation import physics
from models.simulation.scenario import Placement, Scenario
from models.steps import seal

POURED = datetime(2025, 10, 6, 12, tzinfo=UTC)
NOON_H = 5 * 24 + 5  # after placing: the sun is in the south over 75 degrees west
BOX = Shape("box", 600.0, 600.0, height_mm=400.0, wall_mm=45.0)


def october() -> AirSeries:
    """Clear, 6 to 22 degC, a light wind."""
    hours = np.arange(24 * 14)
    begin = POURED - timedelta(days=3)
    air = 14 + 8 * np.sin(2 * np.pi * ((hours + begin.hour) % 24 - 14) / 24)
    same = np.ones(len(hours))
    return AirSeries(
        begin, air, 2 * same, 2 * same, 0 * same, 0 * same, np.nan * same, POURED, "made up"
    )


def standing(site: Site, shape: Shape = BOX) -> seal.LocalConditions:
    scenario = Scenario("planter", site, Mixture("general-purpose"), shape, Placement(POURED, 18.0))
    simulation = physics.simulate(scenario, october(), POURED + timedelta(hours=2), 7 * 24)
    assert not isinstance(simulation, Unknown)
    return seal.local_conditions(simulation.trajectory, np.array([NOON_H, NOON_H + 0.5]))


YARD = Site("open yard", 45.0, -75.0)


def test_no_coat_goes_on_a_box_whose_south_face_the_sun_has_warmed() -> None:
    """It was cleared: the sun on it was told as half of a level face's, under 400 W/m2."""
    noon = standing(YARD)
    sheet = SealerSystem("solvent-acrylic").resolved()
    assert np.median(noon.face_C[0]) < 26.0
    assert np.median(noon.sunlit_C[0] - noon.face_C[0]) == pytest.approx(17.0, abs=5.0)
    assert np.median(noon.sun_W_m2[0]) > 600.0
    assert not seal.may_begin(noon, sheet)[0].all()
    assert seal.conditions(noon, replace(sheet, max_C=30.0))["hot"][0].mean() < 0.3


def test_a_box_against_a_wall_that_looks_north_keeps_its_faces_cool() -> None:
    noon = standing(replace(YARD, looks="north"))
    assert np.median(noon.sun_W_m2[0]) < 200.0
    assert np.abs(noon.sunlit_C - noon.face_C).max() < 1.0


def test_a_panel_that_lies_has_one_face_and_one_sun() -> None:
    noon = standing(YARD, Shape("panel", 1200.0, 600.0, 45.0))
    assert (noon.sunlit_C == noon.face_C).all()
