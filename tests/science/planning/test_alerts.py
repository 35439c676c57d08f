"""What a maker is warned of, and whether the deadline is worth anything."""

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime, timedelta

import numpy as np
import pytest

from models.air.series import AirSeries
from models.concrete.section import Covering
from models.facts.protection import COVERS
from models.message import Message
from models.piece.shape import Shape
from models.planning import timeline
from models.results import Alert, Projection
from models.simulation import physics
from models.simulation.scenario import Done, Placement, Scenario, ShopRules
from tests.support.words import laid

HOUR = timedelta(hours=1)
# round the sides too, which one on the open face leaves bare
FILM, BLANKET, FOAM = (
    Covering(0.0, None, kind, faces="all") for kind in ("film", "blanket", "foam")
)


@pytest.fixture
def frosty(cool: AirSeries) -> AirSeries:
    """The same days 5 K colder: the nights fall to -1 C."""
    return replace(cool, air_C=cool.air_C - 5, dew_point_C=cool.dew_point_C - 5)


@pytest.fixture
def one_night(cool: AirSeries) -> AirSeries:
    """The same days, but for one night of 0.5 C, nine to seventeen hours after the pour."""
    hour = np.arange(cool.hours) - 72
    fall = np.where((hour >= 9) & (hour <= 17), cool.air_C - 0.5, 0.0)
    return replace(cool, air_C=cool.air_C - fall, dew_point_C=cool.dew_point_C - fall)


def told(scenario: Scenario, air: AirSeries, now: datetime) -> dict[str, Alert]:
    answer: Projection = timeline.project(scenario, air, now)
    return {alert.kind: alert for alert in answer.alerts}


def freezes(scenario: Scenario, air: AirSeries, now: datetime, covering: Covering) -> float:
    simulation = physics.simulate(replace(scenario, coverings=(covering,)), air, now, 73)
    assert isinstance(simulation, physics.Simulation)
    return simulation.frozen_by(73.0)


def test_a_blanket_by_the_deadline_is_enough_and_long_after_it_is_not(
    panel: Callable[..., Scenario], one_night: AirSeries, poured_at: datetime
) -> None:
    scenario = panel("open yard", rules=ShopRules(owned=(FILM, BLANKET)))
    now = poured_at + HOUR
    frost = told(scenario, one_night, now)["frost"]
    assert frost.chance > 0.3
    assert frost.remedy == laid("blanket", "all")
    assert poured_at + 2 * HOUR < frost.act_by < frost.at < poured_at + 18 * HOUR
    by_h = (frost.act_by - poured_at) / HOUR
    assert freezes(scenario, one_night, now, replace(BLANKET, from_h=by_h)) <= 0.05
    assert freezes(scenario, one_night, now, replace(BLANKET, from_h=by_h + 2.5)) > 0.05
    assert frost.text.code == "alert_frost_cover"
    assert frost.text.values["by"] == Message("act_by", {"at": frost.act_by})


@pytest.mark.parametrize("colder_K", [3.5, 4.0, 4.5])
@pytest.mark.parametrize("owned", [(FILM, FOAM), (FOAM, FILM), (FILM, BLANKET, FOAM)])
def test_the_cover_that_helps_most_is_found_and_of_equals_the_cheapest(
    panel: Callable[..., Scenario],
    cool: AirSeries,
    poured_at: datetime,
    colder_K: float,
    owned: tuple[Covering, ...],
) -> None:
    """Film that brings 18 % to 17 is no reason to say that no cover helps: foam brings it to 1."""
    cold = replace(cool, air_C=cool.air_C - colder_K, dew_point_C=cool.dew_point_C - colder_K)
    scenario = panel(rules=ShopRules(owned=owned))
    frost = told(scenario, cold, poured_at + HOUR)["frost"]
    left = {g: freezes(scenario, cold, poured_at + HOUR, replace(g, from_h=2.0)) for g in owned}
    best = min(owned, key=lambda g: (round(left[g], 2), COVERS[g.kind].effort))
    assert frost.remedy == laid(best.kind, "all")
    assert frost.after is not None
    assert frost.after <= min(0.05, frost.chance - 0.02)
    assert frost.text.code == "alert_frost_cover"


def test_where_no_cover_is_enough_it_says_heat_or_a_room(
    panel: Callable[..., Scenario], frosty: AirSeries, poured_at: datetime
) -> None:
    bitter = replace(frosty, air_C=frosty.air_C - 15, dew_point_C=frosty.dew_point_C - 15)
    frost = told(panel("open yard"), bitter, poured_at)["frost"]
    assert (frost.remedy, frost.after) == (None, None)
    assert frost.text.code == "alert_frost_no_cover"
    assert frost.text.values["by"] == Message("act_at_once")
    colder = replace(frosty, air_C=frosty.air_C - 2, dew_point_C=frosty.dew_point_C - 2)
    frost = told(panel("open yard"), colder, poured_at + HOUR)["frost"]
    assert frost.after is not None
    assert 0.1 < frost.after < frost.chance
    assert frost.text.code == "alert_frost_cover_leaves"
    assert frost.text.values["cover"] == laid("blanket")


