"""A sheet of the mill: what it tells, who is believed first, and what cannot be on it."""

from pathlib import Path

import numpy as np
import pytest

from models.concrete import composition, prior
from models.concrete.composition import Composition
from models.concrete.mixture import Mixture
from models.errors import InputError
from models.facts import composition as facts
from models.facts.cements import CLASSES
from service import scenario_file

SLAG = Composition(slag_pct=50.0)


def test_half_slag_gives_its_heat_later_than_plain_cement() -> None:
    plain = prior.draw(Mixture("general-purpose", cement=Composition()), 512, 1)
    slag = prior.draw(Mixture("general-purpose", cement=SLAG), 512, 1)
    assert np.median(slag.tau_h) > 2.0 * np.median(plain.tau_h)
    assert np.median(slag.activation_energy_kJ_mol) > np.median(plain.activation_energy_kJ_mol)


def test_finer_cement_hydrates_faster_and_ash_of_little_lime_gives_less_heat() -> None:
    fine, coarse = Composition(blaine_m2_kg=550.0), Composition(blaine_m2_kg=300.0)
    assert composition.time_constant(fine, 40.0) < 0.65 * composition.time_constant(coarse, 40.0)
    ash = Composition(fly_ash_pct=30.0, fly_ash_CaO_pct=3.0)
    assert composition.total_heat(ash) < 0.75 * composition.total_heat(Composition())


def test_what_the_maker_tells_goes_before_the_sheet_and_the_sheet_before_the_class() -> None:
    from_class = prior.draw(Mixture("general-purpose"), 2048, 3)
    sheet = prior.draw(Mixture("general-purpose", cement=SLAG), 2048, 3)
    told = prior.draw(
        Mixture(
            "general-purpose",
            cement=SLAG,
            hydration_tau_h=11.0,
            hydration_beta=1.1,
            heat_kJ_kg=300.0,
            activation_energy_kJ_mol=50.0,
        ),
        2048,
        3,
    )
    kind = CLASSES["general-purpose"]
    assert np.median(from_class.tau_h) == pytest.approx(kind.hydration_tau_h, rel=0.03)
    tau = kind.hydration_tau_h * np.exp(2.187 * 0.5)
    assert np.median(sheet.tau_h) == pytest.approx(tau, rel=0.03)
    beta = kind.hydration_beta * np.exp(-0.647 * 0.5)
    assert np.median(sheet.beta) == pytest.approx(beta, rel=0.03)
    slag, plain = (
        composition.total_heat(one) * composition.ultimate(one, kind.water_cement)
        for one in (SLAG, Composition())
    )
    assert np.median(sheet.heat_kJ_kg) == pytest.approx(kind.heat_kJ_kg * slag / plain, rel=0.03)
    assert np.median(told.tau_h) == pytest.approx(11.0, rel=0.03)
    assert np.median(told.beta) == pytest.approx(1.1, rel=0.03)
    assert np.median(told.heat_kJ_kg) == pytest.approx(300.0, rel=0.03)
    assert told.activation_energy_kJ_mol.mean() == pytest.approx(50.0, abs=0.3)


def test_a_told_degree_takes_the_place_of_the_calculated_one() -> None:
    mix = prior.draw(Mixture("flowing", cement=SLAG, hydration_ultimate=0.6), 2048, 4)
    whole = prior.draw(Mixture("flowing", cement=SLAG, hydration_ultimate=1.0), 2048, 4)
    assert mix.heat_kJ_kg == pytest.approx(0.6 * whole.heat_kJ_kg)


def test_white_cement_keeps_the_energy_of_its_class() -> None:
    white = Composition(63.0, 18.0, 10.0, 1.0, 2.7, blaine_m2_kg=482.0)
    assert composition.activation_energy(white) is None
    mix = prior.draw(Mixture("general-purpose", cement=white), 2048, 5)
    energy = CLASSES["general-purpose"].activation_energy_kJ_mol
    assert mix.activation_energy_kJ_mol.mean() == pytest.approx(energy, abs=0.5)


