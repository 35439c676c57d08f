"""What a set of strength tests carries, and what is refused with how many more are needed."""

from collections.abc import Sequence
from pathlib import Path

import numpy as np
import pytest

from models.concrete import fit, heat_prior, prior, tests_to_add
from models.concrete.mix_fit import MixFit, Result, fit_mix
from models.errors import InputError, Unknown
from models.facts.cements import CLASS_ENERGY_SD, CLASSES
from models.message import Message, Value
from models.units import GAS_J_MOLK, KELVIN
from service import scenario_file
from service.cli.fit_printed import mixture_toml
from tests.support.thorough import some

ENERGY = 5000.0 * GAS_J_MOLK / 1e3  # of the cement of these tests, kJ/mol
ULTIMATE = {8.0: 46.0, 23.0: 43.0, 40.0: 39.0}
EQUAL_AGES_D = (0.5, 1.0, 2.0, 4.0, 8.0, 16.0, 28.0)  # at 23 degC
REST = '\n[place]\nkind = "covered"\nlatitude = 44\nlongitude = -92\ntimezone = "America/Chicago"\n'
REST += '[piece]\nshape = "panel"\nlength_mm = 900\nwidth_mm = 500\nthickness_mm = 50\n'
REST += "[pour]\nat = 2026-10-14T19:00:00-05:00\n"


def breaks(T: float, ages_d: Sequence[float] = EQUAL_AGES_D) -> list[Result]:
    """What breaks of this cement would show at a temperature, at ages of like maturity."""
    pace = float(np.exp(-5000.0 * (1 / (T + KELVIN) - 1 / (23.0 + KELVIN))))
    ages_h = 24.0 * np.array(ages_d) / pace
    MPa = fit.hyperbolic(ages_h, ULTIMATE.get(T, 43.0), 0.5 / 24.0 * pace, 3.6 / pace)
    return [Result(T, float(age), float(S)) for age, S in zip(ages_h, MPa, strict=True)]


@pytest.fixture(scope="module")
def three() -> MixFit:
    return fit_mix(breaks(8.0) + breaks(23.0) + breaks(40.0))


@pytest.fixture(scope="module")
def one() -> MixFit:
    return fit_mix(breaks(23.0))


def missing(found: MixFit) -> Unknown:
    assert isinstance(found.energy, Unknown)
    return found.energy


def ages(told: Message) -> list[Value]:
    """The ages to test [h] that a message names."""
    assert told.code == "ages_missing"
    named = told.values["ages"]
    assert isinstance(named, tuple)
    assert told.values["count"] == len(named)
    return [one.values["age_h"] for one in named if isinstance(one, Message)]


def cautions(found: MixFit, code: str) -> list[Message]:
    return [caution for caution in found.cautions if caution.code == code]


def test_three_temperatures_give_energy_and_datum(three: MixFit) -> None:
    assert not isinstance(three.energy, Unknown)
    assert three.energy.activation_energy_kJ_mol == pytest.approx(ENERGY, abs=0.1)
    assert three.activation_energy_kJ_mol == three.energy.activation_energy_kJ_mol
    assert three.energy.energy_error_kJ_mol < 0.1


def test_one_temperature_gives_the_curve_and_says_what_the_rest_needs(one: MixFit) -> None:
    assert one.activation_energy_kJ_mol == CLASSES["general-purpose"].activation_energy_kJ_mol
    assert one.curve.rmse_MPa < 0.5
    told = missing(one)
    assert told.why.code == "temperatures_too_few"
    assert told.why.values["tested"] == (one.cures[0].named,)
    assert told.how_to_get_it.code == "test_temperatures"
    assert told.how_to_get_it.values["temperatures_C"] == (8.0, 40.0)
    assert told.how_to_get_it.values["count"] == 2


def test_two_temperatures_give_one_curve_by_the_energy_of_the_class() -> None:
    found = fit_mix(breaks(8.0) + breaks(23.0))
    assert missing(found).how_to_get_it.values["temperatures_C"] == (40.0,)
    assert found.curve_rows == tuple(range(14))
    assert found.activation_energy_kJ_mol == CLASSES["general-purpose"].activation_energy_kJ_mol
    blended = fit_mix(breaks(8.0) + breaks(23.0), "blended")
    assert blended.activation_energy_kJ_mol == CLASSES["blended"].activation_energy_kJ_mol


