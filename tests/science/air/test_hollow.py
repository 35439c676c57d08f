"""A yard that is colder than around on clear, calm nights."""

from datetime import UTC, datetime

import numpy as np
import pytest

from models.air import members, place
from models.air.place import Site
from models.air.series import AirSeries
from models.concrete.mixture import Mixture
from models.concrete.section import Covering
from models.errors import InputError
from models.facts.air import HOLLOW_K
from models.piece.shape import Shape
from models.simulation import physics
from models.simulation.scenario import Placement, Scenario
from models.units import Array

START = datetime(2025, 11, 20, 12, tzinfo=UTC)
HOURS = 120


def record(cloud: float = 0.0, wind_m_s: float = 0.5, middle_C: float = 3.0) -> AirSeries:
    same = np.ones(HOURS)
    air = middle_C + 4 * np.sin(2 * np.pi * (np.arange(HOURS) + 12 - 9) / 24)
    return AirSeries(
        START, air, air - 3, wind_m_s * same, 0 * same, cloud * same, np.nan * same, START, "x"
    )


def felt(hollow: str | None, outdoor: members.AirMembers, kind: str = "open yard") -> Array:
    site = Site(kind, 44.0, 0.0, hollow=hollow)
    return place.at_piece(site, outdoor).air_C


def colder(hollow: str, cloud: float = 0.0, wind_m_s: float = 0.5) -> Array:
    """By how much it is colder than a yard that is no hollow, (hours, members) [K]."""
    outdoor = members.draw(record(cloud, wind_m_s), 64)
    return felt("no", outdoor) - felt(hollow, outdoor)


def test_a_clear_calm_night_takes_what_is_told_and_the_day_nothing() -> None:
    apart = np.median(colder("a hollow"), axis=1)
    assert 2.0 < apart[12] < 3.0  # midnight, with clouds that may come
    assert (apart[[0, 24, 48]] == 0).all()  # noon
    assert np.median(colder("a little"), axis=1)[12] == pytest.approx(apart[12] / 3)


def test_cloud_and_wind_keep_the_cold_air_away() -> None:
    night, dull = colder("a hollow")[12].mean(), colder("a hollow", cloud=1.0)[12].mean()
    assert dull < 0.2 * night
    assert colder("a hollow", wind_m_s=8.0)[12].mean() < 0.2 * night


def test_sun_rain_and_wind_stay_those_of_the_weather() -> None:
    outdoor = members.draw(record(), 64)
    no, low = (
        place.at_piece(Site("open yard", 44.0, 0.0, hollow=k), outdoor)
        for k in HOLLOW_K
        if k != "a little"
    )
    for name in ("sun_W_m2", "rain_mm", "wind_m_s"):
        np.testing.assert_array_equal(getattr(no, name), getattr(low, name))
    assert (low.dew_point_C <= low.air_C).all()


def test_who_knows_that_it_is_none_doubts_the_yard_less() -> None:
    outdoor = members.draw(record(cloud=1.0, wind_m_s=9.0), 256)
    untold, no = felt(None, outdoor), felt("no", outdoor)
    np.testing.assert_array_equal(untold, outdoor.air_C)
    assert no[12].std() < untold[12].std()
    assert no[12].mean() == pytest.approx(untold[12].mean(), abs=0.02)


def test_without_a_position_the_night_is_that_of_the_zone() -> None:
    outdoor = members.draw(record(), 64)
    site = Site("covered", timezone="America/Chicago", hollow="a hollow")
    apart = outdoor.air_C.mean(axis=1) - place.at_piece(site, outdoor).air_C.mean(axis=1)
    assert apart[18] > 1.0  # 6 UTC is midnight in Chicago
    assert abs(apart[6]) < 0.05  # 18 UTC is noon


def test_another_word_is_refused() -> None:
    with pytest.raises(InputError, match="hollow"):
        Site("open yard", hollow="deep")


@pytest.mark.parametrize("kind", ["open yard", "covered", "unheated room"])
@pytest.mark.parametrize("cloud", [0.0, 0.4, 1.0])
def test_a_hollow_is_never_warmer(kind: str, cloud: float) -> None:
    outdoor = members.draw(record(cloud), 64)
    no, little, low = (felt(told, outdoor, kind) for told in HOLLOW_K)
    assert (little <= no).all()
    assert (low <= little).all()


@pytest.mark.parametrize("middle_C", [2.0, 4.0, 6.0])
def test_a_hollow_freezes_sooner_and_strips_no_earlier(middle_C: float) -> None:
    found = []
    air = record(middle_C=middle_C)
    for told in HOLLOW_K:
        scenario = Scenario(
            "made up",
            Site("open yard", 44.0, 0.0, hollow=told),
            Mixture("general-purpose"),
            Shape("panel", 900.0, 420.0, 45.0),
            Placement(START, 14.0),
            coverings=(Covering(1.0, None, "blanket"),),
        )
        simulation = physics.simulate(scenario, air, START, 72)
        assert isinstance(simulation, physics.Simulation)
        seen = simulation.trajectory
        found.append((simulation.frozen_by(72), seen.te_cold_h[-1].mean()))
    frosts, ages = zip(*found, strict=True)
    assert frosts[0] <= frosts[1] <= frosts[2]
    assert ages[0] >= ages[1] >= ages[2]
    assert frosts[2] > frosts[0] + 0.02
