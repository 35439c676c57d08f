"""Without weather, or with what cannot be, nothing is ever safe; what is done stays done."""

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime, timedelta

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from models.air.series import AirSeries, from_low_high
from models.concrete.mixture import LabelStrength, Mixture
from models.concrete.section import Covering
from models.errors import InputError, Unknown
from models.message import text
from models.piece.shape import Opening, Shape
from models.planning.timeline import project
from models.simulation.scenario import (
    Done,
    Observation,
    Placement,
    Scenario,
    ShopRules,
    StrengthTest,
)
from tests.support.words import codes

AirOf = Callable[..., AirSeries]
PourOf = Callable[..., Scenario]
SAFE = {"open", "closing"}


@given(now_h=st.floats(-24.0, 2000.0))
def test_no_weather_is_never_open(pour_of: PourOf, now_h: float) -> None:
    pour = pour_of()
    told = project(
        pour,
        Unknown(text("weather"), text("none"), text("fetch one")),
        pour.placement.at + timedelta(hours=now_h),
    )
    assert len(told.steps) > 10
    assert {step.state for step in told.steps} == {"blocked"}
    assert all(step.p90 is None and step.because for step in told.steps)


@given(now_h=st.floats(0.0, 400.0), missing=st.sampled_from(["air_C", "dew_point_C"]))
def test_a_record_of_nothing_but_holes_is_never_open(
    air_of: AirOf, pour_of: PourOf, now_h: float, missing: str
) -> None:
    pour, record = pour_of(), air_of()
    holes = np.full(record.hours, np.nan)
    empty = (
        replace(record, air_C=holes) if missing == "air_C" else replace(record, dew_point_C=holes)
    )
    told = project(pour, empty, pour.placement.at + timedelta(hours=now_h))
    if missing == "air_C":
        assert {step.state for step in told.steps} == {"blocked"}
        return
    hang_on_moisture = [step for step in told.steps if step.step.startswith(("coat", "first-"))]
    assert hang_on_moisture
    assert {step.state for step in hang_on_moisture} == {"blocked"}
    assert all("no_moisture_no_drying" in codes(*step.because) for step in hang_on_moisture)


@given(shift_d=st.sampled_from([-40, -12, 4, 30]), now_h=st.floats(0.0, 200.0))
def test_a_record_of_other_days_is_never_open(
    air_of: AirOf, pour_of: PourOf, shift_d: int, now_h: float
) -> None:
    pour, record = pour_of(), air_of(20.0)
    other = replace(record, start=record.start + timedelta(days=shift_d))
    told = project(pour, other, pour.placement.at + timedelta(hours=now_h))
    assert {step.state for step in told.steps} == {"blocked"}


@given(ends_h=st.integers(3, 30), late_h=st.integers(1, 400))
def test_a_record_that_ends_before_now_opens_nothing_it_had_not_reached(
    air_of: AirOf, pour_of: PourOf, ends_h: int, late_h: int
) -> None:
    """Steps reached within the record may be open; the later ones are blocked, never open."""
    pour = pour_of()
    record = air_of(12.0, hours=ends_h + 1)
    now = record.end + timedelta(hours=late_h)
    for step in project(pour, record, now).steps:
        if step.state in SAFE | {"past"}:
            assert step.p90 is not None or step.latest is not None, step.step
            assert step.p90 is None or step.p90 <= record.end, step.step
        if step.step in ("turn", "hone", "full-use", "coat-1", "first-heating"):
            assert step.state not in SAFE, step.step


@given(hours=st.floats(0.2, 24.0 * 50))
def test_a_reading_of_the_future_is_refused_by_name(
    air_of: AirOf, pour_of: PourOf, hours: float
) -> None:
    pour = pour_of()
    now = pour.placement.at + timedelta(hours=20)
    ahead = now + timedelta(hours=hours)
    for field, late in (
        ("reading[0].at", {"observations": (Observation(ahead, "air", 10.0),)}),
        ("strength_test[0].at", {"tests": (StrengthTest(ahead, "cube", 10.0),)}),
        ("done[0].at", {"done": (Done("strip", ahead),)}),
    ):
        with pytest.raises(InputError) as refused:
            project(pour_of(**late), air_of(), now)
        assert refused.value.field == field
        assert "future" in refused.value.wrong


