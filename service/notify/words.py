"""Every notice in words: piece, what, until when, why, check first, what if missed."""

from collections.abc import Mapping
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from models.projection.clock import which
from service.notify.channel import Notice

VERBS = {
    "finish": "float and finish the face",
    "cover": "put the cover on",
    "knock-out": "pull the knock-out",
    "core": "take the inner mould out",
    "strip": "strip the walls",
    "turn": "turn it over",
    "end-wet-cure": "end the damp cure",
    "uncover": "take the protection off",
    "sand": "sand it",
    "hone": "hone it",
    "patch": "patch it",
    "rain-safe": "let it stand in rain",
    "light-use": "light use",
    "full-use": "full use",
    "first-heating": "first slow heating",
    "de-icing": "de-icing salt near it",
    "reseal": "seal it again",
}
ALERT_WORDS = {
    "fumes": "lead the heater's fumes outdoors or use {remedy}",
    "frost": "{remedy} against frost",
    "rain": "cover the face against rain",
    "wind": "weigh the cover down",
}


def verb(step: str) -> str:
    """What is done in a step, as the trade says it."""
    if step.startswith("coat-"):
        return f"coat {step.removeprefix('coat-')} of sealer"
    return VERBS.get(step, step)


def notice(key: str, kind: str, facts: Mapping[str, Any], until: datetime, now: datetime) -> Notice:
    """The words of one reminder, clock times in the shop's zone."""
    clock = _Clock(ZoneInfo(facts["timezone"]), now)
    title, first = _OPENINGS[kind](facts, clock)
    parts = [
        first,
        _labelled("Why", facts.get("because")),
        _labelled("Check first", " ".join(facts.get("cautions") or ())),
        _labelled("If missed", facts.get("missed")),
    ]
    return Notice(key, title, " ".join(part for part in parts if part), until)


class _Clock:
    """Instants as people say them: 18:10 today, Sat 15 Nov 18:10 otherwise."""

    def __init__(self, zone: ZoneInfo, now: datetime) -> None:
        self._zone, self._today = zone, now.astimezone(zone).date()

    def __call__(self, at: str | None) -> str:
        if at is None:
            return ""
        local = datetime.fromisoformat(at).astimezone(self._zone)
        if local.date() == self._today:
            return f"{local:%H:%M}{which(local)}"
        return f"{local:%a} {local.day} {local:%b %H:%M}{which(local)}"


def _opens(facts: Mapping[str, Any], clock: _Clock) -> tuple[str, str]:
    until = f" before {clock(facts['latest'])}" if facts["latest"] else ""
    title = f"{facts['piece']}: {verb(facts['step'])}{until}"
    if _never_sure(facts):
        return title, f"{_even_odds(facts, clock)}."
    sure = f"since {clock(facts['p90'])} ({facts['confidence']:.0%} sure)"
    closes = f", until {clock(facts['latest'])}" if facts["latest"] else ", no end in sight"
    return title, f"Open {sure}{closes}."


def _closes(facts: Mapping[str, Any], clock: _Clock) -> tuple[str, str]:
    title = f"{facts['piece']}: {verb(facts['step'])} before {clock(facts['latest'])}"
    if _never_sure(facts):
        return title, f"{_even_odds(facts, clock)}."
    return title, f"Open since {clock(facts['p90'])}; closes {clock(facts['latest'])}."


def _never_sure(facts: Mapping[str, Any]) -> bool:
    """Whether the window is too short for a sure hour, so that the hand decides."""
    sure, latest = facts["p90"], facts["latest"]
    if not sure:
        return True
    return bool(latest) and datetime.fromisoformat(latest) < datetime.fromisoformat(sure)


def _even_odds(facts: Mapping[str, Any], clock: _Clock) -> str:
    closes = f" closes {clock(facts['latest'])}" if facts["latest"] else " closes"
    return (
        f"Even odds since {clock(facts['p50'])}, not {facts['confidence']:.0%} sure before it"
        f"{closes}: go by the check"
    )


def _correction(facts: Mapping[str, Any], clock: _Clock) -> tuple[str, str]:
    if facts["step"] in ALERT_WORDS:
        title = f"{facts['piece']}: no {facts['step']} in sight any more"
        return title, f"The notice of {facts['step']} for {clock(facts['was'])} is withdrawn."
    title = f"{facts['piece']}: do not {verb(facts['step'])} yet"
    if facts["p90"]:
        title += f", from {clock(facts['p90'])}"
        now = f"now from {clock(facts['p90'])} ({facts['confidence']:.0%} sure)"
    else:
        now = "now no time can be told"
    why = f" Moved: {facts['why_moved']}." if facts.get("why_moved") else ""
    return title, f"The notice for {clock(facts['was'])} is withdrawn; {now}.{why}"


def _alert(facts: Mapping[str, Any], clock: _Clock) -> tuple[str, str]:
    """What to do and until when it is enough."""
    if facts["step"] == "frozen":
        return f"{facts['piece']}: probably frozen, leave it in the mould", "Warm it slowly."
    by = clock(facts.get("act_by"))
    until = f" by {by}" if by else " now"
    done = ALERT_WORDS[facts["step"]].format(
        remedy=facts.get("remedy") or "electric heat or a room"
    )
    return f"{facts['piece']}: {done}{until}", "Something can still be done."


_OPENINGS = {"opens": _opens, "closes": _closes, "correction": _correction} | dict.fromkeys(
    ALERT_WORDS, _alert
)


def _labelled(label: str, text: str | None) -> str:
    text = (text or "").strip()
    if not text:
        return ""
    return f"{label}: {text}{'' if text[-1] in '.!?' else '.'}"
