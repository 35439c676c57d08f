"""The check by hand that a step has, and its two answers.

An answer is a reading where there is a kind for it, whose likelihood then moves the hours; else it
is kept as a note, and the page says that it moves none.
"""

from collections.abc import Collection
from dataclasses import dataclass

from models.message import Message
from models.piece.shape import Shape
from service.words import Reader, say


@dataclass(frozen=True)
class Answer:
    """kind : of the reading that it is; nothing: a note"""

    code: str
    entry: str = "note"
    kind: str = ""


@dataclass(frozen=True)
class Check:
    """`code` asks for it; `after_kinds` : readings after which it says nothing new"""

    code: str
    answers: tuple[Answer, Answer]
    after_kinds: tuple[str, ...] = ()


FIRM = Answer("check_firm", "set", "initial-set")
CHECKS = {
    "finish": Check("check_finish", (Answer("check_takes_mark"), FIRM), ("initial-set",)),
    "cover": Check("check_cover", (FIRM, Answer("check_still_marks")), ("initial-set",)),
    "knock-out": Check(
        "check_knock_out",
        (Answer("check_no_dent", "set", "final-set"), Answer("check_still_dents")),
        ("final-set",),
    ),
    "strip": Check("check_strip", (Answer("check_no_dent"), Answer("check_still_soft"))),
    "sand": Check("check_sand", (Answer("check_no_groove"), Answer("check_leaves_groove"))),
    "film": Check(
        "check_film",
        (
            Answer("check_film_dry", "dryness", "film-dry"),
            Answer("check_film_wet", "dryness", "film-wet"),
        ),
    ),
    "reseal": Check("check_drop", (Answer("check_drop_stands"), Answer("check_drop_soaks"))),
}
OF_FROST = Check(
    "check_corner",
    (
        Answer("check_corner_sound", "look", "corner-sound"),
        Answer("check_corner_frosted", "look", "corner-frosted"),
    ),
)
FILM_STEPS = ("dry-to-seal", "coat-1")


@dataclass(frozen=True)
class AnswerView:
    """A button: its words, where it is posted to, what it sends."""

    words: str
    path: str
    fields: dict[str, str]


@dataclass(frozen=True)
class CheckView:
    words: str
    answers: tuple[AnswerView, ...]


def of_step(
    step: str, page: str, seen: Collection[str], reader: Reader, shape: Shape
) -> CheckView | None:
    """The check of a step that is next; None where it has none, or it was answered.

    page : the address of the pour; seen : kinds of readings that it has
    """
    check = CHECKS.get("film" if step in FILM_STEPS else step)
    if check is None or set(check.after_kinds) & set(seen):
        return None
    return shown(check, page, reader, shape)


def shown(check: Check, page: str, reader: Reader, shape: Shape | None = None) -> CheckView:
    """A check in words; shape : that of the piece, where its hidden face is scratched."""
    asked = say(_asked(check, shape), reader)
    answers = []
    for one in check.answers:
        words = say(Message(one.code), reader)
        fields = {"kind": one.kind} if one.kind else {"note": f"{asked} {words}"}
        answers.append(AnswerView(words, f"{page}/{one.entry}", fields))
    return CheckView(asked, tuple(answers))


def _asked(check: Check, shape: Shape | None) -> Message:
    if check.code != "check_sand" or shape is None:
        return Message(check.code)
    hidden = next((one.key for one in shape.faces if not one.shown), None)
    if hidden is None:
        return Message("check_sand_scrap")
    return Message("check_sand", {"face": hidden})
