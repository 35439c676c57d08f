"""What a stored answer may still say: age can only take an open window away."""

from collections.abc import Sequence
from datetime import datetime, timedelta
from typing import Any

from models.message import Message
from models.results import StepWindow
from service.answer_fields import MessageResponse
from service.answers import StepWindowResponse
from service.weather.choose import CLOCKS_APART
from service.words import say
from service.words.reader import PLAIN

LASTS = timedelta(
    minutes=75
)  # the longest interval of projecting, and a quarter: older opens nothing


def is_fresh(at: datetime, now: datetime, lasts: timedelta = LASTS) -> bool:
    """Whether something made then still counts; made by a clock that was ahead it does not."""
    return -CLOCKS_APART <= now - at <= lasts


def state_now(window: StepWindowResponse, now: datetime, checked_at: datetime) -> tuple[str, str]:
    """State and reason of a step that was told when it was last reckoned."""
    told = standing(window, now, checked_at)
    return told.state, told.because


def standing(window: StepWindowResponse, now: datetime, checked_at: datetime) -> StepWindowResponse:
    """The step as it may be told now."""
    if window.state not in ("open", "closing"):
        return window
    if window.latest is not None and window.latest < now:
        return window.model_copy(update={"state": "past"})
    if is_fresh(checked_at, now):
        return window
    stale = _stale(now - checked_at)
    reasons = [MessageResponse(code=stale.code, values=dict(stale.values)), *window.reasons]
    because = f"{say(stale, PLAIN)} {window.because}"
    blocked: dict[str, Any] = {"state": "blocked", "because": because, "reasons": reasons}
    unmissed = {"missed": "", "missed_code": None}
    return window.model_copy(update=blocked | unmissed)


def opens(window: StepWindow | StepWindowResponse) -> datetime | None:
    """The one hour that is told everywhere: the safe one; even odds, no later than its end, where
    the window is too short to have one, since the hand then decides."""
    early, latest = window.earliest, window.latest
    if early.safe and latest and latest < early.safe:
        return min(early.p50 or early.safe, latest)
    return early.safe or (early.p50 if window.by_check else None)


def hours(windows: Sequence[StepWindowResponse]) -> list[datetime]:
    """At which a step that is not done opens or closes, in their order."""
    left = (one for one in windows if one.state != "done")
    told = (at for one in left for at in (one.earliest.p50, one.earliest.safe, one.latest))
    return sorted(at for at in told if at is not None)


def by_hand(window: StepWindowResponse) -> bool:
    """Whether the clock cannot tell closely, so that the check by hand decides alone."""
    safe, latest = window.earliest.safe, window.latest
    return window.earliest.p50 is not None and (
        (window.by_check and safe is None)
        or (safe is not None and latest is not None and latest < safe)
    )


def _stale(age: timedelta) -> Message:
    hours = age / timedelta(hours=1)
    if hours < 0:
        return Message("stale_ahead")
    if hours < 2:
        return Message("stale_min", {"age_min": hours * 60})
    if hours < 48:
        return Message("stale_h", {"age_h": hours})
    return Message("stale_days", {"age_days": hours / 24})
