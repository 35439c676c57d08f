"""A pour of 28 days on recorded weather: `python tests/bench/recorded_weather.py [days] [path]`.

Prints, asserts nothing. Each path of tests/replays/recorded_life.py: a refresh and a projection
every six hours, through the real readers of the services. How often it was looked at, how often a
step was blocked for want of weather, and how often frost was looked for.
"""

import importlib.util
import logging
import sys
import tempfile
from pathlib import Path
from types import ModuleType

from service.store import Store

TESTS = Path(__file__).parents[1]


def loaded(path: str) -> ModuleType:
    spec = importlib.util.spec_from_file_location(Path(path).stem, TESTS / path)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules[Path(path).stem] = module
    spec.loader.exec_module(module)
    return module


def main() -> None:
    logging.disable(logging.WARNING)
    days = float(sys.argv[1]) if len(sys.argv) > 1 else 28.0
    life, furnish = loaded("replays/recorded_life.py"), loaded("conftest.py").furnish
    print(f"{'path':88} looked  blocked  alerts asked")
    for key in sys.argv[2:] or life.PATHS:
        path = life.PATHS[key]
        with tempfile.TemporaryDirectory() as folder:
            store = Store(f"sqlite:///{folder}/shop.sqlite3")
            store.upgrade()
            bench = furnish(store, path.placed_at)
            found = life.live(store, bench, path, days, 6.0, 6.0)
            store.close()
        asked = len(found.looked_h) - len(found.unasked_h)
        print(
            f"{path.words:88} {len(found.looked_h):6d}  {len(found.blocked_h):7d}"
            f"  {asked} of {len(found.looked_h)}",
            *[f"\n    {step}: {why[:150]}" for step, why in list(found.blocked_steps.items())[:4]],
            flush=True,
        )


if __name__ == "__main__":
    main()
