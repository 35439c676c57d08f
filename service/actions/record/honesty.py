"""How good the answers of a shop were: what was seen or broken, against what it would have told."""

from collections import Counter
from dataclasses import dataclass
from datetime import datetime

from sqlmodel import Session

from models.errors import InputError, Unknown
from models.planning import honesty
from models.planning.honesty import Case
from models.planning.predicted import predict
from models.simulation.scenario import SET_KINDS
from service.actions.pours.tell_how import LOST
from service.actions.windows.scenario_rows import Gathered, gather_rows
from service.answers import read_answer
from service.queries import projections
from service.queries.observed import outcomes, seen_ids
from service.queries.pours import load_pour
from service.store import Store

MOST = 10_000
CLEAN = "clean"


@dataclass(frozen=True)
class Outcomes:
    """Weak evidence: pieces stripped before and after their told hour, and those that came out
    clean; a maker strips when it suits, and a clean piece may have been strong for days."""

    before: int = 0
    before_clean: int = 0
    after: int = 0
    after_clean: int = 0

    @property
    def count(self) -> int:
        return self.before + self.after


@dataclass(frozen=True)
class Honesty:
    """cases : the newest pours first; untold : pours of which nothing could be told, for want of
    weather; older : whether older pours were left out"""

    cases: tuple[Case, ...]
    outcomes: Outcomes
    pours: int
    untold: int
    older: bool


def read_honesty(store: Store, now: datetime, most: int = MOST) -> Honesty:
    """Handed the store, since no transaction may be open while it calculates.

    Each is asked as at placing, knowing nothing of what was seen later but the weather as it came.
    most : pours that are looked at, the newest first
    """
    with store.reading() as session:
        keys = seen_ids(session, SET_KINDS, LOST, most + 1)
        weak = _outcomes(session, most)
    cases: list[Case] = []
    untold = 0
    for key in keys[:most]:
        with store.reading() as session:
            try:
                rows = load_pour(session, key)
                end = rows.end(now)
                gathered = gather_rows(session, end, rows)
            except InputError:
                untold += 1
                continue
        found = _cases(gathered, end)
        untold += not found
        cases += found
    return Honesty(tuple(cases), weak, len(keys[:most]), untold, len(keys) > most)


def _cases(gathered: Gathered, now: datetime) -> list[Case]:
    scenario = gathered.scenario
    told = predict(scenario, gathered.air, now)
    if isinstance(told, Unknown):
        return []
    known = honesty.knowledge(scenario.mixture)
    sets = [
        honesty.set_seen(one.kind, known, scenario.hour(one.at), band)
        for one, band in zip(scenario.observations, told.observations, strict=True)
        if one.kind in SET_KINDS and band is not None
    ]
    tests = [
        honesty.broken("strength", known, scenario.hour(one.at), one.MPa, band)
        for one, band in zip(scenario.tests, told.tests, strict=True)
        if band is not None
    ]
    return [*sets, *tests]


def _outcomes(session: Session, most: int) -> Outcomes:
    count: Counter[str] = Counter()
    for pour, done in outcomes(session, LOST, most):
        row = projections.before_done(session, pour.id).get(done.step)
        if row is None:
            continue
        steps = read_answer(row.answer).steps
        safe = next((one.earliest.safe for one in steps if one.step == done.step), None)
        when = "after" if safe is not None and done.at >= safe else "before"
        count[when] += 1
        count[f"{when}_clean"] += done.came_out == CLEAN
    return Outcomes(**count)
