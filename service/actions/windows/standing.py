"""What a stored answer may still say: age can only take an open window away."""

from datetime import datetime, timedelta

from service.answers import StepWindowResponse
from service.weather.choose import CLOCKS_APART

LASTS = timedelta(
    minutes=75
)  # the longest interval of projecting, and a quarter: older opens nothing


def is_fresh(at: datetime, now: datetime, lasts: timedelta = LASTS) -> bool:
    """Whether something made then still counts; made by a clock that was ahead it does not."""
    return -CLOCKS_APART <= now - at <= lasts


def state_now(window: StepWindowResponse, now: datetime, checked_at: datetime) -> tuple[str, str]:
    """State and reason of a step that was told when it was last reckoned."""
    state, because = window.state, window.because
    if state not in ("open", "closing"):
        return state, because
    if window.latest is not None and window.latest < now:
        return "past", because
    if not is_fresh(checked_at, now):
        return "blocked", f"{_last(now - checked_at)}, and nothing newer is known. Then: {because}"
    return state, because


def standing(window: StepWindowResponse, now: datetime, checked_at: datetime) -> StepWindowResponse:
    """The step as it may be told now."""
    state, because = state_now(window, now, checked_at)
    missed = window.missed if state in (window.state, "past") else ""
    return window.model_copy(update={"state": state, "because": because, "missed": missed})


def _last(age: timedelta) -> str:
    if age < timedelta(0):
        return "Last reckoned by a clock that was ahead"
    hours = age / timedelta(hours=1)
    if hours < 2:
        return f"Last reckoned {age / timedelta(minutes=1):.0f} min ago"
    return f"Last reckoned {f'{hours:.0f} h' if hours < 48 else f'{hours / 24:.0f} days'} ago"