def test_a_piece_that_bears_frost_is_not_watched(
    panel: Callable[..., Scenario], cool: AirSeries, poured_at: datetime
) -> None:
    young = timeline.project(panel(), cool, poured_at + 2 * HOUR)
    assert young.frost_watch is not None
    assert young.frost_watch.until is not None
    old = timeline.project(panel(), cool, young.frost_watch.until + HOUR)
    assert old.frost_watch is None
    mild = np.arange(cool.hours) < 72 + 168
    late = replace(
        cool,
        air_C=np.where(mild, cool.air_C, -12.0),
        dew_point_C=np.where(mild, cool.dew_point_C, -15.0),
    )
    assert told(panel(), late, poured_at + 158 * HOUR) == {}


def test_rain_on_an_open_face_before_it_has_set(
    panel: Callable[..., Scenario], cool: AirSeries, poured_at: datetime
) -> None:
    wet = replace(cool, rain_mm=np.where(np.arange(cool.hours) == 72 + 3, 4.0, 0.0))
    now = poured_at + HOUR
    rain = told(panel("open yard"), wet, now)["rain"]
    assert rain.chance == pytest.approx(1.0)
    assert rain.at == poured_at + 3 * HOUR
    assert rain.act_by == poured_at + 2 * HOUR
    assert "rain" not in told(panel("covered"), wet, now)
    assert "rain" not in told(
        panel("open yard", coverings=(Covering(0.0, None, "film"),)), wet, now
    )
    assert "rain" not in told(panel("open yard", done=(Done("cover", now),)), wet, now)
    set_long_ago = panel("open yard", placement=Placement(poured_at - 40 * HOUR, 17.0))
    assert "rain" not in told(set_long_ago, wet, now)


@pytest.mark.parametrize(
    ("rain_mm", "chance", "warned"),
    [
        (np.nan, 0.9, True),
        (0.0, 0.9, True),
        (0.02, np.nan, True),
        (0.02, 0.9, True),
        (np.nan, 0.02, False),
        (0.0, 0.02, False),
        (0.0, np.nan, False),
    ],
)
def test_any_wetting_of_a_fresh_face_counts_by_its_chance(
    panel: Callable[..., Scenario],
    cool: AirSeries,
    poured_at: datetime,
    rain_mm: float,
    chance: float,
    warned: bool,
) -> None:
    """Drizzle too, and a chance that is told without an amount."""
    same = np.ones(cool.hours)
    air = replace(cool, rain_mm=rain_mm * same, rain_chance=chance * same)
    air = replace(air, issued_at=poured_at)
    rain = told(panel("open yard"), air, poured_at + HOUR).get("rain")
    assert (rain is not None) == warned
    if rain is not None and np.isfinite(chance):
        assert rain.chance == pytest.approx(chance, abs=0.1)


def test_wind_on_a_cover_that_lies_there(
    panel: Callable[..., Scenario], cool: AirSeries, poured_at: datetime
) -> None:
    gale = replace(cool, wind_m_s=np.where(np.arange(cool.hours) >= 72 + 20, 22.0, 2.0))
    now = poured_at + 8 * HOUR
    film = panel("open yard", done=(Done("cover", poured_at + 7 * HOUR),))
    wind = told(film, gale, now)["wind"]
    assert poured_at + 18 * HOUR <= wind.at <= poured_at + 20 * HOUR
    assert wind.act_by == wind.at - HOUR
    assert "wind" not in told(panel("open yard"), gale, now)
    assert "wind" not in told(replace(film, site=panel("unheated room").site), gale, now)


def test_without_weather_there_is_no_all_clear(
    panel: Callable[..., Scenario], cool: AirSeries, poured_at: datetime
) -> None:
    answer = timeline.project(panel(), cool, poured_at + 2000 * HOUR)
    assert answer.alerts == ()
    assert "no_weather_after" in {one.code for one in answer.warnings}


@pytest.mark.parametrize("after_h", [2.5, 2.9])
def test_no_deadline_is_later_than_what_it_is_for(
    panel: Callable[..., Scenario], cool: AirSeries, poured_at: datetime, after_h: float
) -> None:
    """A fall to -2 C that is nearly here: at once, not an hour after the piece froze."""
    fall = np.where(np.arange(cool.hours) > 74, -2.0, 5.0)
    sudden = replace(cool, air_C=fall, dew_point_C=fall - 4)
    thick = Shape("panel", 1200.0, 600.0, 600.0)
    scenario = panel("open yard", shape=thick, placement=Placement(poured_at, 2.0))
    frost = told(scenario, sudden, poured_at + after_h * HOUR)["frost"]
    assert frost.text.values.get("by") in (None, Message("act_at_once"))
    assert frost.text.code != "alert_frost_cover"
    assert frost.act_by <= frost.at
