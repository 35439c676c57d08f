"""How often a cleared pour freezes: `python tests/bench/pour_check_replays.py [replays] [seed]`.

Prints, asserts nothing. See tests/replays/replayed_checks.py for what is replayed. Wanted: of the
pours cleared at 90 % at most 10 % meet frost before frost strength; of the starts that turned out
safe in some way the shop has, at least 80 % were cleared in some way.
"""

import importlib.util
import sys
from pathlib import Path
from types import ModuleType
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:  # this script runs without the folder above it
    from tests.replays.replayed_checks import Replay

REPLAYS = Path(__file__).parents[1] / "replays"


def loaded(name: str) -> ModuleType:
    spec = importlib.util.spec_from_file_location(name, REPLAYS / f"{name}.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules[name] = module
    spec.loader.exec_module(module)
    return module


def share(part: int, whole: int) -> str:
    return f"{part:4d} of {whole:4d}  {part / whole:6.1%}" if whole else "   none"


def told(words: str, found: list["Replay"]) -> None:
    cleared = [r for r in found if r.chosen]
    frozen = [r for r in cleared if r.froze[r.chosen]]
    every = [(r, way) for r in found for way, ok in r.cleared.items() if ok]
    bad = [(r, way) for r, way in every if r.froze[way]]
    safe = [r for r in found if any(r.safe.values())]
    got = [r for r in safe if r.chosen]
    print(f"{words}: {len(found)} starts")
    print(
        f"  cleared, cheapest way, and froze  {share(len(frozen), len(cleared))}  (wanted <= 10 %)"
    )
    print(f"  cleared in any way, and froze     {share(len(bad), len(every))}")
    print(f"  safe in some way, and cleared     {share(len(got), len(safe))}  (wanted >= 80 %)")


def main() -> None:
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 300
    seed = int(sys.argv[2]) if len(sys.argv) > 2 else 2013
    record, checks = loaded("record_2013"), loaded("replayed_checks")
    random = np.random.default_rng(seed)
    found: list[Replay] = []
    k = 0
    while len(found) < count:
        one = checks.replay(random, record, k)
        k += 1
        if one is not None:
            found.append(one)
    told("all year", found)
    told("frost about (air under 3 C within three days)", [r for r in found if r.cold])
    told("no frost about", [r for r in found if not r.cold])
    used: dict[str, int] = {}
    for one in found:
        used[one.chosen or "wait"] = used.get(one.chosen or "wait", 0) + 1
    print(
        "answers:", ", ".join(f"{way} {n}" for way, n in sorted(used.items(), key=lambda x: -x[1]))
    )
    for one in found:
        if one.chosen and one.froze[one.chosen]:
            print("  froze:", one.station, one.asked, f"{one.lowest_C:.1f} C", one.chosen)


if __name__ == "__main__":
    main()
