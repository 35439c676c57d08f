"""When a coat may go on: surface over the dew point, humidity, and drying by vapour pressure.

Source     ISO_8502_4, UFC_3_190_06 section 9.6.6, MARINE_PAINTING.
Page says  surface 3 K (5 F) over the dew point and rising; humidity under 85 %.
Status     page for the rule; the spreads and the drying ratios are exact arithmetic.
Tolerance  exact for the criterion; 0.06 K for spreads; drying ratio 1 % (6.34 at 10 C and 85 %).
"""

from dataclasses import replace

import numpy as np
import pytest

from models.air import psychrometrics
from models.coating.film import SealerSystem
from models.facts.sealers import Sheet
from models.steps import coats, seal
from models.steps.opening import Trajectory
from models.units import Array, Mask


def trajectory(face_C: float, air_C: float, rh: float, hours: int = 48) -> Trajectory:
    same = np.ones((hours, 2))
    dew = float(psychrometrics.dew_point(air_C, rh))
    return Trajectory(
        hour=np.arange(float(hours)),
        weight=np.full(2, 0.5),
        strength_MPa=30 * same,
        strength_mean_MPa=30 * same,
        te_mean_h=700 * same,
        te_cold_h=700 * same,
        mean_C=face_C * same,
        top_C=face_C * same,
        coldest_C=face_C * same,
        air_C=air_C * same,
        dew_point_C=dew * same,
        rh=rh * same,
        wind_m_s=0 * same,
        rain_mm=0 * same,
        initial_set_h=np.full(2, 4.0),
        final_set_h=np.full(2, 6.0),
        harm=0 * same,
        frost_depth=np.zeros(2),
        named_28d_MPa=30.0,
        specified_28d_MPa=24.0,
        forecast_rows=hours,
    )


def holding(trajectory: Trajectory, at: Sheet) -> Mask:
    """Whether one coat begun at each hour holds until it is dry and rain-safe."""
    here = seal.local_conditions(trajectory, trajectory.hour[: trajectory.forecast_rows])
    everyone = np.ones(len(here.hour), dtype=np.bool_)
    hours = coats.hours_of(here, at, np.ones_like(here.rh, dtype=bool), everyone, trajectory.weight)
    held: Mask = hours.begin & (hours.steady_h >= at.recoat_min_h)
    return held & (hours.dry_h >= at.rain_free_h)


def drying_hours(trajectory: Trajectory, at: Sheet) -> Array:
    here = seal.local_conditions(trajectory, trajectory.hour)
    return seal.hours_until(seal.drying_rate(here, at), here.step_h, at.recoat_min_h)


@pytest.fixture(scope="module")
def acrylic() -> Sheet:
    return SealerSystem("water-based-acrylic", max_rh_pct=90.0).resolved()


def test_spread_of_26_kelvin_is_refused_and_of_31_accepted(acrylic: Sheet) -> None:
    spread = 20.0 - float(psychrometrics.dew_point(20.0, 0.85))
    assert spread == pytest.approx(2.60, abs=0.06)
    assert not holding(trajectory(20.0, 20.0, 0.85), acrylic)[0].any()
    assert holding(trajectory(20.5, 20.0, 0.85), acrylic)[0].all()


def test_piece_at_room_temperature_passes_up_to_83_per_cent(acrylic: Sheet) -> None:
    assert holding(trajectory(20.0, 20.0, 0.827), acrylic)[0].all()
    assert not holding(trajectory(20.0, 20.0, 0.832), acrylic)[0].any()


def test_cold_piece_in_a_warm_room(acrylic: Sheet) -> None:
    # 4 K colder than the room at 20 C: at 60 % (dew point 12.0) 4 K are left, at 75 % (15.4) 0.6
    assert holding(trajectory(16.0, 20.0, 0.60), acrylic)[0].all()
    assert not holding(trajectory(16.0, 20.0, 0.75), acrylic)[0].any()


def test_humidity_over_85_per_cent_is_refused_by_the_usual_sheet() -> None:
    usual = SealerSystem("water-based-acrylic").resolved()
    assert holding(trajectory(26.0, 20.0, 0.84), usual)[0].all()
    assert not holding(trajectory(26.0, 20.0, 0.86), usual)[0].any()


@pytest.mark.parametrize(("change_K_h", "held"), [(-1.0, False), (-0.1, True), (1.0, True)])
def test_a_face_that_falls_towards_the_dew_point_is_refused(
    acrylic: Sheet, change_K_h: float, held: bool
) -> None:
    """What "and rising" stands for: 4 K now, and 3 K still when the coat is dry."""
    calm = trajectory(20.0, 20.0, 0.5)
    face = 14.0 + np.clip(change_K_h * calm.hour, -5.0, 5.0)[:, None] * np.ones((1, 2))
    falling = replace(calm, top_C=face, dew_point_C=10.0 + 0 * face)
    assert float((falling.top_C - falling.dew_point_C)[0, 0]) == 4.0
    assert holding(falling, acrylic)[0].all() == held


def test_cold_damp_air_dries_a_coat_six_times_as_slowly(acrylic: Sheet) -> None:
    usual = drying_hours(trajectory(20.0, 20.0, 0.50), acrylic)[0, 0]
    assert usual == pytest.approx(acrylic.recoat_min_h, rel=1e-6)
    damp = drying_hours(trajectory(10.0, 10.0, 0.85), acrylic)[0, 0]
    assert damp / usual == pytest.approx(6.34, rel=0.01)


def test_rain_or_the_end_of_the_forecast_within_drying_refuses(acrylic: Sheet) -> None:
    fine = trajectory(20.0, 20.0, 0.50)
    rain = fine.rain_mm.copy()
    rain[10] = 1.0
    wet = Trajectory(**{**fine.__dict__, "rain_mm": rain})
    held = holding(wet, acrylic)[:, 0]
    assert not held[:11].any()  # rain-free 12 h asked
    assert held[11]
    short = Trajectory(**{**fine.__dict__, "forecast_rows": 16})
    assert holding(short, acrylic)[:, 0].sum() == 4  # the last row that has 12 h of weather is 3
