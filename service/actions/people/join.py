"""Joining: the first owner, helpers by a link, a new password for who forgot theirs."""

from datetime import datetime, timedelta

from sqlmodel import Session, col, delete

from models.errors import InputError
from models.records import Invitation, Passkey, Person, PushSubscription, SignIn
from models.records.person import ROLES
from models.units import one_of
from service import secret
from service.queries import people
from service.queries.rows import NoSuchRow, find, taken

LINK_LASTS = timedelta(days=7)
SHORTEST, LONGEST = 10, 200


def invite(
    session: Session, now: datetime, role: str, name: str = "", person_id: int | None = None
) -> str:
    """The secret of a new link; told once, kept as its digest."""
    one_of("role", role, ROLES)
    made = secret.new()
    session.add(
        Invitation(
            created_at=now,
            digest=secret.digest(made),
            role=role,
            name=name,
            person_id=person_id,
            until=now + LINK_LASTS,
        )
    )
    return made


def invite_owner(session: Session, now: datetime) -> str:
    """The link of the terminal: who holds the machine may make, or get back in as, an owner. The
    one that was printed before ends."""
    session.execute(
        delete(Invitation).where(
            col(Invitation.role) == "owner",
            col(Invitation.person_id).is_(None),
            col(Invitation.name) == "",
            col(Invitation.used_at).is_(None),
        )
    )
    return invite(session, now, "owner")


def accept(session: Session, now: datetime, code: str, name: str, password: str) -> Person:
    """Join by a link: it is used up. Raises NoSuchRow where it never was, is used or too old."""
    found = people.invitation(session, secret.digest(code), now)
    if found is None:
        raise NoSuchRow("address", "this link", "used already, or too old", "a new link")
    checked(password)
    if found.person_id is not None:
        person = find(session, Person, found.person_id)
        person.password_hash = secret.hashed(password)
        sign_out_everywhere(session, person.id)
        _forget_passkeys(session, person.id)
    else:
        wanted = a_name(name)
        if people.named(session, wanted) is not None:
            raise InputError("name", wanted, "somebody here is called so", "another name")
        taken(session, Person, wanted)
        person = Person(
            created_at=now,
            name=wanted,
            role=found.role,
            password_hash=secret.hashed(password),
        )
    session.add(person)
    found.used_at = now
    session.add(found)
    session.flush()
    return person


def a_name(text: str) -> str:
    """What a person or a machine is called."""
    name = text.strip()
    if not 1 <= len(name) <= 60 or not name.isprintable():
        raise InputError("name", text[:60], "no name", "1 to 60 letters")
    return name


def checked(password: str) -> str:
    """A password that is taken: long, whatever its letters (NIST SP 800-63B, 3.1.1.2)."""
    if not SHORTEST <= len(password) <= LONGEST:
        wrong = "too short" if len(password) < SHORTEST else "too long"
        raise InputError("password", "(hidden)", wrong, f"{SHORTEST} to {LONGEST} letters")
    return password


def change_password(session: Session, person_id: int, new: str) -> None:
    """Of who has proved to know the old one."""
    person = find(session, Person, person_id)
    person.password_hash = secret.hashed(checked(new))
    session.add(person)


def change_role(session: Session, person_id: int, role: str) -> Person:
    """Raises InputError where nobody would be left who owns the shop."""
    person = find(session, Person, person_id)
    if one_of("role", role, ROLES) != "owner":
        _keep_an_owner(session, person)
    person.role = role
    session.add(person)
    return person


def leave(session: Session, now: datetime, person_id: int) -> Person:
    """They come in no more; what they did keeps their name."""
    person = find(session, Person, person_id)
    _keep_an_owner(session, person)
    person.left_at, person.notice_addresses = now, []  # these may hold a password of theirs
    person.name = f"{person.name} (left, {person.id})"  # the name may be given again
    sign_out_everywhere(session, person_id)
    _forget_passkeys(session, person_id)
    session.add(person)
    return person


def sign_out_everywhere(session: Session, person_id: int) -> None:
    """No browser of theirs is in, and no lock screen shows notices: each asks for them anew."""
    session.execute(delete(PushSubscription).where(col(PushSubscription.person_id) == person_id))
    session.execute(delete(SignIn).where(col(SignIn.person_id) == person_id))


def _forget_passkeys(session: Session, person_id: int) -> None:
    session.execute(delete(Passkey).where(col(Passkey.person_id) == person_id))


def _keep_an_owner(session: Session, person: Person) -> None:
    owners = [one for one in people.present(session) if one.role == "owner"]
    if [one.id for one in owners] == [person.id]:
        raise InputError("role", person.name, "the only owner", "another owner first")