@pytest.mark.parametrize(
    ("sheet", "field", "words"),
    [
        ({"C3S_pct": 75.0}, "C3S_pct", "117 % of the cement"),
        ({"C3S_pct": 0.54}, "C3S_pct", "20 to 80 %"),
        ({"C3S_pct": 20.0}, "C3S_pct", "62 % of the cement"),
        ({"C3A_pct": 0.0}, "C3A_pct", "1 to 20 %"),
        ({"blaine_m2_kg": 3700.0}, "blaine_m2_kg", "250 to 700 m2/kg"),
        ({"slag_pct": 60.0, "fly_ash_pct": 30.0}, "slag_pct", "together at most 80 %"),
        ({"slag_pct": -1.0}, "slag_pct", "0 to 80 %"),
        ({"fly_ash_CaO_pct": float("nan")}, "fly_ash_CaO_pct", "not a finite number"),
        ({"SO3_pct": 1.0, "slag_pct": 80.0, "blaine_m2_kg": 250.0}, "blaine_m2_kg", "100 h"),
    ],
)
def test_a_sheet_that_cannot_be_is_refused_with_what_is_allowed(
    sheet: dict[str, float], field: str, words: str
) -> None:
    with pytest.raises(InputError, match=words) as refused:
        Composition(**sheet)
    assert refused.value.field == field
    assert refused.value.allowed


@pytest.mark.parametrize("name", facts.RANGES)
def test_every_end_of_every_range_draws_members_that_can_be(name: str) -> None:
    low, high, _ = facts.RANGES[name]
    drawn = 0
    for value in (low, high):
        rest = {"C3S_pct": 60.0, "C2S_pct": 10.0, "C3A_pct": 5.0, "C4AF_pct": 5.0} | {name: value}
        if name == "C3S_pct":
            rest["C2S_pct"] = 75.0 - min(value, 75.0)
        try:
            cement = Composition(**rest)
        except InputError:
            continue
        mix = prior.draw(Mixture("general-purpose", cement=cement), 256, 6)
        assert ((mix.tau_h > 0.1) & (mix.tau_h < 300.0)).all()
        assert ((mix.beta > 0.1) & (mix.beta < 5.0)).all()
        assert ((mix.heat_kJ_kg > 50.0) & (mix.heat_kJ_kg < 700.0)).all()
        drawn += 1
    assert drawn


SCENARIO = """\
[place]
kind = "covered"
[mix]
class = "blended"
water_cement = 0.45
[mix.cement]
{sheet}
[piece]
shape = "panel"
length_mm = 900
width_mm = 600
thickness_mm = 50
[pour]
at = 2026-10-14T19:00:00-05:00
"""


def test_a_scenario_file_carries_the_sheet(tmp_path: Path) -> None:
    path = tmp_path / "slab.toml"
    sheet = 'C3S_pct = 58\nC2S_pct = "14 %"\nblaine_m2_kg = "3900 cm2/g"\nslag_pct = 40'
    path.write_text(SCENARIO.format(sheet=sheet), encoding="utf-8")
    cement = scenario_file.read(path).scenario.mixture.cement
    assert cement is not None
    told = (cement.C3S_pct, cement.C2S_pct, cement.blaine_m2_kg, cement.slag_pct)
    assert told == pytest.approx((58.0, 14.0, 390.0, 40.0))


@pytest.mark.parametrize(
    ("sheet", "words"),
    [
        ("C3S_pct = 90", "slab.toml: mix.cement.C3S_pct"),
        ("slagg_pct = 40", "slab.toml: mix.cement.slagg_pct.*slag_pct perhaps"),
        ('blaine_m2_kg = "390 kg"', "slab.toml: mix.cement.blaine_m2_kg"),
    ],
)
def test_a_slip_in_the_sheet_is_named_by_file_and_key(
    tmp_path: Path, sheet: str, words: str
) -> None:
    path = tmp_path / "slab.toml"
    path.write_text(SCENARIO.format(sheet=sheet), encoding="utf-8")
    with pytest.raises(InputError, match=words):
        scenario_file.read(path)