def test_three_temperatures_within_14_degrees_are_too_near() -> None:
    found = fit_mix(breaks(16.0) + breaks(23.0) + breaks(30.0))
    assert missing(found).why.values["span_K"] == 15.0
    assert missing(found).how_to_get_it.values["count"] == 1


def test_too_few_ages_at_one_temperature_are_counted() -> None:
    found = fit_mix(breaks(8.0)[:2] + breaks(23.0) + breaks(40.0))
    cold = found.cures[0]
    assert cold.temperature_C == 8.0
    assert missing(found).why == Message("ages_too_few", {"cures": (cold.named,)})
    assert cold.missing is not None
    assert len(ages(cold.missing)) == 2
    asked = Message("test_ages_at", {"cure": cold.named, "ages": cold.missing})
    assert missing(found).how_to_get_it == Message("test_ages", {"tests": (asked,)})


def test_a_fourth_temperature_with_too_few_ages_does_not_spoil_the_others() -> None:
    found = fit_mix(breaks(8.0) + breaks(23.0) + breaks(40.0) + breaks(30.0)[:2])
    assert not isinstance(found.energy, Unknown)
    assert found.energy.activation_energy_kJ_mol == pytest.approx(ENERGY, abs=0.1)
    (left,) = cautions(found, "fit_left_out")
    assert left.values["cure"] == Message("cure_at", {"temperature_C": 30.0})


@pytest.mark.parametrize(
    ("ages_d", "more"),
    [
        ((1.0,), "3 more ages"),
        ((1.0, 7.0), "2 more ages"),
        ((1.0, 7.0, 28.0), "1 more age, as 3 d"),
        ((7.0, 10.0, 14.0, 28.0), "1 more age, as 12 h"),
        ((1.0, 1.01, 1.02, 1.03, 28.0), "2 more ages"),
    ],
)
def test_too_few_ages_are_refused_with_how_many_more(ages_d: Sequence[float], more: str) -> None:
    rows = [Result(20.0, 24.0 * age, 10.0 + age) for age in ages_d]
    with pytest.raises(InputError) as refused:
        fit_mix(rows)
    assert refused.value.field == "age_h"
    assert more in refused.value.allowed
    assert "4 or more ages over a factor of 8" in refused.value.allowed


def test_the_ages_asked_for_are_enough() -> None:
    """Whoever tests what the refusal names is not refused again."""
    with pytest.raises(InputError) as refused:
        fit_mix([Result(20.0, 168.0, 19.0)])
    assert "3 more ages, as 12 h, 2 d, 28 d" in refused.value.allowed
    later = [Result(20.0, age, MPa) for age, MPa in ((12.0, 3.0), (48.0, 10.0), (672.0, 28.0))]
    assert fit_mix([Result(20.0, 168.0, 19.0), *later]).strength_28d_MPa == pytest.approx(
        28, rel=0.1
    )


def test_cold_tests_are_asked_for_at_later_ages() -> None:
    asked = []
    for T in (5.0, 20.0):
        with pytest.raises(InputError) as refused:
            fit_mix([Result(T, 24.0, 5.0), Result(T, 72.0, 11.0), Result(T, 168.0, 18.0)])
        asked.append(refused.value.allowed)
    assert "as 68 d" in asked[0]
    assert "as 28 d" in asked[1]


def test_no_results_are_refused() -> None:
    with pytest.raises(InputError, match="no results"):
        fit_mix([])


def test_strengths_that_do_not_grow_are_refused() -> None:
    rows = [Result(20.0, 24.0 * d, 20.0) for d in (1.0, 3.0, 7.0, 14.0, 28.0)]
    with pytest.raises(InputError, match="do not grow"):
        fit_mix(rows)


def test_columns_the_wrong_way_round_in_temperature_are_not_called_an_energy() -> None:
    """Cold results under the warm temperature and the reverse."""
    swapped = {8.0: 40.0, 23.0: 23.0, 40.0: 8.0}
    rows = [Result(swapped[r.temperature_C], r.age_h, r.MPa) for T in swapped for r in breaks(T)]
    assert missing(fit_mix(rows)).why.code == "rates_do_not_rise"


def test_results_a_degree_apart_are_one_cure() -> None:
    rows = [Result(r.temperature_C + 0.2 * k, r.age_h, r.MPa) for k, r in enumerate(breaks(23.0))]
    found = fit_mix(rows)
    assert len(found.cures) == 1
    assert found.cures[0].temperature_C == pytest.approx(23.6)


