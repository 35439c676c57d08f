"""The seven invented scenarios give sensible, different answers, as a maker would hold them to."""

from datetime import datetime, timedelta
from functools import cache
from pathlib import Path
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from models.air.series import AirSeries
from models.message import Message
from models.planning import pour_check, timeline
from models.results import Projection, StepWindow
from service import scenario_file
from service.scenario_file import ScenarioFile
from service.weather import csv_file
from tests.support.words import codes, cover, within

DATA = Path(scenario_file.__file__).parent / "demo_data"
FILES = sorted(str(path.relative_to(DATA).with_suffix("")) for path in DATA.rglob("*.toml"))
KEYS = {
    "heron-bench",
    "larch-table",
    "quarry-planter",
    "salt-counter",
    "kiln-step",
    "ember-surround",
    "two-moulds",
}
HOUR = timedelta(hours=1)


@cache
def opened(name: str) -> tuple[ScenarioFile, AirSeries, datetime]:
    file = scenario_file.read(DATA / f"{name}.toml")
    assert isinstance(file.weather, Path)
    assert file.asked_at is not None
    air = csv_file.read(file.weather, file.weather.name, issued_at=file.asked_at)
    return file, air, file.asked_at


@cache
def projected(name: str) -> Projection:
    file, air, now = opened(name)
    return timeline.project(file.scenario, air, now)


def step(name: str, word: str) -> StepWindow:
    return next(step for step in projected(name).steps if step.step == word)


def sure(name: str, word: str) -> datetime:
    at = step(name, word).p90
    assert at is not None
    return at


def hours_to(name: str, word: str) -> float:
    file, _, _ = opened(name)
    return (sure(name, word) - file.scenario.placement.at) / HOUR


def median_hours_to(name: str, word: str) -> float:
    file, _, _ = opened(name)
    at = step(name, word).p50
    assert at is not None
    return (at - file.scenario.placement.at) / HOUR


def test_all_seven_are_there() -> None:
    assert {Path(name).parts[0] for name in FILES} - {"ember-base"} == KEYS


@pytest.mark.parametrize("name", FILES)
def test_the_weather_is_whole_and_physical(name: str) -> None:
    file, air, now = opened(name)
    assert air.missing(min(file.scenario.placement.at, now), now + 6 * 24 * HOUR) == []
    assert np.all(air.dew_point_C <= air.air_C)
    zone = ZoneInfo(file.scenario.site.timezone)
    clock = np.array([at.astimezone(zone).hour for at in air.times()])
    assert air.air_C[clock == 15].mean() > air.air_C[clock == 6].mean() + 2  # a day and a night


@pytest.mark.parametrize("name", FILES)
def test_no_step_is_blocked_and_each_has_its_reason(name: str) -> None:
    for told in projected(name).steps:
        assert told.state != "blocked", told.step
        assert told.because


@pytest.mark.parametrize("name", FILES)
def test_even_odds_never_come_after_sure_enough(name: str) -> None:
    for told in projected(name).steps:
        if told.p50 is not None and told.p90 is not None:
            assert told.p50 <= told.p90, told.step


def test_no_two_scenarios_have_the_same_windows() -> None:
    seen = {
        name: tuple((told.step, told.p50, told.p90, told.latest) for told in projected(name).steps)
        for name in FILES
    }
    assert len(set(seen.values())) == len(FILES)
    hours = [(median_hours_to(name, "strip"), hours_to(name, "strip")) for name in FILES]
    assert len(set(hours)) == len(hours)


def test_heron_bench_is_not_stripped_before_work_and_fears_the_night() -> None:
    assert sure("heron-bench", "strip") > datetime.fromisoformat("2026-10-15T07:00-05:00")
    assert any("frost" in code for code in codes(*projected("heron-bench").warnings))


def test_heron_bench_is_poured_tonight_under_a_blanket_down_its_sides_and_not_under_film() -> None:
    file, air, now = opened("heron-bench")
    answer = pour_check.check(file.scenario, air, now)
    assert answer.answer.code == "pour_under"
    assert answer.answer.values["way"] == Message("with_way", {"way": cover("blanket")})
    tonight = [o for o in answer.options if o.start == answer.options[0].start]
    passes = {option.protection: option.passes for option in tonight}
    assert not passes[cover("film")]
    assert passes[cover("blanket")]


def test_larch_table_is_turned_after_it_is_stripped_and_on_its_long_edge() -> None:
    assert sure("larch-table", "turn") > sure("larch-table", "strip")
    held = [one.values.get("turned") for one in within(*step("larch-table", "turn").because)]
    assert "long_edge" in held


def test_quarry_planter_gives_its_core_before_it_locks_and_is_not_coated_before_the_rain() -> None:
    core = step("quarry-planter", "core")
    assert core.latest is not None
    assert core.p50 is not None
    assert core.p50 < core.latest
    coat = step("quarry-planter", "coat-1").p50
    assert coat is None or coat > datetime.fromisoformat("2026-05-13T15:00-04:00")


def test_salt_counter_has_five_coats_and_none_before_the_one_under_it() -> None:
    words = [told.step for told in projected("salt-counter").steps if "coat" in told.step]
    assert words == [f"coat-{k}" for k in range(1, 6)]
    times = [step("salt-counter", word).p90 for word in words]
    dated = [at for at in times if at is not None]
    assert dated == sorted(dated)
    assert all(at is None for at in times[len(dated) :])


def test_kiln_step_is_not_left_bare_at_noon_and_may_be_once_the_sun_leaves() -> None:
    file, air, now = opened("kiln-step")
    answer = pour_check.check(file.scenario, air, now)
    assert answer.answer.code != "pour"
    assert "dries" in [one.values.get("risk") for one in within(*answer.because)]
    bare = [option for option in answer.options if option.protection.code == "way_bare"]
    assert not bare[0].passes
    clock = next(o for o in bare if o.passes).start.astimezone(ZoneInfo("America/Denver"))
    assert not 10 <= clock.hour < 16


@pytest.mark.parametrize("name", ["ember-surround", "ember-base"])
def test_ember_is_stripped_the_same_day_and_not_heated_for_four_weeks(name: str) -> None:
    file, _, _ = opened(name)
    zone = ZoneInfo("Europe/Zurich")
    poured = file.scenario.placement.at.astimezone(zone)
    assert sure(name, "strip").astimezone(zone).date() == poured.date()
    heated = step(name, "first-heating")
    for at in (heated.p50, heated.p90):  # a yard at 73 % may not let it get dry enough by then
        assert at is None or at >= poured + timedelta(days=28)
    assert "and_dry_for_fire" in codes(*heated.because)


def test_two_moulds_say_when_the_square_one_is_free_and_a_blanket_frees_it_sooner() -> None:
    slab, _, now = opened("two-moulds/4-square-slab")
    assert sure("two-moulds/4-square-slab", "strip") > slab.scenario.placement.at + 12 * HOUR
    under_film = hours_to("two-moulds/2-square-top", "strip")
    under_blanket = hours_to("two-moulds/1-long-bench", "strip")
    assert under_blanket < under_film
    assert sure("two-moulds/5-long-step", "strip") > now + 24 * HOUR


def test_the_rapid_mix_in_september_is_stripped_long_before_the_ordinary_one_in_october() -> None:
    assert hours_to("ember-surround", "strip") < hours_to("heron-bench", "strip") / 4
