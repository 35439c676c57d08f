"""Strength at 28 days from a label of 3 or 7 days, and by water alone.

Source     BOXCRETE_STRENGTH (tests/data/measured) for 3 days; YEH_1998 for 7 days and for water.
Page says  the strengths themselves. A mix is in half 0 or 1 by a digest of its name or recipe,
           whatever its rows: half 0 was fitted; half 1 judges the means, but was looked at while
           the scatter of young results and of slag and ash was chosen, so that only mixes from
           elsewhere judge the spread.
Status     open data.
Tolerance  half that judges: under the 10 % line of a result at most 12 % of the mixes; from 3 days
           two thirds inside 10 to 90 %, three quarters where slag and ash are told; from 7 days
           75 to 90 %; by water within 10 % in each band of water / cement. From 3 days two mixes
           of 25 stand within 1 % of a line, so that members by the thousand tell on which side.
"""

import csv
from collections.abc import Callable
from types import ModuleType

import numpy as np
import pandas as pd
import pytest

from models.concrete import maturity, prior
from models.concrete.composition import Composition
from models.concrete.mixture import LabelStrength, Mixture
from models.facts.cements import CLASSES
from models.units import Array
from tests.support.measured_mix import MEASURED, judges

FILE = MEASURED / "strength_by_age_all_22C.csv"
ROOM_C = 22.0
MEMBERS, MANY = 256, 2048
JUDGES = 1


def band_at_28_d(mixture: Mixture, room_C: float, members: int = MEMBERS) -> Array:
    """10 %, middle and 90 % of one result after 28 days in the room of its label [MPa]."""
    drawn = prior.draw(mixture, members)
    own = np.exp(prior.LABEL_SD * np.random.default_rng(1).standard_normal(members))
    rate = maturity.rate(
        room_C + CLASSES[mixture.kind].cube_warms_K,
        activation_energy_kJ_mol=drawn.activation_energy_kJ_mol,
        rise_kJ_mol_K=drawn.rise_kJ_mol_K,
    )
    return np.quantile(drawn.strength_at(672.0 * rate) / drawn.batch * own, [0.1, 0.5, 0.9])


def inside_and_below(bands: list[Array], got_MPa: list[float]) -> tuple[float, float]:
    """Shares of the results within the band, and under it."""
    low, _, high = np.array(bands).T
    got = np.array(got_MPa)
    return float(np.mean((low <= got) & (got <= high))), float(np.mean(got < low))


@pytest.mark.parametrize(("share_told", "least"), [(False, 0.65), (True, 0.75)])
def test_28_days_from_a_label_of_3_days(share_told: bool, least: float) -> None:
    with FILE.open(newline="") as file:
        rows = list(csv.DictReader(file))
    bands, got = [], []
    for name in sorted({row["mix"] for row in rows}):
        if not judges(name):
            continue
        mix = [row for row in rows if row["mix"] == name]
        MPa = {int(row["age_d"]): float(row["MPa"]) for row in mix}
        cement, ash, slag = (float(mix[0][f"{n}_kg_m3"]) for n in ("cement", "fly_ash", "slag"))
        parts = {"slag_pct": slag, "fly_ash_pct": ash}
        pct = {key: 100.0 * kg / (cement + ash + slag) for key, kg in parts.items()}
        if share_told and (pct["fly_ash_pct"] > 50.0 or sum(pct.values()) > 80.0):
            continue  # more than a sheet can say
        if MPa[3] < 0.5:
            continue
        told = Composition(**pct) if share_told and slag + ash else None
        kind = "blended" if slag + ash else "general-purpose"
        label = (LabelStrength(72.0, MPa[3], ROOM_C),)
        bands.append(band_at_28_d(Mixture(kind, label, cement=told), ROOM_C, MANY))
        got.append(MPa[28])
    inside, below = inside_and_below(bands, got)
    assert len(got) >= 25
    assert least <= inside <= 0.90
    assert below <= 0.12


@pytest.fixture(scope="module")
def tested(loaded: Callable[[str], ModuleType]) -> pd.DataFrame:
    held = loaded("bench/held_half.py")
    mixes: pd.DataFrame = held.mixes()
    half = [held.half_of(row) for row in mixes[held.RECIPE].to_numpy()]
    whole = mixes[[half_of == JUDGES for half_of in half]].copy()
    whole["added"] = whole.blast_furnace_slag + whole.fly_ash
    return whole


def test_28_days_from_a_label_of_7_days(tested: pd.DataFrame) -> None:
    bands, got = [], []
    for _, mix in tested[tested[7].notna()].iterrows():
        kind = "blended" if mix.added > 0 else "general-purpose"
        room_C = 20.0 - CLASSES[kind].cube_warms_K
        label = (LabelStrength(168.0, float(mix[7]), room_C),)
        bands.append(band_at_28_d(Mixture(kind, label), room_C))
        got.append(float(mix[28]))
    inside, below = inside_and_below(bands, got)
    assert len(got) >= 60
    assert 0.75 <= inside <= 0.90
    assert below <= 0.12


@pytest.mark.parametrize(("low", "high"), [(0.2, 0.4), (0.4, 0.5), (0.5, 0.6), (0.6, 0.9)])
def test_plain_mixes_by_water_alone(tested: pd.DataFrame, low: float, high: float) -> None:
    water = tested.water / tested.cement
    some = tested[(tested.added == 0) & (water > low) & (water <= high)]
    miss = [
        np.log(
            mix[28] / prior.draw(Mixture("general-purpose", water_cement=ratio), 64).named_28d_MPa
        )
        for (_, mix), ratio in zip(some.iterrows(), water[some.index], strict=True)
    ]
    assert len(miss) >= 8
    assert abs(np.expm1(np.mean(miss))) <= 0.10


def test_a_faster_cement_has_more_of_its_strength_after_a_day() -> None:
    """EN 197-1 asks 10, 20 and 30 MPa after 2 days of 42.5 N, 42.5 R and 52.5 R."""
    label = (LabelStrength(672.0, 40.0, 19.0),)
    day = [
        np.median(
            prior.draw(Mixture("flowing", label, cement_class=c), 64).strength_at(np.full(64, 24.0))
        )
        for c in ("32.5N", "42.5N", "42.5R")
    ]
    assert day[0] < day[1] < day[2]
