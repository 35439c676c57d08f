"""Members of the drying of slabs against measured and tabulated drying times.

Source     CRAIG_2011 (Brewer's slab), SUPRENANT_MALISCH, HEDENBLAD_1997, NBS_RP_1334.
Page says  102 mm slab drying from one face in the laboratory: to 14.65 g/m2 in 24 h 82 d at w/c
           0.50, 44 d at 0.40 with 1.46 kg/m2 lost; 180 mm from both faces at 18 C and 60 %: to
           85 % 50, 90, 135 d at w/c 0.4, 0.5, 0.6; 100 mm in 0.4 of the time; sealed pastes 79 and
           88 % after 28 d.
Status     page for the slabs and pastes, from memory for the table of 1997.
Tolerance  the sources differ twofold among themselves: the published time lies between the 5 and
           95 % members; the printed law at fck 30, saturated, within 1.3 of the table at w/c 0.5.
"""

import numpy as np
import pytest

from models.concrete import moisture, moisture_laws, moisture_prior
from models.concrete import prior as priors
from models.concrete.mixture import LabelStrength, Mixture
from tests.support.sections import days_to

MEMBERS = 128
LIMIT_G_M2_D = 14.65  # 3 lb per 1000 ft2 in 24 h


def slab(
    thickness_mm: float,
    faces: int,
    water_cement: float,
    fc_MPa: float,
    air: tuple[float, float],
    cured_d: int,
    days: int,
) -> tuple[moisture.Dried, int]:
    """A slab kept closed for cured_d days, then in steady air (humidity, degC)."""
    mix = Mixture(
        "general-purpose", (LabelStrength(672.0, fc_MPa, 20.0),), water_cement=water_cement
    )
    prior = priors.draw(mix, MEMBERS, 11)
    hours, begin = 24 * days, 24 * cured_d
    open_rh = np.full((hours, MEMBERS), air[0])
    open_rh[:begin] = np.nan
    age = np.repeat(np.arange(hours + 1.0)[:, None], MEMBERS, axis=1)
    around = moisture.Conditions(
        open_rh,
        open_rh if faces == 2 else np.full_like(open_rh, np.nan),
        np.full_like(open_rh, air[1]),
        moisture_prior.hydration_drop(prior, age, water_cement, 13),
    )
    probes = (0.2, 0.8) if faces == 2 else (0.4,)
    law = moisture_prior.draw_law(prior, 12)
    return moisture.drying(thickness_mm, law, around, probes=probes), begin


def middle_of(values: np.ndarray) -> tuple[float, float]:
    return float(np.quantile(values, 0.05)), float(np.quantile(values, 0.95))


@pytest.mark.parametrize(("water_cement", "fc_MPa", "days"), [(0.50, 35.0, 82), (0.40, 45.0, 44)])
def test_a_slab_reaches_three_pounds(water_cement: float, fc_MPa: float, days: int) -> None:
    dried, begin = slab(102.0, 1, water_cement, fc_MPa, (0.50, 23.0), 3, 240)
    rate = 1e3 * (dried.lost_kg_m2[begin + 24 :] - dried.lost_kg_m2[begin:-24])
    took = np.argmax(rate < LIMIT_G_M2_D, axis=0) / 24 + 1
    low, high = middle_of(took)
    assert low < days < high


def test_the_slab_of_low_water_loses_what_was_weighed() -> None:
    dried, begin = slab(102.0, 1, 0.40, 45.0, (0.50, 23.0), 3, 60)
    low, high = middle_of(dried.lost_kg_m2[begin + 44 * 24])
    assert low < 1.46 < high


@pytest.mark.parametrize(
    ("water_cement", "fc_MPa", "days"), [(0.4, 50.0, 50), (0.5, 40.0, 90), (0.6, 32.0, 135)]
)
def test_the_table_of_1997_lies_among_the_members(
    water_cement: float, fc_MPa: float, days: int
) -> None:
    dried, begin = slab(180.0, 2, water_cement, fc_MPa, (0.60, 18.0), 28, 400)
    dry = dried.probe_rh <= 0.85
    took = np.where(dry.any(axis=0), (np.argmax(dry, axis=0) - begin) / 24, 999.0)
    low, high = middle_of(took)
    assert low < days < high


def test_the_printed_law_and_the_table_of_1997() -> None:
    for target, days in ((0.90, 45.0), (0.85, 90.0)):
        ours = days_to(180.0, target, 2, 18.0, 0.60)
        assert 1 / 1.3 < ours / days < 1.3
        thin = days_to(100.0, target, 2, 18.0, 0.60)
        assert thin / ours == pytest.approx(0.4, abs=0.1)


def test_sealed_pastes_of_a_stiff_mix_dry_themselves_as_measured() -> None:
    left = 1 - moisture_laws.sealed_drop(0.27, 0.95)
    assert 0.79 <= float(left) <= 0.88
