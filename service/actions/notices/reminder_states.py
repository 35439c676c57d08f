"""What becomes of a notice: its seven states, and what is done about it when windows move.

A notice begins as `waiting`. Its step may lose its hour (`held`) or be done (`cancelled`); both may
come back, for a window can be told again and a mark undone. A notice that was sent is never
rewritten: somebody has read it, so that a wrong one is withdrawn by a correction and a new round
begins. What reached nobody (`listed` without an address, `failed` at all of them, `expired`) is no
news to anybody, and is owed again while it still is true. Only the clock ends a notice
(`heard`, `expired`, `nobody`, `refused`); only a projection owes, holds and cancels one.

So that a sender who crashed loses nothing, a row being sent (`sending`) is left alone by every
projection but one that says that the step is over.
"""

from collections.abc import Mapping
from datetime import datetime

from models.records import Reminder
from service.queries.jobs import LONGEST_LEASE

UNSENT = ("waiting", "held", "cancelled")
UNHEARD = ("listed", "failed", "expired")  # it ended, and reached nobody
SENT = "sent"  # somebody has heard it; it is owed to others until `done_at`

# event -> state before -> state after; an event means nothing in a state that is not named
AFTER: Mapping[str, Mapping[str, str]] = {
    "owed": dict.fromkeys((*UNSENT, *UNHEARD), "waiting"),
    "no hour": dict.fromkeys(("waiting", "cancelled", *UNHEARD), "held"),
    "over": {"waiting": "cancelled", "held": "cancelled", SENT: SENT},
    "heard": {"waiting": SENT},
    "expired": {"waiting": "expired", SENT: SENT},
    "nobody": {"waiting": "listed", SENT: SENT},
    "refused": {"waiting": "failed", SENT: SENT},
}
BY_A_PROJECTION = ("owed", "no hour", "over")  # these change what a calendar shows

# A notice that a step opens. Where it stands (`standing`) and what is new of its hour (`news`)
# say what is done. One that opened before it was ever owed is not announced: whoever logs late
# stands beside the piece. One that was sent and whose hour fell half an hour or more later is
# withdrawn, since somebody may act on it; one that comes sooner is not: its reader is early.
OPENS: Mapping[tuple[str, str], str] = {
    ("none", "ahead"): "owe",
    ("unsent", "unknown"): "hold",
    ("unsent", "ahead"): "move",
    ("unsent", "here"): "move",
    ("unheard", "unknown"): "hold",
    ("unheard", "ahead"): "move",
    ("unheard", "here"): "repeat",
    ("told", "unknown"): "withdraw",
    ("told", "later"): "withdraw and owe",
    ("withdrawn", "later"): "owe",
    ("withdrawn", "ahead"): "owe",
    ("withdrawn", "here"): "owe",
    **dict.fromkeys(
        ((one, "over") for one in ("unsent", "sending", "unheard", "told", "withdrawn")), "cancel"
    ),
}

# A notice that a window closes. It is a last call: nothing is withdrawn, a later end is told anew.
CLOSES: Mapping[tuple[str, str], str] = {
    **dict.fromkeys((("none", "ahead"), ("none", "here")), "owe"),
    **dict.fromkeys((("unsent", "unknown"), ("unheard", "unknown")), "hold"),
    **dict.fromkeys(
        ((one, new) for one in ("unsent", "unheard") for new in ("ahead", "here")), "move"
    ),
    ("told", "later"): "owe",
    ("withdrawn", "later"): "owe",
    **dict.fromkeys(
        ((one, "over") for one in ("unsent", "sending", "unheard", "told", "withdrawn")), "cancel"
    ),
}

# An alert. One that was told is told again only as news: called off since, sooner, another night.
# When the sky clears, what nobody heard goes without a word, and what somebody heard is called off
# while it still lies ahead.
ALERTS: Mapping[tuple[str, str], str] = {
    ("none", "coming"): "warn",
    ("none", "news"): "warn",
    **dict.fromkeys(
        ((one, new) for one in ("unsent", "unheard") for new in ("coming", "news")), "change"
    ),
    ("told", "news"): "warn again",
    ("withdrawn", "news"): "warn again",
    **dict.fromkeys(
        ((one, new) for one in ("unsent", "sending", "unheard") for new in ("gone", "behind")),
        "cancel",
    ),
    ("told", "gone"): "call off",
}


def standing(row: Reminder | None, now: datetime) -> str:
    """none | unsent | sending | unheard | told | withdrawn."""
    if row is None:
        return "none"
    if row.state == SENT:
        return "told" if row.superseded_at is None else "withdrawn"
    if in_flight(row, now):
        return "sending"
    return "unsent" if row.state in UNSENT else "unheard"


def follow(row: Reminder, event: str, now: datetime) -> None:
    """Take a notice along the table; where the event means nothing in its state it stays."""
    after = AFTER[event].get(row.state)
    if after is None:
        return
    if event in BY_A_PROJECTION and after != row.state:
        row.changed_at, row.changes = now, row.changes + 1
    if event == "owed":  # what addresses said to it before does not count
        row.done_at, row.claimed_until, row.attempt = None, None, 0
    elif event not in BY_A_PROJECTION and event != "heard":
        row.done_at, row.claimed_until = now, None
    elif event == "over" and after == SENT:
        close_reminder(row, now)
    row.state = after


def close_reminder(row: Reminder, now: datetime) -> None:
    """It is sent to nobody any more."""
    if row.done_at is None:
        row.done_at, row.claimed_until = now, None


def in_flight(row: Reminder, now: datetime) -> bool:
    until = row.claimed_until
    return row.state == "waiting" and until is not None and now < until <= now + LONGEST_LEASE