def test_the_order_of_the_rows_does_not_matter(three: MixFit) -> None:
    rows = breaks(40.0)[::-1] + breaks(8.0) + breaks(23.0)
    other = fit_mix(rows)
    assert other.strength_28d_MPa == pytest.approx(three.strength_28d_MPa, rel=1e-6)
    assert other.activation_energy_kJ_mol == pytest.approx(three.activation_energy_kJ_mol, rel=1e-6)


def test_hot_cures_that_end_lower_are_told(three: MixFit) -> None:
    ended = {one.values["cure"]: one.values["side"] for one in cautions(three, "fit_ended")}
    assert ended[Message("cure_at", {"temperature_C": 40.0})] == "below"


def test_late_tests_say_little_about_stripping() -> None:
    rows = [r for r in breaks(23.0, (3, 7, 14, 28)) if r.age_h > 60]
    found = fit_mix(rows)
    (late,) = cautions(found, "fit_early_untested")
    assert late.values["first_h"] == pytest.approx(found.equivalent_age_h.min())
    assert min(point.age_h for point in found.label()) >= 72.0


def test_early_tests_do_not_put_a_28_day_strength_on_the_label() -> None:
    found = fit_mix(breaks(23.0, (0.5, 1.0, 2.0, 4.0)))
    assert max(point.age_h for point in found.label()) < 150.0
    (short,) = cautions(found, "fit_carried_on")
    assert short.values["last_h"] == pytest.approx(found.equivalent_age_h.max())


def test_an_energy_known_worse_than_the_class_is_left_out() -> None:
    random = np.random.default_rng(4)
    rows = [
        Result(r.temperature_C, r.age_h, float(r.MPa * np.exp(0.12 * random.standard_normal())))
        for T in ULTIMATE
        for r in breaks(T)
    ]
    found = fit_mix(rows)
    assert not isinstance(found.energy, Unknown)
    assert found.energy.energy_error_kJ_mol > CLASS_ENERGY_SD
    assert found.as_mixture().activation_energy_kJ_mol is None
    assert "activation_energy_kJ_mol" not in mixture_toml(found)
    (worse,) = cautions(found, "fit_energy_worse")
    assert worse.values["error_kJ_mol"] == found.energy.energy_error_kJ_mol


@pytest.mark.parametrize("kind", ["general-purpose", "rapid-setting"])
def test_the_mix_as_toml_is_read_as_the_same_mix(tmp_path: Path, kind: str) -> None:
    found = fit_mix(breaks(8.0) + breaks(23.0) + breaks(40.0), kind)
    file = tmp_path / "fitted.toml"
    file.write_text(mixture_toml(found) + REST, encoding="utf-8")
    mixture = scenario_file.read(file).scenario.mixture
    assert mixture == found.as_mixture()
    assert mixture.activation_energy_kJ_mol == pytest.approx(41.6)
    assert mixture.datum_C == pytest.approx(3.9)
    assert [point.age_h for point in mixture.label] == [24.0, 72.0, 168.0, 672.0]


def test_the_program_believes_the_fitted_curve(three: MixFit) -> None:
    mix = prior.draw(three.as_mixture(), 1024, 7)
    for age in (72.0, 168.0, 672.0):
        grown = mix.strength_at(np.full(mix.members, age)) / mix.batch
        assert np.median(grown) == pytest.approx(float(three.strength_at(age)), rel=0.07)


def test_a_fit_hands_the_error_of_its_energy_to_the_mix_and_the_mix_to_its_members() -> None:
    scatter = np.random.default_rng(4)
    rows = [
        Result(row.temperature_C, row.age_h, row.MPa * float(np.exp(scatter.normal(0.0, 0.015))))
        for T in (8.0, 23.0, 40.0)
        for row in breaks(T)
    ]
    found = fit_mix(rows)
    assert not isinstance(found.energy, Unknown)
    error = found.energy.energy_error_kJ_mol
    assert 0.3 < error <= CLASS_ENERGY_SD
    told = found.as_mixture()
    assert told.activation_energy_error_kJ_mol == pytest.approx(error, abs=0.01)
    drawn = prior.draw(told, 1024, 3).activation_energy_kJ_mol
    assert drawn.std() == pytest.approx(np.hypot(error, heat_prior.GIVEN_ENERGY_SD), rel=0.05)


def test_dormant_time_is_fitted_from_early_results_only(one: MixFit) -> None:
    assert "dormant_h" in one.curve.names
    assert fit_mix(breaks(23.0, (2, 4, 8, 16, 28, 56))).dormant_h == 0.0


