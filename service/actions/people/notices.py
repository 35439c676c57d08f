"""What a person is told, when and where, and what the owner lets them be told."""

from collections.abc import Collection, Mapping
from datetime import time
from typing import Any

from sqlmodel import Session

from models.errors import InputError
from models.records import Person
from models.records.shop import NOTICES
from models.units import number_within, one_of
from service.actions.notices.quiet_hours import OWN
from service.queries.rows import find

MOST_ADDRESSES = 5
LONGEST_LEAD_MIN = 720


def chosen(person: Person) -> dict[str, Any]:
    """What a person chose for themselves, as it can be put back; None: as the shop has it."""
    values = {name: getattr(person, name) for name in (*OWN, "notice_addresses")}
    return {k: v.isoformat() if isinstance(v, time) else v for k, v in values.items()}


def choose(session: Session, person_id: int, values: Mapping[str, Any]) -> Person:
    """Change what is named in `values`; None goes back to the shop's. It counts from the next look
    at each piece on; what the owner does not let them be told is told to them no more for it."""
    person = find(session, Person, person_id)
    for name, value in values.items():
        one_of("field", name, (*OWN, "notice_addresses"))
        hours = name in ("quiet_from", "quiet_to") and isinstance(value, str)
        setattr(person, name, time.fromisoformat(value) if hours else value)
    for kind in person.notice_kinds or ():
        one_of("notice_kinds", kind, NOTICES)
    if person.notice_lead_min is not None:
        number_within("notice_lead_min", person.notice_lead_min, 0, LONGEST_LEAD_MIN, "min")
    if (person.quiet_from is None) != (person.quiet_to is None):
        raise InputError("quiet_to", None, "the other hour is given", "both or neither")
    if len(person.notice_addresses) > MOST_ADDRESSES:
        wrong = "more than one person needs"
        raise InputError("kind", len(person.notice_addresses), wrong, f"at most {MOST_ADDRESSES}")
    session.add(person)
    return person


def read_so(session: Session, person_id: int, chosen: Mapping[str, Any]) -> None:
    """Tell a person in these units, this language and clock from now on."""
    person = find(session, Person, person_id)
    person.reads = dict(chosen)
    session.add(person)


def let_hear(session: Session, person_id: int, kinds: Collection[str]) -> Person:
    """The owner says of what a helper or viewer may be told; of fumes and of what is taken back
    everybody is."""
    person = find(session, Person, person_id)
    wanted: list[str] = [one for one in NOTICES if one in kinds]
    for kind in kinds:
        one_of("may_hear", kind, NOTICES)
    person.may_hear = None if len(wanted) == len(NOTICES) else wanted
    session.add(person)
    return person
