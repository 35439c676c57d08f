"""How often what came lay inside what was told: by what it was, how far ahead, what was known."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from models.concrete.mixture import Mixture
from models.planning.predicted import Band

FEWEST = 10  # cases under which a share says nothing
INSIDE, LATE = (0.75, 0.85), 0.10  # wished: eight of ten inside, at most one of ten late
EARLY_LABEL_H = 168.0  # a label of less tells of the first days
LEADS_H = (12.0, 24.0, 72.0, 168.0)  # bounds of how far ahead
LATER = float("inf")


class Judged:
    """What was told at 10, 50 and 90 % and what came, on a scale on which more is later."""

    low: float
    middle: float
    high: float
    came: float

    @property
    def late(self) -> bool:
        return self.came > self.high

    @property
    def early(self) -> bool:
        return self.came < self.low

    @property
    def inside(self) -> bool:
        return not (self.late or self.early)

    @property
    def width(self) -> float:
        """Of the band over its middle; infinite where an end is."""
        whole = np.isfinite(self.high) and np.isfinite(self.middle)
        return abs((self.high - self.low) / self.middle) if whole else float(np.inf)

    @property
    def place(self) -> float:
        """Where it came: 0 in the middle, -1 and 1 at the edges; bounded where an edge is not."""
        edge = self.high if self.came >= self.middle else self.low
        reach = abs(edge - self.middle)
        if not np.isfinite(reach):
            return 0.0 if np.isfinite(self.middle) else -2.0
        return float(np.clip((self.came - self.middle) / max(reach, 1e-9), -9.0, 9.0))


@dataclass(frozen=True)
class Case(Judged):
    """One thing that was observed of a pour.

    step : what was observed, as a set or a strength; known : of the label, see `knowledge`
    lead_h : from placing to what came [h], since it is asked as it would have been at placing
    """

    step: str
    known: str
    lead_h: float
    low: float
    middle: float
    high: float
    came: float


@dataclass(frozen=True)
class Share:
    """A share with its 95 % interval by Wilson's score, as if pours were independent."""

    part: int
    whole: int

    @property
    def interval(self) -> tuple[float, float]:
        z, p = 1.96, self.part / self.whole
        middle, half = p + z * z / 2 / self.whole, z / self.whole
        half *= (p * (1 - p) * self.whole + z * z / 4) ** 0.5
        low, high = ((middle + sign * half) / (1 + z * z / self.whole) for sign in (-1, 1))
        return max(low, 0.0), min(high, 1.0)

    def outside(self, least: float, most: float) -> bool:
        """Whether the whole interval lies outside what is wished."""
        low, high = self.interval
        return high < least or low > most


def late(cases: Sequence[Judged]) -> Share:
    return Share(sum(one.late for one in cases), len(cases))


def inside(cases: Sequence[Judged]) -> Share:
    return Share(sum(one.inside for one in cases), len(cases))


def early(cases: Sequence[Judged]) -> Share:
    return Share(sum(one.early for one in cases), len(cases))


def failed(cases: Sequence[Judged]) -> tuple[str, ...]:
    """Which of the wishes they fail for sure: `late`, `inside`."""
    wrong = ("late",) if late(cases).outside(0.0, LATE) else ()
    return (*wrong, "inside") if inside(cases).outside(*INSIDE) else wrong


def set_seen(step: str, known: str, seen_h: float, band: Band) -> Case:
    """A set that was seen so long after placing [h]."""
    low, middle, high = (LATER if one is None else one for one in (band.p10, band.p50, band.p90))
    return Case(step, known, seen_h, low, middle, high, seen_h)


def broken(step: str, known: str, at_h: float, MPa: float, band: Band) -> Case:
    """A test broken so long after placing [h]. Less strength than was told is late."""
    p10, p50, p90 = (0.0 if one is None else one for one in (band.p10, band.p50, band.p90))
    return Case(step, known, at_h, -p90, -p50, -p10, -MPa)


def knowledge(mixture: Mixture) -> str:
    """What was known of a mix: `none`, `early`, `28 days`, `early and 28`."""
    ages = [one.age_h for one in mixture.label]
    early_on = any(age <= EARLY_LABEL_H for age in ages)
    whole = any(age > EARLY_LABEL_H for age in ages)
    if early_on and whole:
        return "early and 28"
    return "early" if early_on else "28 days" if whole else "none"


def lead_of(case: Case) -> float:
    """The bound of how far ahead it was told [h]."""
    return next((bound for bound in LEADS_H if case.lead_h <= bound), LATER)


def rows(cases: Iterable[Case]) -> Iterator[tuple[str, str, float | None, list[Case]]]:
    """Step, knowledge and lead with their cases; lead None: of any. In the order of the first."""
    every = list(cases)
    for step, known in dict.fromkeys((one.step, one.known) for one in every):
        some = [one for one in every if (one.step, one.known) == (step, known)]
        yield step, known, None, some
        for bound in (*LEADS_H, LATER):
            told = [one for one in some if lead_of(one) == bound]
            if told and len(told) < len(some):
                yield step, known, bound, told
