"""A line is put to the note of a pour, or taken out of it again."""

from datetime import datetime

from sqlmodel import Session

from models.errors import InputError
from models.records import Pour
from service.queries.rows import NoSuchRow, find

LONGEST = 2000  # characters of the whole note


def add_note(session: Session, pour_id: int, line: str, at: datetime) -> str:
    """The line as it stands in the note, after its day and hour; it moves no window.

    at : on the clock of the place
    """
    pour = find(session, Pour, pour_id, "pour_id")
    if not line:
        raise InputError("note", "", "empty", "a few words")
    dated = f"{at:%Y-%m-%d %H:%M} {line}"
    whole = f"{pour.note}\n{dated}".strip()
    if len(whole) > LONGEST:
        left = max(LONGEST - len(pour.note) - 18, 0)
        raise InputError(
            "note", line, "the note of this pour is full", f"at most {left} characters"
        )
    pour.note = whole
    session.add(pour)
    session.flush()
    return dated


def remove_note(session: Session, pour_id: int, dated: str) -> None:
    """The line was written by mistake."""
    pour = find(session, Pour, pour_id, "pour_id")
    lines = pour.note.splitlines()
    if dated not in lines:
        raise NoSuchRow("note", dated[:80], "no such line", "a line of the note")
    lines.reverse()
    lines.remove(dated)
    pour.note = "\n".join(reversed(lines))
    session.add(pour)
    session.flush()
