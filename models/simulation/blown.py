"""Covers that the wind takes at night and somebody lays again in the morning, member by member."""

from collections import defaultdict
from collections.abc import Callable, Sequence
from datetime import UTC, datetime, time, timedelta
from functools import lru_cache
from zoneinfo import ZoneInfo

import numpy as np

from models.concrete import heat
from models.facts.protection import COVERS, NIGHT_H, STAYS_FRACTION, TAKEN_A_NIGHT
from models.instants import within_hours
from models.simulation.scenario import Scenario
from models.units import Array, Index, Mask

Lying = tuple[str, float, float]  # kind of a cover, hours from placing at which it is on and off


def spells(
    lying: Sequence[Lying], wind_m_s: Array, night: Callable[[], Mask], luck: Array
) -> list[tuple[float, float, Index]]:
    """From when to when members lie without their covers [h], and which, (n,) places in (members,).

    lying : what lies there and when; wind_m_s : (rows, members) at the piece, hourly from placing
    night : gives (rows, members) or (rows, 1), nobody of the shop is there
    luck : (members,) 0 to 1, who has little loses a cover first

    A member's wind adds up to a chance that something was blown off; its luck says at which. By
    day it is laid again at once; what is blown off by night lies beside the piece until then.

    Source: OWN_JUDGEMENT, facts.protection; covers by COMMON_PRACTICE.
    """
    rows = len(wind_m_s)
    hour = np.arange(float(rows))
    bears_m_s = np.zeros(rows)  # of the strongest there: it holds what lies under it
    for kind, on_h, off_h in lying:
        lies = (hour >= on_h) & (hour < off_h)
        bears_m_s[lies] = np.maximum(bears_m_s[lies], COVERS[kind].wind_m_s)
    bears_m_s[bears_m_s == 0] = np.inf
    if not (wind_m_s.max(axis=1) > STAYS_FRACTION * bears_m_s).any():
        return []
    over = wind_m_s / bears_m_s[:, None] - STAYS_FRACTION
    an_hour = -np.log1p(-TAKEN_A_NIGHT) / NIGHT_H
    nights = np.broadcast_to(night(), wind_m_s.shape)
    rate = an_hour * (np.maximum(over, 0.0) / (1 - STAYS_FRACTION)) ** 2 * nights
    gone = np.cumsum(rate, axis=0) >= -np.log1p(-luck)
    by_spell: dict[tuple[float, float], list[int]] = defaultdict(list)
    for place in np.flatnonzero(gone[-1]).tolist():
        first = int(np.argmax(gone[:, place]))
        lasts = int(np.argmin(np.append(nights[first:, place], False)))
        by_spell[float(first), float(first + lasts)].append(place)
    return [(*spell, np.array(places)) for spell, places in by_spell.items()]


def put_into(histories: heat.Histories, some: Index, part: heat.Histories) -> None:
    """Histories of some members, by their places, in place of what is there."""
    for whole, own in zip(histories, part, strict=True):
        whole[:, some] = own


def nobody_there(scenario: Scenario, rows: int) -> Mask:
    """Whether each hour from placing lies outside the shop's hours, (rows + 1, 1)."""
    placed, working = scenario.placement.at, scenario.rules.working_hours
    return _outside(placed.astimezone(UTC), scenario.site.timezone, working, rows)


@lru_cache(maxsize=16)
def _outside(begin: datetime, timezone: str, working: tuple[time, time], rows: int) -> Mask:
    """Kept, since every plan of a pour asks for the same hours."""
    zone = ZoneInfo(timezone)
    clocks = [(begin + timedelta(hours=h)).astimezone(zone).time() for h in range(rows + 1)]
    away = np.array([[not within_hours(working, clock)] for clock in clocks])
    away.setflags(write=False)
    return away
