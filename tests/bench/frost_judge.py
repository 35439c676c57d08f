"""How often a cleared pour of the frost season freezes: `python tests/bench/frost_judge.py [pours]
[seed] [members]`.

Prints, asserts nothing. tests/support/frost_pours.py says what is poured, how it is judged and that
nothing of the program judges. Wanted: of the pours cleared at most 5 % freeze, at most 10 % in a
yard 1 K colder on clear nights that the program was not told of; of the starts that were safe in
some way the shop has, at least 75 % were cleared. Beside each share stands its 95 % interval
(Wilson) as if pours were independent; those of one night are not. With members it prints as well
what this solver, in place of the program, would clear on the same forecasts.

Two things the judge's truth has and a shop on its first day cannot know: forecasts of winter lows
were half a kelvin too cold in the mean, and what a bag bears after one day. So the same starts are
judged as well with either or both told: kept forecasts teach the first, many bags print the second.
"""

import sys
import time
from collections import Counter
from collections.abc import Iterable, Sequence
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from models.planning.watch import allowed
from models.simulation.scenario import ShopRules
from tests.support.frost_pours import (
    CLASSES,
    CRITICAL_ICE,
    Outcome,
    Verdict,
    judged,
    starts,
    within_reach,
)

OF_FROST = ("", "freezes")
CONFIDENCE = 0.9


def share(part: int, whole: int) -> str:
    """A share with its 95 % interval by Wilson's score."""
    if not whole:
        return "   none"
    z, p = 1.96, part / whole
    middle, half = p + z * z / 2 / whole, z * (p * (1 - p) / whole + (z / 2 / whole) ** 2) ** 0.5
    low, high = ((middle + sign * half) / (1 + z * z / whole) for sign in (-1, 1))
    return f"{part:4d} of {whole:4d}  {p:6.1%}  ({max(low, 0):.0%} to {min(high, 1):.0%})"


def frozen(outcomes: Sequence[Outcome | None], critical: float = CRITICAL_ICE) -> str:
    poured = [one for one in outcomes if one is not None]
    return share(sum(one.froze(critical) for one in poured), len(poured))


def told(words: str, found: Sequence[Verdict]) -> None:
    safe = [one for one in found if one.safe]
    by_frost = [one for one in safe if one.why in OF_FROST]
    print(f"{words}: {len(found)} starts")
    print(f"  cleared and froze             {frozen([v.came for v in found])}  (wanted <= 5 %)")
    print(f"  the same in a colder yard     {frozen([v.colder for v in found])}  (wanted <= 10 %)")
    cleared = share(sum(one.chosen is not None for one in safe), len(safe))
    print(f"  safe and cleared              {cleared}  (wanted >= 75 %)")
    cleared = share(sum(one.chosen is not None for one in by_frost), len(by_frost))
    print(f"  of those not held for another reason  {cleared}")


def main() -> None:
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 200
    seed = int(sys.argv[2]) if len(sys.argv) > 2 else 2013
    members = int(sys.argv[3]) if len(sys.argv) > 3 else 0
    pours = [pour.at_confidence(CONFIDENCE) for pour in starts(count, seed)]
    spent = time.process_time()
    found = [judged(pour) for pour in pours]
    spent = time.process_time() - spent
    told(f"at {CONFIDENCE:.0%}", found)
    told("forecasts kept for a winter", [judged(pour.taught()) for pour in pours])
    told("first day on the label", [judged(pour.first_day_told()) for pour in pours])
    told("both", [judged(pour.taught().first_day_told()) for pour in pours])
    for critical in (0.05, 0.33):
        here = frozen([one.came for one in found], critical)
        colder = frozen([one.colder for one in found], critical)
        print(f"  froze by {critical:.0%} of the water     {here}; colder yard {colder}")
    print(f"  poured regardless, warmest way  {frozen([one.warmest for one in found])}")
    if members:
        run = allowed("freezes", CONFIDENCE), 1 - CONFIDENCE
        reached = [one for k, one in enumerate(found) if within_reach(one, *run, members, k)]
        safe = sum(one.safe for one in reached)
        print(f"  within reach: froze           {frozen([one.warmest for one in reached])}")
        print(f"  within reach: safe and cleared {share(safe, sum(one.safe for one in found))}")
    for kind in CLASSES:
        told(kind, [one for one in found if one.pour.kind == kind])
    print("ways chosen:", _counted(one.chosen.words if one.chosen else "wait" for one in found))
    held = [one.why for one in found if one.safe and one.chosen is None]
    print("safe and not cleared for:", _counted(held))
    for one in found:
        if one.came is not None and one.came.froze():
            pour, way = one.pour, one.chosen
            assert way is not None
            print(
                f"  froze: {pour.kind}, {pour.scenario.shape.section_mm:g} mm, {pour.asked},"
                f" low {pour.lowest_C:.1f} C, {way.words}, ice {one.came.ice:.0%}"
            )
    default = ShopRules().confidence
    if default != CONFIDENCE:
        again = [judged(pour.at_confidence(default)) for pour in pours]
        told(f"at the default of {default:.0%}", again)
    print(f"{1e3 * spent / count:.0f} ms of core a start")


def _counted(names: Iterable[str]) -> str:
    return ", ".join(f"{name} {n}" for name, n in Counter(names).most_common())


if __name__ == "__main__":
    main()
