"""What is asked before a step that is not open counts as done: never silently, never twice."""

from datetime import datetime, timedelta

from models.message import Message
from models.steps import registry
from service.actions.windows.standing import opens, standing
from service.answers import StepWindowResponse
from service.notify.words import doing
from service.words import chance

READY = ("open", "closing")
JUST_NOW = timedelta(minutes=5)


def questions(
    window: StepWindowResponse | None, at: datetime, now: datetime, checked_at: datetime | None
) -> list[Message]:
    """What speaks against the step at that instant, the gravest first; nothing: it is open.

    window : as it was last reckoned; None: nothing is known of it
    """
    if window is None or checked_at is None:
        return [Message("ask_blocked"), risk("")]
    told = standing(window, now, checked_at)
    against: list[Message] = []
    if told.after:
        against.append(Message("ask_waits_for", {"waits_for": doing(told.after)}))
    if told.state == "frozen":
        against.append(Message("ask_frozen"))
    elif told.state == "blocked":
        against.append(Message("ask_blocked"))
    elif not against and _too_early(told, at, now):
        safe = opens(told)
        against.append(Message("ask_early", {"safe_at": safe}) if safe else Message("ask_no_hour"))
        fixed = registry.coat_number(told.step) is not None  # a coat waits by the clock as well
        if told.confidence is not None and told.state == "not yet" and not fixed:
            against.append(Message("ask_chance", {"chance": chance(told.confidence)}))
    return [*against, risk(window.step)] if against else []


def _too_early(window: StepWindowResponse, at: datetime, now: datetime) -> bool:
    if window.state == "past":
        return False  # late, which harms nothing that is not harmed
    if window.state in READY and now - at < JUST_NOW:
        return False
    opened = window.earliest.p50 if window.by_check else None
    opened = opened or opens(window)
    return opened is None or at < opened


def risk(step: str) -> Message:
    """What may break when a step is done too early."""
    return Message("too_early", {"too_early": "coat" if registry.coat_number(step) else step})
