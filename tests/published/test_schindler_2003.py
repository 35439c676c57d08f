"""When strength begins, by the degree of hydration.

Source     SCHINDLER_2003 (setting at a degree of hydration that goes with water / cement; the final
           set is where strength begins); BYFORS_1980 for the straight line.
Page says  one degree of hydration at the set whatever the temperatures were; 0.15 and 0.26 of
           water / cement at initial and final set.
Status     page of an abstract; the two figures from memory.
Tolerance  exact where the law is ours; no member has a tenth of a megapascal while its heat is
           under that of the initial set, all have begun once it is over that of the final one or
           half of what day one has.
"""

import numpy as np
import pytest

from models.concrete import prior
from models.concrete.mixture import LabelStrength, Mixture
from models.facts.cements import CLASSES, SET_DEGREE, WHOLE_HEAT_KJ_KG

AGES_H = np.arange(0.5, 24.0, 0.25)[:, None]
LABEL = (LabelStrength(72.0, 18.0), LabelStrength(672.0, 35.0))


@pytest.mark.parametrize("kind", [name for name, row in CLASSES.items() if not row.gain.fixed])
@pytest.mark.parametrize("label", [(), LABEL])
def test_no_strength_before_the_heat_of_the_set(
    kind: str, label: tuple[LabelStrength, ...]
) -> None:
    mix = prior.draw(Mixture(kind, label), 256)
    heat = mix.heat_kJ_kg * np.exp(-((mix.tau_h / AGES_H) ** mix.beta))
    day_one = mix.heat_kJ_kg * np.exp(-((mix.tau_h / mix.day_one_h) ** mix.beta))
    water = Mixture(kind).resolved().water_cement * WHOLE_HEAT_KJ_KG
    low, high = (np.minimum(part * water, 0.5 * day_one) for part in SET_DEGREE)
    grown = mix.strength_at(AGES_H + np.zeros(mix.members))
    assert (grown[heat < low] < 0.1).all()
    assert (grown[heat > 1.02 * high] > 0.0).all()
    assert (np.diff(grown, axis=0) >= 0.0).all()


def test_strength_of_the_first_day_is_found_again_by_its_age() -> None:
    mix = prior.draw(Mixture("general-purpose", LABEL), 256)
    for MPa in (0.5, 2.0, 5.0, 12.0, 30.0):
        age_h = mix.age_at(MPa)
        there = np.isfinite(age_h)
        np.testing.assert_allclose(
            mix.strength_at(np.where(there, age_h, 1e6))[there], MPa, rtol=1e-6
        )


def test_a_label_number_of_half_a_day_is_met() -> None:
    early = (LabelStrength(12.0, 8.0, 19.0), LabelStrength(672.0, 40.0, 19.0))
    mix = prior.draw(Mixture("general-purpose", early), 256)
    assert (mix.day_one_h < 14.0).all()
    at_12_h = mix.strength_at(np.full(mix.members, 12.0)) / mix.batch
    assert np.median(at_12_h) == pytest.approx(8.0, rel=0.10)
