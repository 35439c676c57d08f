"""Laws of drying: water is kept, wetter air never dries sooner, thick never sooner than thin."""

from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from models.air.series import AirSeries
from models.concrete import moisture
from models.errors import InputError
from models.planning import default_plan, timeline
from models.results import StepWindow
from models.simulation import physics
from models.simulation.scenario import Done, Scenario
from models.steps import dry
from tests.support import sections


def law_of(members: int, seed: int) -> moisture.Law:
    random = np.random.default_rng(seed)
    return moisture.Law(
        random.uniform(8, 60, members),
        random.uniform(0.02, 0.3, members),
        random.uniform(0.75, 0.85, members),
        random.uniform(2000, 4700, members),
        random.uniform(0, 2, members),
        random.uniform(0.7, 1.4, members),
    )


def weather(hours: int, members: int, seed: int) -> moisture.Conditions:
    """Days of air with rain, a mould that leaves the lower face late, some hydration."""
    random = np.random.default_rng(seed)
    wave = 0.15 * np.sin(2 * np.pi * np.arange(hours) / 24)[:, None]
    top = np.clip(random.uniform(0.4, 0.8, members) + wave, 0.05, 1.0)
    low = top.copy()
    top[random.random((hours, members)) < 0.04] = 1.0
    top[: hours // 8] = np.nan
    low[: hours // 3] = np.nan
    grows = 1 - np.exp(-np.arange(hours + 1.0)[:, None] / 150)
    return moisture.Conditions(
        top, low, random.uniform(0, 30, (hours, members)), grows * random.uniform(0, 0.1, members)
    )


@given(
    thickness=st.floats(20.0, 200.0),
    seed=st.integers(0, 10_000),
    start=st.floats(0.8, 1.0),
    cells=st.sampled_from([4, 8, 16, 40]),
    steps=st.sampled_from([1, 3]),
)
def test_what_left_through_the_faces_is_what_the_section_has_lost(
    thickness: float, seed: int, start: float, cells: int, steps: int
) -> None:
    around = weather(200, 3, seed)
    around = replace(around, hydration_drop=0 * around.hydration_drop)
    dried = moisture.drying(
        thickness, law_of(3, seed), around, start_rh=start, cells=cells, steps_per_hour=steps
    )
    held = thickness * (start - dried.mean_rh)
    assert np.abs(dried.outflow_mm - held).max() < 1e-9 * thickness


@given(thickness=st.floats(20.0, 200.0), seed=st.integers(0, 10_000))
def test_humidity_stays_between_the_driest_air_and_water(thickness: float, seed: int) -> None:
    around = weather(300, 4, seed)
    dried = moisture.drying(thickness, law_of(4, seed), around, keep=(100, 300))
    driest = np.nanmin(around.top_rh) - 0.1  # hydration may take that much more
    for values in (dried.profile, dried.top_rh, dried.low_rh, dried.probe_rh):
        assert values.min() >= driest
        assert values.max() <= 1 + 1e-12


@given(
    thickness=st.floats(20.0, 150.0),
    seed=st.integers(0, 10_000),
    wetter=st.floats(0.01, 0.3),
)
def test_wetter_air_never_leaves_a_drier_piece(thickness: float, seed: int, wetter: float) -> None:
    around = weather(240, 3, seed)
    damp = replace(
        around,
        top_rh=np.minimum(around.top_rh + wetter, 1.0),
        low_rh=np.minimum(around.low_rh + wetter, 1.0),
    )
    law = law_of(3, seed)
    less = moisture.drying(thickness, law, around)
    more = moisture.drying(thickness, law, damp)
    assert (more.probe_rh >= less.probe_rh - 2e-3).all()
    assert (more.mean_rh >= less.mean_rh - 1e-3).all()
    assert (more.lost_kg_m2 <= less.lost_kg_m2 + 1e-2).all()


@given(thin=st.floats(25.0, 80.0), more=st.floats(1.1, 3.0), rh=st.floats(0.3, 0.85))
def test_the_middle_of_a_thicker_piece_is_never_drier(thin: float, more: float, rh: float) -> None:
    law = law_of(3, 7)
    a, b = (
        moisture.drying(L, law, sections.still_air(rh, 400, 3), probes=(0.5,))
        for L in (thin, thin * more)
    )
    assert (b.probe_rh >= a.probe_rh - 2e-3).all()


@given(seed=st.integers(0, 10_000), cut=st.integers(1, 6))
def test_members_are_strangers(seed: int, cut: int) -> None:
    law, around = law_of(7, seed), weather(120, 7, seed)

    def part(a: int, b: int) -> moisture.Dried:
        some = moisture.Law(
            *(
                getattr(law, name)[a:b]
                for name in ("D1_mm2_d", "alpha", "hc", "Q_R_K", "surface_mm", "sorption_factor")
            )
        )
        here = moisture.Conditions(
            *(
                np.ascontiguousarray(getattr(around, name)[:, a:b])
                for name in ("top_rh", "low_rh", "temperature_C", "hydration_drop")
            )
        )
        return moisture.drying(50.0, some, here)

    whole, first, rest = part(0, 7), part(0, cut), part(cut, 7)
    for name in ("mean_rh", "probe_rh", "top_rh", "low_rh", "lost_kg_m2", "tilt_rh"):
        both = np.concatenate((getattr(first, name), getattr(rest, name)), axis=1)
        assert (both == getattr(whole, name)).all()


def test_a_later_hour_never_rewrites_an_earlier_one() -> None:
    law, around = law_of(3, 1), weather(200, 3, 1)
    short = moisture.Conditions(
        around.top_rh[:90],
        around.low_rh[:90],
        around.temperature_C[:90],
        around.hydration_drop[:91],
    )
    longer = moisture.drying(50.0, law, around)
    assert (moisture.drying(50.0, law, short).mean_rh == longer.mean_rh[:91]).all()


def test_a_piece_in_its_mould_under_film_loses_nothing_however_old() -> None:
    closed = np.full((2000, 2), np.nan)
    around = moisture.Conditions(closed, closed, 0 * closed + 20.0, np.zeros((2001, 2)))
    around = replace(around, temperature_C=np.full((2000, 2), 20.0))
    dried = moisture.drying(50.0, law_of(2, 3), around)
    np.testing.assert_allclose(dried.mean_rh, 1.0, rtol=0, atol=1e-12)
    np.testing.assert_allclose(dried.lost_kg_m2, 0.0, rtol=0, atol=1e-9)


def test_warm_concrete_dries_sooner() -> None:
    law = law_of(3, 5)
    cold, warm = (
        moisture.drying(50.0, law, sections.still_air(0.6, 300, 3, temperature_C=T)).probe_rh
        for T in (5.0, 25.0)
    )
    assert (warm <= cold + 1e-12).all()
    assert (warm[-1] < cold[-1]).all()


def test_one_open_face_leans_towards_it_and_two_do_not() -> None:
    law = sections.printed_law(30.0)
    one = moisture.drying(50.0, law, sections.still_air(0.5, 200, faces=1))
    two = moisture.drying(50.0, law, sections.still_air(0.5, 200))
    assert one.tilt_rh[-1, 0] > 0.1
    assert abs(two.tilt_rh[-1, 0]) < 1e-9


BAD = [
    ("thickness_mm", 2.0, "5 to 3000 mm"),
    ("start_rh", 1.2, "0.05 to 1"),
    ("density_kg_m3", np.nan, "500 to 4000 kg/m3"),
    ("probes", (0.2, 1.4), "0 to 1"),
    ("keep", (9,), "0 to 5"),
]


@pytest.mark.parametrize(("field", "value", "allowed"), BAD)
def test_what_is_not_physics_is_refused_with_its_range(
    field: str, value: object, allowed: str
) -> None:
    arguments: dict[str, object] = {"thickness_mm": 50.0, field: value}
    still = sections.still_air(0.5, 5, 2)
    with pytest.raises(InputError) as refused:
        moisture.drying(law=law_of(2, 0), conditions=still, **arguments)  # type: ignore[arg-type]
    assert refused.value.field == field
    assert allowed in refused.value.allowed


@pytest.mark.parametrize(
    ("field", "value", "allowed"),
    [
        ("D1_mm2_d", 0.0, "0.1 to 1000 mm2/d"),
        ("alpha", 2.0, "0.001 to 1"),
        ("hc", 0.95, "0.5 to 0.9"),
        ("Q_R_K", -1.0, "0 to 10000 K"),
        ("surface_mm", np.inf, "0 to 50 mm"),
        ("sorption_factor", 9.0, "0.2 to 3"),
    ],
)
def test_a_law_that_cannot_be_is_refused(field: str, value: float, allowed: str) -> None:
    changed: dict[str, Any] = {field: np.array([1.0, value])}
    law = replace(law_of(2, 0), **changed)
    with pytest.raises(InputError) as refused:
        moisture.drying(50.0, law, sections.still_air(0.5, 5, 2))
    assert refused.value.field == f"law.{field}"
    assert refused.value.allowed == allowed


@pytest.mark.parametrize(
    ("field", "value"), [("top_rh", 50.0), ("low_rh", -0.1), ("temperature_C", 400.0)]
)
def test_air_that_cannot_be_is_refused(field: str, value: float) -> None:
    around = replace(sections.still_air(0.5, 5, 2), **{field: np.full((5, 2), value)})
    with pytest.raises(InputError) as refused:
        moisture.drying(50.0, law_of(2, 0), around)
    assert refused.value.field.endswith(field)


def test_hydration_that_runs_backwards_is_refused() -> None:
    around = sections.still_air(0.5, 5, 2)
    back = np.linspace(0.1, 0.0, 6)[:, None] * np.ones(2)
    with pytest.raises(InputError, match="hydration does not go back"):
        moisture.drying(50.0, law_of(2, 0), replace(around, hydration_drop=back))


# ---- the same in the windows of a piece


def coat_1(scenario: Scenario, air: AirSeries, days: float) -> StepWindow:
    now = scenario.placement.at + timedelta(days=days)
    return next(s for s in timeline.project(scenario, air, now).steps if s.step == "coat-1")


def freed(pour: Scenario, days: float = 7.0) -> Scenario:
    """Stripped, turned and out of its film after some days."""
    at = pour.placement.at
    early = tuple(Done(step, at + timedelta(days=2)) for step in ("strip", "turn"))
    return replace(pour, done=(*early, Done("end-wet-cure", at + timedelta(days=days))))


def ready_h(scenario: Scenario, air: AirSeries, days: float, target: float = 0.85) -> np.ndarray:
    from_placing = 24.0 * days
    now = scenario.placement.at + timedelta(days=days)
    simulation = default_plan.simulated(scenario, air, now, 600)
    assert isinstance(simulation, physics.Simulation)
    drying = simulation.drying
    assert drying is not None
    return dry.ready_at(drying, target, from_placing)


def test_wet_concrete_is_never_ready_to_seal_by_age_alone(
    pour_of: Callable[..., Scenario], air_of: Callable[..., AirSeries]
) -> None:
    """Forty days old in air of nearly 100 %: no coat."""
    damp = air_of(hours=1100, dew_gap_K=0.1)
    told = coat_1(freed(pour_of()), damp, 40.0)
    assert told.p90 is None
    assert told.state == "not yet"
    assert (ready_h(freed(pour_of()), damp, 20.0) == np.inf).mean() > 0.5


def test_a_piece_left_in_its_mould_is_not_dry_at_forty_days(
    pour_of: Callable[..., Scenario], air_of: Callable[..., AirSeries]
) -> None:
    told = coat_1(pour_of(mix="general-purpose"), air_of(hours=1100, dew_gap_K=12.0), 40.0)
    assert told.state == "not yet"


def test_the_drier_the_air_the_sooner_it_may_be_sealed(
    pour_of: Callable[..., Scenario], air_of: Callable[..., AirSeries]
) -> None:
    pour = freed(pour_of())
    times = [np.median(ready_h(pour, air_of(hours=700, dew_gap_K=gap), 7.0)) for gap in (4, 8, 12)]
    assert times[0] > times[1] > times[2]


def test_a_thicker_piece_is_sealed_later(
    pour_of: Callable[..., Scenario], air_of: Callable[..., AirSeries]
) -> None:
    air = air_of(hours=700, dew_gap_K=9.0)
    thin, thick = (ready_h(freed(pour_of(thickness_mm=mm)), air, 7.0) for mm in (35.0, 70.0))
    assert (thin <= thick).all()
    assert np.median(thin) < np.median(thick)


def test_rain_on_the_face_keeps_the_sealer_away_for_a_day(
    pour_of: Callable[..., Scenario], air_of: Callable[..., AirSeries]
) -> None:
    air = air_of(hours=700, dew_gap_K=9.0)
    rain = np.zeros_like(air.rain_mm)
    begin = 72 + 15 * 24
    rain[begin : begin + 6] = 2.0
    pour = freed(pour_of("open yard"))
    now = pour.placement.at + timedelta(days=7)
    simulation = default_plan.simulated(pour, replace(air, rain_mm=rain), now, 600)
    assert isinstance(simulation, physics.Simulation)
    drying = simulation.drying
    assert drying is not None
    fit = dry.face_is_dry(drying, "water-based-acrylic")
    silane = dry.face_is_dry(drying, "silane-siloxane")
    raining = slice(15 * 24, 15 * 24 + 6)
    assert not fit[raining].any()
    assert not fit[15 * 24 + 6 : 15 * 24 + 29].any()
    assert not silane[15 * 24 + 6 : 15 * 24 + 53].any()
    assert (drying.dried.top_rh[15 * 24 + 6] > 0.97).all()
    assert (silane <= fit).all()
