"""Every notice in words: piece, what, until when, why, check first, what if missed."""

from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime
from typing import Any

from models.message import Message, Value
from models.results import ALERTS
from models.steps import registry
from service.notify.channel import Notice
from service.words import Reader, say, say_all, sentence
from service.words.reader import PLAIN


def doing(step: str) -> Message:
    """What is done in a step, as the trade says it."""
    number = registry.coat_number(step)
    if number is not None:
        return Message("doing_coat", {"number": number})
    return Message("doing", {"doing": step})


def doing_as_told(facts: Mapping[str, Any]) -> Message:
    """The same of a reminder, whose coat may be one of several products."""
    number = registry.coat_number(facts["step"])
    told = (one for one in facts.get("because") or () if one["code"].startswith("coat_product"))
    product = next(told, None)
    if number is None or product is None:
        return doing(facts["step"])
    chemistry = product["values"]["chemistry"]
    return Message("doing_product", {"number": float(number), "chemistry": chemistry})


def verb(step: str, reader: Reader = PLAIN) -> str:
    """The same as a text."""
    return say(doing(step), reader)


def about_pour(reader: Reader, facts: Mapping[str, Any]) -> Reader:
    """The reader of hours of the pour that a notice is about."""
    placed_at = facts.get("placed_at")  # rows of before have none: theirs are told to the minute
    return replace(reader, placed_at=datetime.fromisoformat(placed_at)) if placed_at else reader


def notice(
    key: str, kind: str, facts: Mapping[str, Any], until: datetime, reader: Reader
) -> Notice:
    """The words of one reminder, as the shop reads."""
    reader = about_pour(reader, facts)
    title, first = _title_and_first(kind, facts)
    cautions = [Message(**one) for one in facts.get("cautions") or ()]
    missed = facts.get("missed")
    labels = (
        ("notice_why", sentence([Message(**one) for one in facts.get("because") or ()], reader)),
        ("notice_check", " ".join(sentence((one,), reader) for one in cautions)),
        ("notice_missed", _ended(say(Message(**missed), reader)) if missed else ""),
    )
    if first is None:  # the reason says what there is to do
        labels = (("text", labels[0][1]), *labels[1:])
    parts = [first] if first else []
    parts += [Message(code, {"text": text}) for code, text in labels if text]
    return Notice(key, say(title, reader), " ".join(say_all(parts, reader)), until)


def plain_title(facts: Mapping[str, Any], reader: Reader) -> str:
    """Piece and step alone, as an entry of a calendar is named."""
    values: dict[str, Value] = {"piece": facts["piece"], "doing": doing_as_told(facts)}
    return say(Message("notice_opens", values), reader)


def _title_and_first(kind: str, facts: Mapping[str, Any]) -> tuple[Message, Message | None]:
    """Title and first sentence."""
    facts = {"safe": facts.get("p90"), **facts}  # rows of before `safe` hold it as p90
    step = facts["step"]
    values: dict[str, Value] = {
        "piece": facts["piece"],
        "doing": doing_as_told(facts),
        "alert": step,
        "sure": facts.get("confidence"),
    }
    for name, fact in (
        ("likely_at", "p50"),
        ("sure_at", "safe"),
        ("latest_at", "latest"),
        ("was_at", "was"),
        ("act_by_at", "act_by"),
    ):
        at = facts.get(fact)
        values[name] = datetime.fromisoformat(at) if at else None
    remedy = facts.get("remedy")
    values["remedy"] = Message(**remedy) if remedy else Message("heat_or_room")
    if step == "frozen":
        title, first = "notice_frozen", "warm_it_slowly"
    elif kind == "correction" and step in ALERTS:
        title, first = "notice_no_alert", "alert_is_withdrawn"
    elif kind == "correction":
        title, first = _correction(values, facts.get("why_moved"))
    elif step in ALERTS:
        values["do"] = Message(f"against_{step}", values)
        title = "notice_alert" if values["act_by_at"] else "notice_alert_now"
        return Message(title, values), None
    else:
        title, first = _window(kind, values)
        if kind == "opens" and facts.get("ahead"):  # else it would read as open now
            title = "notice_probably_from" if first.startswith("even_odds") else "notice_from"
    return Message(title, values), Message(first, values)


def _correction(values: dict[str, Value], why: Mapping[str, Any] | None) -> tuple[str, str]:
    has_safe = values["sure_at"] is not None
    values["moved"] = (Message("notice_moved", {"why": Message(**why)}),) if why else ()
    title = "notice_not_yet_from" if has_safe else "notice_not_yet"
    return title, "is_withdrawn_now_from" if has_safe else "is_withdrawn"


def _window(kind: str, values: Mapping[str, Value]) -> tuple[str, str]:
    """Where the window is too short for a sure hour the hand decides."""
    safe, latest = values["sure_at"], values["latest_at"]
    if latest is None:
        title = "notice_opens"
    else:
        title = "notice_closes" if kind == "closes" else "notice_before"
    short = isinstance(latest, datetime) and isinstance(safe, datetime) and latest < safe
    if safe is None or short:
        return title, "even_odds" if latest is None else "even_odds_closes"
    if kind == "closes":
        return title, "open_closes"
    return title, "open_without_end" if latest is None else "open_until"


def _ended(text: str) -> str:
    """A text with the stop of a sentence."""
    text = text.strip()
    return text if text[-1:] in (".", "!", "?") else f"{text}."
