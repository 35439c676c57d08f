"""How old a forecast is, and when it is of no more use."""

from datetime import datetime, timedelta
from typing import Literal

Grade = Literal["fresh", "ageing", "stale", "none"]

FRESH = timedelta(hours=6)
AGEING = timedelta(hours=24)
STALE = timedelta(hours=72)
CLOCKS_APART = timedelta(minutes=5)  # two machines' clocks; more is no longer a young forecast


def grade(issued_at: datetime, now: datetime) -> Grade:
    """fresh under 6 h, ageing under 24 h, stale under 72 h; beyond that, or of the future, none."""
    age = now - issued_at
    if age < -CLOCKS_APART or age >= STALE:
        return "none"
    if age < FRESH:
        return "fresh"
    return "ageing" if age < AGEING else "stale"
