"""How much a shop of five pieces is told: `python tests/bench/notice_budget.py [days] [seed]`.

Prints, asserts nothing. Wanted of each person, of forecasts that miss as measured: at most three
notices a day besides alarms, at most one alarm a night, and the share of alarms of which nothing
came. The same code in tests/support/notice_season.py holds a short sample in
tests/replays/test_notice_budget.py.
"""

import sys
import time
from datetime import datetime
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from tests.support.notice_season import ZONE, Season, season

STARTS = ("2013-01-14", "2013-03-11", "2013-04-08", "2013-07-15", "2013-10-14", "2013-11-18")
MOST_A_DAY, MOST_A_NIGHT = 3, 1


def lines(found: Season) -> list[str]:
    """What was counted, and each day and night over the budget with what was told in it."""
    days, nights = found.a_day(), found.a_night()
    false = [one for one in found.alarms if found.was_false(one)]
    out = [
        f"  notices {days.total()}, at most {max(days.values(), default=0)} a day;"
        f" alarms {len(found.alarms)}, at most {max(nights.values(), default=0)} a night,"
        f" false {len(false)}"
    ]
    for day, count in sorted(days.items()):
        if count > MOST_A_DAY:
            told = [one.title for one in found.told if one.day == day and not one.is_alarm]
            out.append(f"  {day}: {count} notices: " + "; ".join(told))
    for night, count in sorted(nights.items()):
        if count > MOST_A_NIGHT:
            told = [one.title for one in found.alarms if one.night == night]
            out.append(f"  night of {night}: {count} alarms: " + "; ".join(told))
    out += [f"  false: {one.at.astimezone(ZONE):%d %b %H:%M} {one.title}" for one in false]
    return out


def main(days: float, seed: int) -> None:
    for start in STARTS:
        begin, clock = datetime.fromisoformat(f"{start}T15:00").replace(tzinfo=ZONE), time.time()
        found = season(begin, days, seed=seed)
        print(f"{start}, {days:g} days ({time.time() - clock:.0f} s)")
        print("\n".join(lines(found)), flush=True)
        if found.helper is not None:
            print(" a helper with other hours:", *lines(found.helper), sep="\n", flush=True)


if __name__ == "__main__":
    main(float(sys.argv[1]) if len(sys.argv) > 1 else 14.0, int((sys.argv[2:] or ["1"])[0]))
