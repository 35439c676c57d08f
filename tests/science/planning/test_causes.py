"""Why it went wrong: each cause by its number in the log, and none where the log has none."""

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime, timedelta

import numpy as np
import pytest

from models.air.place import Site
from models.air.series import AirSeries
from models.coating.film import SealerSystem
from models.concrete.section import Covering, MouldBoard
from models.errors import InputError, Unknown
from models.facts.faults import FAULTS, SPEAKS, TRACES, WEIGHTS
from models.message import text
from models.planning.causes import Causes, likelier, ranked
from models.planning.found import Found
from models.planning.traces import traces
from models.simulation.scenario import Done, Placement, Scenario
from models.sources import SOURCES

HOUR = timedelta(hours=1)
Panel = Callable[..., Scenario]


def told(
    pour: Scenario, air: AirSeries, fault: str, after_h: float, came_out: str | None = None
) -> Causes:
    seen_at = pour.placement.at + after_h * HOUR
    return ranked(fault, traces(pour, air, seen_at, seen_at, came_out))


def keys(causes: Causes) -> list[str]:
    return [one.cause for one in causes.speaks_for]


def done(at: datetime, **hours: float) -> tuple[Done, ...]:
    return tuple(Done(step.replace("_", "-"), at + h * HOUR) for step, h in hours.items())


@pytest.fixture(scope="module")
def mild(cool: AirSeries) -> AirSeries:
    """Warm and damp, day and night, without wind."""
    air = np.full(cool.hours, 20.0)
    return replace(cool, air_C=air, dew_point_C=air - 5, wind_m_s=0.2 * np.ones(cool.hours))


def test_every_weight_has_a_trace_and_every_trace_its_page() -> None:
    named = {cause for row in WEIGHTS.values() for cause in row}
    assert named == TRACES.keys()
    assert set(WEIGHTS) == set(FAULTS)
    assert all(key in SOURCES for row in TRACES.values() for key in row.sources)
    assert all(most > 1 for row in WEIGHTS.values() for most in row.values())


@pytest.mark.parametrize("cause", TRACES)
def test_a_louder_number_never_speaks_less_for_its_cause(cause: str) -> None:
    row = TRACES[cause]
    numbers = np.linspace(row.quiet - (row.loud - row.quiet), row.loud * 2 - row.quiet, 41)
    times = [likelier(cause, float(number), 5.0) for number in numbers]
    assert times == sorted(times)
    assert times[0] < 1 < times[-1] == pytest.approx(5.0)


def test_a_quiet_log_speaks_for_no_cause(panel: Panel, mild: AirSeries) -> None:
    at = panel().placement.at
    pour = panel(
        "unheated room",
        coverings=(Covering(1.0, 24.0 * 7, "blanket"),),
        done=done(at, strip=72, turn=100, uncover=24 * 7),
    )
    for fault in ("crack", "dust", "bloom", "other"):
        causes = told(pour, mild, fault, 24 * 8)
        assert keys(causes) == [], fault
        assert causes.missing is None
    assert {one.cause for one in told(pour, mild, "crack", 24 * 8).silent} >= {
        "turned-early",
        "too-wet",
        "froze",
    }


def test_a_piece_that_was_turned_hours_too_early_cracked_by_that(
    panel: Panel, mild: AirSeries
) -> None:
    at = panel().placement.at
    pour = panel(
        "unheated room",
        coverings=(Covering(1.0, None, "blanket"),),
        done=done(at, strip=7.5, turn=8),
    )
    causes = told(pour, mild, "crack", 9)
    assert keys(causes)[0] == "turned-early"
    first = causes.speaks_for[0]
    had, need = first.found.values["had_MPa"], first.found.values["need_MPa"]
    assert isinstance(had, float)
    assert isinstance(need, float)
    assert 0 <= had < need
    assert first.change.code == "change_turned_early"
    assert "turned-early" not in keys(told(pour, mild, "crack", 7.8))  # it was seen before


