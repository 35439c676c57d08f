"""People, where they are signed in, who is asked to join, secrets of machines."""

from collections.abc import Sequence
from datetime import datetime, timedelta

from sqlmodel import Session, col, func, select

from models.records import Challenge, Invitation, Passkey, Person, SignIn, Token

SIGN_IN_LASTS = timedelta(days=90)  # since it was seen


def anybody(session: Session) -> bool:
    """Whether somebody has joined, so that all have to sign in."""
    return (
        session.exec(select(Person.id).where(col(Person.left_at).is_(None)).limit(1)).first()
        is not None
    )


def present(session: Session) -> Sequence[Person]:
    """Who works in the shop."""
    return session.exec(
        select(Person).where(col(Person.left_at).is_(None)).order_by(col(Person.id))
    ).all()


def named(session: Session, name: str) -> Person | None:
    """Who is called so, whatever the letters' size."""
    return next(iter(all_named(session, name)), None)


def all_named(session: Session, name: str) -> Sequence[Person]:
    """All that are called so, of every shop that the session sees."""
    called = func.lower(Person.name) == name.strip().lower()
    wanted = select(Person).where(called, col(Person.left_at).is_(None))
    return session.exec(wanted.order_by(col(Person.id))).all()


def signed_in(session: Session, digest: str, now: datetime) -> tuple[SignIn, Person] | None:
    """The browser of a secret and its person; None where it was signed out or not seen too long."""
    return session.exec(
        select(SignIn, Person)
        .join(Person, col(Person.id) == SignIn.person_id)
        .where(
            SignIn.digest == digest,
            col(SignIn.seen_at) > now - SIGN_IN_LASTS,
            col(Person.left_at).is_(None),
        )
    ).first()


def sign_ins(session: Session, person_id: int | None = None) -> Sequence[SignIn]:
    """Browsers that are signed in, of one or of all, the last seen first."""
    wanted = select(SignIn).order_by(col(SignIn.seen_at).desc())
    return session.exec(
        wanted if person_id is None else wanted.where(SignIn.person_id == person_id)
    ).all()


def invitation(session: Session, digest: str, now: datetime) -> Invitation | None:
    """The link of a secret that can still be used."""
    return session.exec(
        select(Invitation).where(
            Invitation.digest == digest, col(Invitation.used_at).is_(None), Invitation.until > now
        )
    ).first()


def open_invitations(session: Session, now: datetime) -> Sequence[Invitation]:
    """Links that were given and not used."""
    return session.exec(
        select(Invitation)
        .where(col(Invitation.used_at).is_(None), Invitation.until > now)
        .order_by(col(Invitation.id))
    ).all()


def token(session: Session, digest: str) -> Token | None:
    """The machine of a secret that was not revoked."""
    return session.exec(
        select(Token).where(Token.digest == digest, col(Token.revoked_at).is_(None))
    ).first()


def tokens(session: Session) -> Sequence[Token]:
    """Machines that may come in."""
    return session.exec(
        select(Token).where(col(Token.revoked_at).is_(None)).order_by(col(Token.id))
    ).all()


def passkeys(session: Session, person_id: int) -> Sequence[Passkey]:
    """Keys that sign a person in."""
    return session.exec(
        select(Passkey).where(Passkey.person_id == person_id).order_by(col(Passkey.id))
    ).all()


def passkey(session: Session, credential: str) -> Passkey | None:
    """The key of a number, of somebody who is still there."""
    return session.exec(
        select(Passkey)
        .join(Person, col(Person.id) == Passkey.person_id)
        .where(Passkey.credential == credential, col(Person.left_at).is_(None))
    ).first()


def surplus_challenge(session: Session, most: int) -> int | None:
    """The newest that has to go, of those of nobody yet, so that a further one makes `most`."""
    open_ones = select(Challenge.id).where(col(Challenge.person_id).is_(None))
    return session.exec(
        open_ones.order_by(col(Challenge.id).desc()).offset(most - 1).limit(1)
    ).first()
