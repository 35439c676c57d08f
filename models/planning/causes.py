"""Why a piece cracked, curled, stained, bloomed, dusted or peeled: what its log speaks for."""

from dataclasses import dataclass

import numpy as np

from models.errors import Unknown
from models.facts.faults import AGAINST, OUTSET, SPEAKS, STRONGLY, TRACES, WEIGHTS
from models.message import Message
from models.planning.found import Found
from models.units import one_of


@dataclass(frozen=True)
class Cause:
    """One cause with its number in `found`, what to change next time, how many times likelier
    that number makes it, and the chance that it had a part, as such things go."""

    cause: str
    found: Message
    change: Message
    likelier: float
    chance: float
    sources: tuple[str, ...]

    @property
    def strongly(self) -> bool:
        return self.likelier >= STRONGLY


@dataclass(frozen=True)
class Causes:
    """Causes of a fault: those that the log speaks for, the likeliest first; those it does not
    speak for; and those of which it holds nothing. `missing` says why nothing was looked at."""

    fault: str
    speaks_for: tuple[Cause, ...]
    silent: tuple[Cause, ...]
    untold: tuple[str, ...]
    missing: Message | None = None


def ranked(fault: str, found: dict[str, Found] | Unknown) -> Causes:
    """What a log says of a fault. Several causes may have a part, so each is judged by itself.

    odds = odds at the outset x how many times likelier its trace makes it

    found : by cause; without weather, what is missing
    Source: OWN_JUDGEMENT for the weights (facts.faults), Bayes' rule for what becomes of them.
    """
    weights = WEIGHTS[one_of("fault", fault, WEIGHTS)]
    if isinstance(found, Unknown):
        return Causes(fault, (), (), tuple(weights), found.message)
    told = [_cause(cause, found[cause], most) for cause, most in weights.items() if cause in found]
    told.sort(key=lambda one: one.likelier, reverse=True)
    return Causes(
        fault,
        tuple(one for one in told if one.likelier >= SPEAKS),
        tuple(one for one in told if one.likelier < SPEAKS),
        tuple(cause for cause in weights if cause not in found),
    )


def likelier(cause: str, number: float, most: float) -> float:
    """How many times likelier a number of the log makes a cause, dimensionless.

    number : that of facts.faults.TRACES; most : by a loud trace, above 1
    Source: OWN_JUDGEMENT, a straight line of the logarithm between a quiet and a loud trace.

    >>> likelier("cold-hours", 24.0, 3.0), likelier("cold-hours", 0.0, 3.0)
    (3.0, 0.2)
    """
    row = TRACES[cause]
    part = float(np.clip((number - row.quiet) / (row.loud - row.quiet), 0.0, 1.0))
    return float(AGAINST ** (1 - part) * most**part)


def _cause(cause: str, found: Found, most: float) -> Cause:
    times = likelier(cause, found.number, most)
    odds = OUTSET / (1 - OUTSET) * times
    code = cause.replace("-", "_")
    return Cause(
        cause,
        Message(f"cause_{code}", found.values),
        Message(f"change_{code}", found.values),
        times,
        odds / (1 + odds),
        TRACES[cause].sources,
    )