def test_a_pour_more_than_sixty_days_ahead_is_refused(air_of: AirOf, pour_of: PourOf) -> None:
    pour = pour_of()
    with pytest.raises(InputError) as refused:
        project(pour, air_of(), pour.placement.at - timedelta(days=61))
    assert refused.value.field == "pour.at"


def test_what_is_done_stays_done_whatever_the_weather_says_later(
    air_of: AirOf, pour_of: PourOf, poured_at: datetime
) -> None:
    at = poured_at + timedelta(hours=50)
    pour = pour_of(done=(Done("strip", at),))
    now = poured_at + timedelta(hours=80)
    for air in (
        air_of(12.0),
        air_of(-8.0),
        air_of(30.0),
        air_of(12.0, hours=60),
        Unknown(text("weather"), text("none"), text("fetch one")),
    ):
        strip = next(s for s in project(pour, air, now).steps if s.step == "strip")
        assert (strip.state, strip.done_at) == ("done", at)


def test_times_without_an_offset_are_refused(air_of: AirOf) -> None:
    naive = datetime(2025, 11, 3, 15)  # noqa: DTZ001 - that is what is refused
    record = air_of()
    for build in (
        lambda: Placement(naive),
        lambda: Observation(naive, "air", 5.0),
        lambda: StrengthTest(naive, "cube", 5.0),
        lambda: Done("strip", naive),
        lambda: replace(record, start=naive),
        lambda: replace(record, issued_at=naive),
    ):
        with pytest.raises(InputError) as refused:
            build()
        assert "offset" in refused.value.wrong
        assert refused.value.allowed


def test_a_now_without_an_offset_is_refused(air_of: AirOf, pour_of: PourOf) -> None:
    with pytest.raises(InputError):
        project(pour_of(), air_of(), datetime(2025, 11, 4, 15))  # noqa: DTZ001


def test_a_typed_night_without_an_offset_is_refused() -> None:
    with pytest.raises(InputError):
        from_low_high(-3.0, 9.0, datetime(2025, 11, 3, 15))  # noqa: DTZ001


IMPOSSIBLE = [
    (lambda: Shape("panel", 1200.0, 600.0, 0.0), "thickness_mm", "10 to 600"),
    (lambda: Shape("panel", 1200.0, 600.0, float("nan")), "thickness_mm", "10 to 600"),
    (lambda: Shape("panel", 1200.0, 600.0, -50.0), "thickness_mm", "10 to 600"),
    (
        lambda: Shape("panel", 1200.0, 600.0, 50.0, openings=(Opening(1300.0, 100.0),)),
        "opening[0].length_mm",
        "1160",
    ),
    (lambda: Covering(0.0, None, "blanket", R_m2K_W=-0.5), "R_m2K_W", "0 to 10"),
    (lambda: Covering(0.0, None, "blanket", R_m2K_W=float("nan")), "R_m2K_W", "0 to 10"),
    (lambda: Covering(5.0, 5.0, "film"), "to_h", "5"),
    (lambda: Mixture("general-purpose", water_cement=5.0), "water_cement", "0.2 to 0.9"),
    (
        lambda: Mixture("general-purpose", activation_energy_kJ_mol=40_000.0),
        "activation_energy_kJ_mol",
        "20 to 80",
    ),
    (lambda: Mixture("porridge"), "class", "general-purpose"),
    (lambda: LabelStrength(24.0, -3.0), "MPa", "0.2 to 200"),
    (lambda: ShopRules(confidence=0.5), "confidence", "0.8 to 0.99"),
]


@pytest.mark.parametrize(("build", "field", "allowed"), IMPOSSIBLE)
def test_what_cannot_be_is_refused_with_its_range(
    build: Callable[[], object], field: str, allowed: str
) -> None:
    with pytest.raises(InputError) as refused:
        build()
    assert refused.value.field == field
    assert allowed in refused.value.allowed


@pytest.mark.parametrize(
    ("column", "value"),
    [
        ("air_C", 400.0),
        ("air_C", float("inf")),
        ("dew_point_C", -200.0),
        ("wind_m_s", -1.0),
        ("rain_mm", -0.1),
        ("cloud_fraction", 40.0),
        ("shortwave_W_m2", 1e5),
    ],
)
def test_air_that_cannot_be_is_refused_with_its_range(
    air_of: AirOf, column: str, value: float
) -> None:
    record = air_of()
    values = getattr(record, column).copy()
    values[5] = value
    with pytest.raises(InputError) as refused:
        replace(record, **{column: values})
    assert refused.value.field == column
    assert " to " in refused.value.allowed