def test_a_parameter_at_the_edge_of_its_range_has_no_standard_error() -> None:
    ages = np.array([12.0, 24.0, 48.0, 96.0, 192.0, 672.0])
    MPa = fit.exponential(ages + 6.0, 45.0, 40.0, 0.7)  # grew before age nought
    got = fit.fit_strength(ages, MPa, dormant=True)
    assert got["dormant_h"] == 0.0
    assert np.isnan(got.error("dormant_h"))
    assert np.isfinite(got.error("rate_constant_h"))


def test_as_many_parameters_as_results_have_no_standard_error() -> None:
    got = fit.fit_hyperbolic([24.0, 72.0, 672.0], [10.0, 20.0, 30.0])
    assert got.rmse_MPa < 1e-4
    assert np.isnan(got.standard_errors).all()


@pytest.mark.parametrize("T", [[8.0, 23.0], [20.0, 23.0, 26.0], [8.0, 23.0, 40.0]])
def test_rates_that_carry_no_line_are_refused(T: list[float]) -> None:
    falling = np.linspace(0.05, 0.01, len(T))
    with pytest.raises(InputError):
        fit.datum_and_activation_energy(T, falling)


def test_standard_errors_are_those_of_the_textbook_line() -> None:
    """ln k with a scatter of +d, -2d, +d about its line over evenly spaced 1/T: by hand."""
    inverse = np.array([0.0034, 0.0033, 0.0032])
    ln_k = -5000.0 * inverse + np.array([0.01, -0.02, 0.01])
    got = fit.datum_and_activation_energy(1 / inverse - KELVIN, np.exp(ln_k + 13.0))
    assert got.quotient_K == pytest.approx(5000.0, abs=1e-6)
    by_hand = np.sqrt(0.0006 / 1) / np.sqrt(2 * 0.0001**2)  # sqrt(sum of squares / 1) / sqrt(Sxx)
    assert got.quotient_error_K == pytest.approx(by_hand, rel=1e-6)


def test_any_results_get_an_answer_or_a_refusal_about_the_results() -> None:
    """Sets of strengths without rhyme: no complaint about a parameter of a curve."""
    random = np.random.default_rng(1)
    answers, refusals = 0, []
    for _ in range(some(20, 600)):
        cures = random.uniform(0.0, 60.0, random.integers(1, 5))
        rows = [
            Result(float(random.choice(cures)), float(np.exp(random.uniform(-1.38, 9.9))), float(S))
            for S in random.uniform(0.2, 200.0, random.integers(1, 25))
        ]
        try:
            found = fit_mix(rows)
        except InputError as refused:
            refusals.append(refused)
        else:
            answers += 1
            assert np.isfinite(found.residuals_MPa).all()
            assert found.as_mixture().label
    assert answers > 3
    assert {refused.field for refused in refusals} == {"age_h", "MPa"}
    assert not [refused for refused in refusals if "range" in refused.wrong]


def test_fitted_energy_is_within_two_standard_errors_nineteen_times_in_twenty() -> None:
    """100 sets of 21 results, each with 0.5 MPa of scatter; and the errors told are the real."""
    random = np.random.default_rng(3)
    truth = [np.array([(r.age_h, r.MPa) for r in breaks(T)]).T for T in ULTIMATE]
    energies, told = [], []
    for _ in range(100):
        curves = [
            fit.fit_hyperbolic(age, MPa + 0.5 * random.standard_normal(len(age)))
            for age, MPa in truth
        ]
        lines = fit.datum_and_activation_energy(
            list(ULTIMATE),
            [curve["rate_per_h"] for curve in curves],
            [curve.error("rate_per_h") for curve in curves],
        )
        energies.append(lines.activation_energy_kJ_mol)
        told.append(lines.energy_error_kJ_mol)
    inside = np.abs(np.array(energies) - ENERGY) <= 2 * np.array(told)
    assert 90 <= inside.sum() <= 99
    assert np.median(told) == pytest.approx(np.std(energies), rel=0.25)
    assert np.mean(energies) == pytest.approx(ENERGY, abs=1.0)


def test_names_of_the_least_numbers_are_those_of_the_refusals() -> None:
    assert (tests_to_add.LEAST_AGES, tests_to_add.LEAST_AGE_FACTOR) == (4, 8.0)
    assert fit.LEAST_TEMPERATURES == 3
    assert fit.LEAST_SPAN_K == 15.0
