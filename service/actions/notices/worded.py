"""What one notice says of the reminders that fall due together, and where it leads."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime, timedelta
from urllib.parse import quote

from models.message import Message
from models.records import Reminder
from service.notify import words
from service.notify.channel import Button, Notice
from service.words import Reader, say

SEVERITY = {"opens": "news", "closes": "warning", "correction": "warning"}
RANKS = ("news", "warning", "alarm")


def linked(reminder: Reminder, reader: Reader, now: datetime) -> Notice:
    """The notice in words, with its page, its buttons, and how loud it is."""
    facts = reminder.facts | {"ahead": now < reminder.window_at}
    told = words.notice(reminder.key, reminder.kind, facts, reminder.not_after, reader)
    page = f"/pours/{reminder.pour_id}"
    severity = SEVERITY.get(reminder.kind, "alarm")
    buttons = [
        Button(
            "later",
            say(Message("notice_later"), reader),
            page,
            f"/api/v1/reminders/{reminder.id}/later",
        ),
        Button("open", say(Message("notice_open"), reader), page),
    ]
    if reminder.kind in ("opens", "closes"):
        done = f"{page}/steps?step={quote(reminder.step)}"
        buttons.insert(0, Button("done", say(Message("notice_done"), reader), done))
    return replace(
        told,
        path=page,
        topic=f"{reminder.pour_id}:{reminder.step}",
        severity=severity,
        lasts=max(reminder.not_after - now, timedelta(0)),
        buttons=tuple(buttons),
    )


def together(told: Sequence[Notice], reader: Reader) -> Notice:
    """One notice of all of them: what each is about first, then each by itself."""
    if len(told) == 1:
        return told[0]
    title = say(
        Message("notice_several", {"first": told[0].title, "count_more": len(told) - 1}), reader
    )
    lines = [one.title for one in told] + [f"{one.title}. {one.body}" for one in told]
    severity = max((one.severity for one in told), key=RANKS.index)
    return Notice(
        key="+".join(one.key for one in told),
        title=title,
        body="\n".join(lines),
        until=max(one.until for one in told),
        path="/",
        topic=f"several:{severity}",
        severity=severity,
        lasts=max(one.lasts for one in told),
        buttons=(Button("open", say(Message("notice_open"), reader), "/"),),
    )
