"""What may harm the piece, told first with its own button; lesser warnings, told when asked for."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from models.facts.protection import COVERS
from models.message import Message, Value
from service.answers import AlertResponse, AnswerResponse, PlanEntryResponse
from service.pages import checks, view
from service.pages.checks import CheckView
from service.pages.ways import EVEN
from service.words import Reader, say

LATER = ("if_it_froze",)  # nothing is done about it now
PARTS = re.compile(r"(.*?)([:.]) (.+)", re.DOTALL)
FROST = ("alert_frost_cover", "alert_frost_cover_leaves", "frost_may_come")
LOOKED_AT = ("frost_may_have_come", "frost_froze")


@dataclass(frozen=True)
class Alarm:
    """`head` what it is or what to do, `odds` what that changes, `why` the numbers behind it.

    cover : the fields that put the cover on that helps; None: none does
    """

    head: str
    why: str
    odds: str = ""
    cover: dict[str, str] | None = None
    check: CheckView | None = None


@dataclass(frozen=True)
class Warnings:
    alarms: tuple[Alarm, ...]
    lesser: tuple[str, ...]


def of(answer: AnswerResponse, now: datetime, page: str, reader: Reader) -> Warnings:
    """Alarms, the gravest first, and the other warnings; of before codes all are alarms."""
    frost = next((one for one in answer.alerts if one.kind == "frost" and one.remedy), None)
    code_of = dict(zip(answer.warnings, (one.code for one in answer.warning_codes), strict=False))
    urgent = [text for _, text in view.urgent_warnings(answer) if code_of.get(text) not in LATER]
    cover = _meant_cover(answer.plan, now)
    asked = False
    alarms = []
    for text in urgent:
        odds, code, (head, why) = "", code_of.get(text, ""), _parted(view.sentence(text))
        if code in FROST and cover and frost:
            by: dict[str, Value] = {"remedy": frost.remedy, "act_by_at": frost.act_by}
            head, why = view.sentence(say(Message("cover_by", by), reader)), view.sentence(text)
            odds = _odds(frost, reader)
            if frost.after is not None and frost.after > EVEN:
                head, cover = view.sentence(say(Message("to_do", {"do": "heat"}), reader)), None
        look = code in LOOKED_AT and not asked
        asked = asked or look
        alarms.append(
            Alarm(
                head,
                why,
                odds,
                cover if code in FROST else None,
                checks.shown(checks.OF_FROST, page, reader) if look else None,
            )
        )
    return Warnings(tuple(alarms), tuple(one for one in answer.warnings if one not in urgent))


def _odds(frost: AlertResponse, reader: Reader) -> str:
    """What the cover changes, as chances are told."""
    if frost.after is None:
        return ""
    return say(Message("cover_odds", {"chance": frost.chance, "after": frost.after}), reader)


def _parted(text: str) -> tuple[str, str]:
    """What it is, and the rest of it."""
    found = PARTS.fullmatch(text)
    if found is None:
        return text, ""
    return found[1] + found[2].strip(":"), view.sentence(found[3])


def _meant_cover(plan: Sequence[PlanEntryResponse], now: datetime) -> dict[str, str] | None:
    """The next cover that keeps warm and that nobody has put on yet, as its form sends it."""
    for one in plan:
        ahead = one.set_by != "logged" and one.step == "cover" and one.at >= now
        if ahead and one.cover in COVERS and COVERS[one.cover].R_m2K_W > COVERS["film"].R_m2K_W:
            return {"kind": one.cover, "faces": one.faces or "top"}
    return None
