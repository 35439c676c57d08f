"""What is believed of a mix: the bag's numbers are met, doubt is kept, the classes differ."""

import numpy as np
import pytest

from models.concrete import heat_prior, maturity, prior, strength
from models.concrete.mixture import LabelStrength, Mixture
from models.errors import InputError
from models.facts.cements import BATCH_SD, CLASSES, COLD_KJ_PER_K

LABEL = (LabelStrength(24.0, 9.0), LabelStrength(72.0, 18.0), LabelStrength(672.0, 32.0))


def at_label(mix: prior.Prior, age_h: float, degrees: float = 21.0) -> np.ndarray:
    """Strength of the label's own specimens, without the batch."""
    pace = maturity.rate(
        degrees,
        activation_energy_kJ_mol=mix.activation_energy_kJ_mol,
        rise_kJ_mol_K=mix.rise_kJ_mol_K,
    )
    return mix.strength_at(age_h * pace) / mix.batch


def test_same_seed_draws_the_same_members() -> None:
    first, again, other = (prior.draw(Mixture("general-purpose"), 64, s) for s in (1, 1, 2))
    np.testing.assert_array_equal(first.strength_28d_MPa, again.strength_28d_MPa)
    assert not np.array_equal(first.strength_28d_MPa, other.strength_28d_MPa)


@pytest.mark.parametrize("point", LABEL)
def test_the_bags_numbers_are_met_within_their_scatter(point: LabelStrength) -> None:
    mix = prior.draw(Mixture("general-purpose", LABEL), 512, 5)
    got = at_label(mix, point.age_h)
    assert np.median(got) == pytest.approx(point.MPa, rel=0.10)
    low, high = np.quantile(got, [0.10, 0.90])
    assert low <= point.MPa <= high
    assert high / low < 1.6


def test_a_label_narrows_what_the_class_alone_says() -> None:
    bare, told = (
        at_label(prior.draw(Mixture("general-purpose", label), 512, 5), 72.0)
        for label in ((), LABEL)
    )
    assert np.log(told).std() < 0.6 * np.log(bare).std()


def test_a_warmer_label_means_a_slower_mix() -> None:
    at_20, at_30 = (
        prior.draw(
            Mixture(
                "general-purpose", (LabelStrength(24.0, 9.0, t), LabelStrength(672.0, 32.0, 20.0))
            ),
            512,
            5,
        )
        for t in (20.0, 30.0)
    )
    assert np.median(at_label(at_30, 24.0, 20.0)) < 0.9 * np.median(at_label(at_20, 24.0, 20.0))


def test_batches_scatter_by_hand_mixing() -> None:
    mix = prior.draw(Mixture("general-purpose"), 2048, 6)
    assert np.log(mix.batch).std() == pytest.approx(BATCH_SD, rel=0.08)
    assert np.median(mix.batch) == pytest.approx(1.0, abs=0.02)


def test_members_have_from_one_energy_to_one_that_rises_steeply_in_the_cold() -> None:
    free = prior.draw(Mixture("general-purpose"), 512, 7)
    assert free.rise_kJ_mol_K.mean() == pytest.approx(COLD_KJ_PER_K, rel=0.01)
    least, most = free.rise_kJ_mol_K.min(), free.rise_kJ_mol_K.max()
    assert 0.0 <= least < 0.01
    assert most == pytest.approx(2 * COLD_KJ_PER_K, rel=0.01)
    assert abs(np.corrcoef(free.rise_kJ_mol_K, free.activation_energy_kJ_mol)[0, 1]) < 0.15
    told = prior.draw(Mixture("general-purpose", activation_energy_kJ_mol=45.0), 512, 7)
    assert (told.rise_kJ_mol_K == 0).all()
    assert told.activation_energy_kJ_mol.mean() == pytest.approx(45.0, abs=0.5)
    assert told.activation_energy_kJ_mol.std() < free.activation_energy_kJ_mol.std()


@pytest.mark.parametrize("kind", CLASSES)
def test_every_class_draws_members_that_can_be(kind: str) -> None:
    mix = prior.draw(Mixture(kind), 1024, 8)
    assert (mix.final_set_h > mix.initial_set_h).all()
    assert (mix.dormant_h < mix.final_set_h).all()
    assert ((mix.activation_energy_kJ_mol >= 20) & (mix.activation_energy_kJ_mol <= 80)).all()
    ages = np.array([1.0, 6.0, 24.0, 168.0, 672.0, 4000.0])[:, None] * np.ones(mix.members)
    grown = mix.strength_at(ages)
    assert (np.diff(grown, axis=0) >= 0).all()
    assert np.median(grown[4]) == pytest.approx(CLASSES[kind].strength_MPa_28d, rel=0.10)


def test_set_told_by_the_bag_replaces_the_class() -> None:
    told = prior.draw(Mixture("general-purpose", initial_set_h=2.0), 512, 9)
    row = CLASSES["general-purpose"]
    assert np.median(told.initial_set_h) == pytest.approx(2.0, rel=0.05)
    assert np.median(told.final_set_h) == pytest.approx(
        2.0 * row.final_set_h / row.initial_set_h, rel=0.05
    )


def test_water_over_the_label_takes_strength_off_every_member() -> None:
    full, thin = (
        prior.draw(Mixture("general-purpose"), 64, 10, water_factor=f) for f in (1.0, 0.8)
    )
    np.testing.assert_allclose(thin.strength_28d_MPa, 0.8 * full.strength_28d_MPa)
    assert float(strength.added_water_factor(0.5, 0.10)) == pytest.approx(0.768, abs=0.001)


def test_heat_told_by_the_maker_is_taken() -> None:
    told = prior.draw(Mixture("general-purpose", heat_kJ_kg=300.0), 2048, 11)
    assert np.median(told.heat_kJ_kg) == pytest.approx(300.0, rel=0.02)
    with_degree = prior.draw(
        Mixture("general-purpose", heat_kJ_kg=500.0, hydration_ultimate=0.7), 2048, 11
    )
    assert np.median(with_degree.heat_kJ_kg) == pytest.approx(350.0, rel=0.02)


def test_the_error_of_a_fitted_energy_parts_the_members() -> None:
    def energies(error: float | None) -> np.ndarray:
        told = Mixture(
            "general-purpose", activation_energy_kJ_mol=45.0, activation_energy_error_kJ_mol=error
        )
        return prior.draw(told, 2048, 7).activation_energy_kJ_mol

    assert energies(None).std() == pytest.approx(heat_prior.GIVEN_ENERGY_SD, rel=0.05)
    assert energies(3.5).std() == pytest.approx(np.hypot(3.5, heat_prior.GIVEN_ENERGY_SD), rel=0.05)
    assert energies(3.5).mean() == pytest.approx(45.0, abs=0.3)


def test_an_error_without_its_energy_is_refused() -> None:
    with pytest.raises(InputError, match="both, or neither"):
        Mixture("general-purpose", activation_energy_error_kJ_mol=3.0)
