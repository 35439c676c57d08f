"""Minutes of work as a shop logged them, drawn towards the usual ones while few were told."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from math import exp, log
from statistics import median

from models.planning.courses import Works

# steps whose minutes tell of an act; what else belongs to finishing (wiping, packing) no step tells
STEPS = {"strip": ("strip",), "turn": ("turn",), "finish": ("sand", "hone", "patch")}
ACTS = tuple(STEPS)
LAST = 10  # of an act that count: a shop changes
USUAL_COUNTS_AS = 3.0  # as so many told ones, OWN_JUDGEMENT


@dataclass(frozen=True)
class Took:
    """One act as it was logged, and what is usual for that piece [min]."""

    act: str
    minutes: float
    usual_min: float


@dataclass(frozen=True)
class Pace:
    """By how much an act takes longer than usual, dimensionless, and from how many logged ones."""

    times: float
    told: int


def paces(told: Iterable[Took]) -> dict[str, Pace]:
    """Of each act that was logged the median of what it took over the usual, in logarithms drawn to
    it by n / (n + 3). Finishing is only ever longer: what was told is a part of it.

    told : the newest first; the last ten of an act count
    Source: OWN_JUDGEMENT; a median, so that one interrupted afternoon moves nothing.
    """
    by_act: dict[str, list[float]] = {}
    for one in told:
        logs = by_act.setdefault(one.act, [])
        if len(logs) < LAST:
            logs.append(log(one.minutes / one.usual_min))
    found = {}
    for act, logs in by_act.items():
        count = len(logs)
        times = exp(median(logs) * count / (count + USUAL_COUNTS_AS))
        found[act] = Pace(max(times, 1.0) if act == "finish" else times, count)
    return found


def at_pace(works: Works, known: Mapping[str, Pace]) -> Works:
    """Work at the pace of a shop [min]. Source: definition."""
    mine = {act: getattr(works, act) for act in known}
    changed = {
        act: replace(work, minutes=work.minutes * known[act].times) for act, work in mine.items()
    }
    return replace(works, **changed)