def test_film_on_a_face_that_shows_and_wood_speak_for_a_stain(
    panel: Panel, mild: AirSeries
) -> None:
    at = panel().placement.at
    pour = panel(
        "unheated room", mould=MouldBoard("plywood", 18.0), done=done(at, cover=5, strip=48)
    )
    assert keys(told(pour, mild, "stain", 60))[:2] == ["film-touched", "raw-wood"]
    assert "film-touched" not in keys(told(pour, mild, "crack", 60))


def test_water_over_the_label_is_told_in_litres(panel: Panel, mild: AirSeries) -> None:
    pour = panel("unheated room", placement=Placement(panel().placement.at, 18.0, 1.5))
    wet = next(one for one in told(pour, mild, "dust", 60).speaks_for if one.cause == "too-wet")
    assert wet.found.values["water_l"] == 1.5
    assert 15 < float(wet.found.values["more_pct"]) < 40  # type: ignore[arg-type]


def test_a_coat_in_a_cold_damp_night_blushed_by_dew(panel: Panel, cool: AirSeries) -> None:
    at = panel().placement.at
    damp = replace(cool, dew_point_C=cool.air_C - 0.3)
    pour = panel(
        "covered",
        sealer=SealerSystem("water-based-acrylic"),
        done=done(at, strip=48, end_wet_cure=100, coat_1=24 * 8 + 12),
    )
    causes = told(pour, damp, "blush", 24 * 9)
    assert set(keys(causes)[:3]) >= {"coat-dew", "coat-cold"}
    assert {one.found.values["coat"] for one in causes.speaks_for} == {1.0}
    uncoated = told(replace(pour, done=()), damp, "blush", 24 * 9)
    assert uncoated.untold == tuple(WEIGHTS["blush"])


def test_rain_on_the_bare_fresh_face_and_a_dry_wind_are_found(
    panel: Panel, cool: AirSeries
) -> None:
    hours = np.arange(cool.hours)
    wet = replace(cool, rain_mm=np.where((hours >= 72) & (hours < 80), 1.0, 0.0))
    placed = Placement(panel().placement.at, 30.0)
    open_yard = panel(site=Site("open yard", 40.0, -75.0), placement=placed)
    assert "rained-on" in keys(told(open_yard, wet, "dust", 30))
    assert "rained-on" not in keys(told(open_yard, cool, "dust", 30))
    hot = replace(
        cool,
        air_C=cool.air_C + 24,
        dew_point_C=cool.dew_point_C + 4,
        wind_m_s=9 * np.ones(cool.hours),
    )
    assert keys(told(open_yard, hot, "crack", 30))[0] == "dried-fast"


def test_what_stuck_in_its_mould_may_have_cracked_by_that(panel: Panel, mild: AirSeries) -> None:
    at = panel().placement.at
    pour = panel("unheated room", done=done(at, strip=72))
    assert "stuck" in keys(told(pour, mild, "crack", 80, "stuck"))
    assert "stuck" not in keys(told(pour, mild, "crack", 80, "clean"))
    assert "stuck" in told(pour, mild, "crack", 80).untold


def test_without_weather_nothing_is_named(panel: Panel) -> None:
    missing = Unknown(text("the weather"), text("none"), text("set a place"))
    at = panel().placement.at
    causes = ranked("crack", traces(panel(), missing, at, at))
    assert (causes.speaks_for, causes.silent, causes.missing) == ((), (), missing.message)


def test_an_unknown_fault_is_refused_by_name() -> None:
    with pytest.raises(InputError, match="crack"):
        ranked("wobble", {})


def test_the_likeliest_stands_first() -> None:
    found = {"froze": Found(0.5), "too-wet": Found(0.15), "stuck": Found(0.0)}
    causes = ranked("crack", found)
    assert keys(causes) == ["froze", "too-wet"]
    assert causes.speaks_for[0].chance > causes.speaks_for[1].chance
    assert all(one.likelier >= SPEAKS for one in causes.speaks_for)
    assert [one.cause for one in causes.silent] == ["stuck"]
