"""Temperature of a fresh mix from its parts.

Source     ACI_305R and ACI_306R mixing formula (CAC chapter 17); scribd.com/document/614184084.
Page says  aggregate 2000 kg at 41 C, cement 375 kg at 46.2 C, water 180 kg at 35 C: 40.1 C.
Status     page for the formula without ice and the example; from memory for the ice term.
Tolerance  0.05 C, half a unit of the page's last digit.
"""

import pytest

from models.concrete import setting


def test_batch_on_a_hot_day() -> None:
    solids = 2000.0 + 375.0
    got = setting.mix_temperature(
        dry_kg=solids, dry_C=(2000.0 * 41.0 + 375.0 * 46.2) / solids, water_kg=180.0, water_C=35.0
    )
    assert got == pytest.approx(40.1, abs=0.05)
    assert got == pytest.approx(40.07, abs=0.01)


def test_water_for_a_mix_of_20_degrees_from_cold_bags() -> None:
    got = setting.water_temperature_for(wanted_C=20.0, dry_kg=27.2, dry_C=5.0, water_kg=3.0)
    assert got == pytest.approx(49.9, abs=0.1)
    back = setting.mix_temperature(dry_kg=27.2, dry_C=5.0, water_kg=3.0, water_C=got)
    assert back == pytest.approx(20.0, abs=1e-9)
