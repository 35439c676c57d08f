"""Laws of age, strength, hydration and humidity."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from models.air import evaporation, psychrometrics, sky
from models.concrete import hydration, maturity, strength
from models.errors import InputError

temperatures = st.lists(st.floats(-20.0, 60.0), min_size=2, max_size=48)
energies = st.floats(20.0, 60.0)
rises = st.sampled_from([0.0, 0.5, 1.47])


@given(temperatures, energies, rises)
def test_equivalent_age_never_falls(seen: list[float], energy: float, rise: float) -> None:
    rate = maturity.rate(seen, activation_energy_kJ_mol=energy, rise_kJ_mol_K=rise)
    assert (rate >= 0).all()
    assert ((rate > 0) == (np.array(seen) > -10.0)).all()  # under it hydration rests


@given(temperatures, st.floats(-12.0, 5.0))
def test_temperature_time_factor_never_falls(seen: list[float], datum: float) -> None:
    factor = maturity.temperature_time_factor(seen, 1.0, datum_C=datum)
    assert (np.diff(factor) >= 0).all()


@given(temperatures, st.floats(0.0, 10.0), energies, rises)
def test_colder_concrete_is_never_older(
    seen: list[float], colder: float, energy: float, rise: float
) -> None:
    both = [
        maturity.rate(np.array(seen) - by, activation_energy_kJ_mol=energy, rise_kJ_mol_K=rise)
        for by in (0.0, colder)
    ]
    assert (both[1] <= both[0] + 1e-12).all()


@given(temperatures, st.floats(-12.0, 5.0))
def test_halving_every_interval_leaves_the_factor(seen: list[float], datum: float) -> None:
    whole = maturity.temperature_time_factor(seen, 1.0, datum_C=datum)[-1]
    halves = maturity.temperature_time_factor(np.repeat(seen, 2), 0.5, datum_C=datum)[-1]
    assert halves == pytest.approx(whole, rel=1e-12, abs=1e-12)


@given(st.floats(5.0, 40.0), energies, rises)
def test_at_its_reference_an_hour_counts_an_hour(
    reference: float, energy: float, rise: float
) -> None:
    got = maturity.rate(
        reference, activation_energy_kJ_mol=energy, rise_kJ_mol_K=rise, reference_C=reference
    )
    assert float(got) == pytest.approx(1.0, rel=1e-12)


@given(st.floats(0.0, 1e4), st.floats(0.0, 1e3), st.floats(1.0, 60.0), st.floats(0.3, 2.0))
def test_hydration_never_turns_back(age: float, more: float, tau: float, beta: float) -> None:
    early, late = hydration.degree_of_hydration(
        [age, age + more], ultimate=0.8, tau_h=tau, beta=beta
    )
    assert 0 <= early <= late <= 0.8


@given(st.floats(0.2, 5.0), st.floats(1.0, 500.0), st.floats(2.0, 40.0), st.floats(0.4, 1.5))
def test_a_cement_slower_in_all_times_only_shifts_the_clock(
    factor: float, age: float, tau: float, beta: float
) -> None:
    slow = hydration.degree_of_hydration(factor * age, ultimate=1.0, tau_h=factor * tau, beta=beta)
    fast = hydration.degree_of_hydration(age, ultimate=1.0, tau_h=tau, beta=beta)
    assert float(slow) == pytest.approx(float(fast), rel=1e-9)


curves = {
    "strength_28d_MPa": st.floats(5.0, 100.0),
    "rate_constant_h": st.floats(1.0, 300.0),
    "exponent": st.floats(0.3, 1.2),
    "dormant_h": st.floats(0.0, 20.0),
}


@given(st.fixed_dictionaries(curves), st.floats(0.0, 5000.0), st.floats(0.0, 500.0))
def test_strength_never_falls_with_age_and_starts_at_nothing(
    curve: dict[str, float], age: float, more: float
) -> None:
    young, old = strength.strength([age, age + more], **curve)
    assert 0 <= young <= old
    assert float(strength.strength(curve["dormant_h"], **curve)) == 0.0
    assert float(strength.strength(672.0, **curve)) == pytest.approx(curve["strength_28d_MPa"])


@given(st.fixed_dictionaries(curves), st.floats(0.05, 1.05))
def test_age_for_a_strength_gives_that_strength_back(curve: dict[str, float], share: float) -> None:
    wanted = share * curve["strength_28d_MPa"]
    age = strength.age_for_strength(wanted, **curve)
    if np.isfinite(age):
        assert float(strength.strength(age, **curve)) == pytest.approx(wanted, rel=1e-6)
    else:  # beyond all ages
        assert float(strength.strength(1e7, **curve)) < wanted


@given(st.floats(0.0, 1.0), st.floats(0.0, 0.5))
def test_more_water_is_never_stronger(added: float, more: float) -> None:
    high = min(added + more, 1.0)
    less = strength.added_water_factor(0.5, high)
    assert 0 < float(less) <= float(strength.added_water_factor(0.5, added)) <= 1


@given(st.floats(-40.0, 50.0), st.floats(0.01, 1.05))
def test_dew_point_is_never_over_the_air(air: float, rh: float) -> None:
    dew = float(psychrometrics.dew_point(air, rh))
    assert dew <= air + 1e-9
    assert float(psychrometrics.rh_fraction(air, dew)) == pytest.approx(min(rh, 1.0), rel=1e-6)


@given(st.floats(-10.0, 50.0), st.floats(0.0, 1.0), st.floats(0.0, 60.0), st.floats(0.0, 30.0))
def test_wind_and_dryness_never_slow_evaporation(
    air: float, rh: float, wind: float, more: float
) -> None:
    def rate(r: float, v: float) -> float:
        return float(
            evaporation.evaporation_rate(concrete_C=air, air_C=air, rh_fraction=r, wind_km_h=v)
        )

    assert rate(rh, wind + more) >= rate(rh, wind) >= 0
    assert rate(0.5 * rh, wind) >= rate(rh, wind)


@given(st.floats(-30.0, 35.0), st.floats(0.0, 20.0), st.floats(0.0, 0.9), st.floats(0.0, 0.1))
def test_cloud_and_moist_air_shield_from_the_sky(
    air: float, gap: float, cloud: float, more: float
) -> None:
    clear = float(sky.net_sky_loss(air, air - gap, cloud, 0.9))
    assert clear >= float(sky.net_sky_loss(air, air - gap, cloud + more, 0.9)) - 1e-9
    assert clear >= float(sky.net_sky_loss(air, air - gap / 2, cloud, 0.9)) - 1e-9
    assert clear >= 0


@pytest.mark.parametrize(
    "build",
    [
        lambda: maturity.rate(float("nan"), activation_energy_kJ_mol=40.0),
        lambda: maturity.rate(400.0, activation_energy_kJ_mol=40.0),
        lambda: maturity.rate(20.0, activation_energy_kJ_mol=40_000.0),
        lambda: maturity.temperature_time_factor([10.0], -1.0, datum_C=0.0),
        lambda: strength.strength(-1.0, strength_28d_MPa=30.0, rate_constant_h=40.0, exponent=0.5),
        lambda: psychrometrics.dew_point(20.0, 40.0),  # per cent for a fraction
        lambda: evaporation.evaporation_rate(
            concrete_C=30.0, air_C=30.0, rh_fraction=50.0, wind_km_h=10.0
        ),
        lambda: hydration.degree_of_hydration(-1.0, ultimate=0.8, tau_h=14.0, beta=0.9),
        lambda: sky.sun_elevation(0.0, 120.0, 0.0),
    ],
)
def test_what_a_formula_does_not_cover_is_refused_with_its_range(build: object) -> None:
    with pytest.raises(InputError) as refused:
        build()  # type: ignore[operator]
    assert " to " in refused.value.allowed
