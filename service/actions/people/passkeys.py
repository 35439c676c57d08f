"""Passkeys (W3C WebAuthn): a phone keeps a key that its finger, face or code unlocks, and signs."""

import json
import re
from binascii import Error as NotBase64
from dataclasses import dataclass
from datetime import datetime, timedelta
from hashlib import sha256
from typing import Any
from urllib.parse import urlsplit

from sqlmodel import Session, col, delete
from webauthn import (
    base64url_to_bytes,
    generate_authentication_options,
    generate_registration_options,
    options_to_json,
    verify_authentication_response,
    verify_registration_response,
)
from webauthn.helpers import bytes_to_base64url
from webauthn.helpers.exceptions import WebAuthnException
from webauthn.helpers.structs import (
    AuthenticatorSelectionCriteria,
    PublicKeyCredentialDescriptor,
    ResidentKeyRequirement,
    UserVerificationRequirement,
)

from models.errors import InputError
from models.records import Challenge, Passkey, Person
from service import secret
from service.actions.people.join import a_name
from service.actions.people.sign_in import Attempts
from service.queries import people
from service.queries.rows import NoSuchRow, find

LASTS = timedelta(minutes=5)
MOST_OPEN = 1_000  # of nobody yet: each is a row before anybody is known
LONGEST = 20_000  # letters of what a phone answers
MUST_VERIFY = UserVerificationRequirement.REQUIRED
# what comes of an answer that no phone gave; the library checks no more than it has to
MALFORMED = (
    WebAuthnException,
    ValueError,
    LookupError,
    TypeError,
    NotBase64,
    AttributeError,
    RecursionError,
)
NUMBER = re.compile(r"[\w-]+", re.ASCII)  # base64url: not every database takes any letter
DOES_NOT_FIT = ("(hidden)", "does not fit here", "another try, or the password")


@dataclass(frozen=True)
class Site:
    """Where a browser is: a key made for one host answers no other."""

    origin: str

    @property
    def host(self) -> str:
        return urlsplit(self.origin).hostname or ""

    def checked(self) -> "Site":
        """Raises InputError where no browser hands out keys."""
        if not self.origin.startswith("https://") and self.host != "localhost":
            raise InputError("address", self.origin, "not secure", "the one that begins with https")
        return self


def ask_to_add(session: Session, now: datetime, site: Site, person_id: int) -> str:
    """What the browser of a person is to make a key by, as JSON."""
    person = find(session, Person, person_id)
    made = generate_registration_options(
        rp_id=site.checked().host,
        rp_name="castclock",
        user_name=person.name,
        user_id=sha256(f"{person.id} {person.created_at.isoformat()}".encode()).digest(),
        authenticator_selection=AuthenticatorSelectionCriteria(
            resident_key=ResidentKeyRequirement.REQUIRED, user_verification=MUST_VERIFY
        ),
        exclude_credentials=[
            PublicKeyCredentialDescriptor(id=base64url_to_bytes(one.credential))
            for one in people.passkeys(session, person_id)
        ],
    )
    _keep(session, now, made.challenge, person_id)
    return options_to_json(made)


def ask_to_sign_in(session: Session, now: datetime, site: Site) -> str:
    """What any key of this host is to sign; the phone knows whose it is."""
    made = generate_authentication_options(rp_id=site.checked().host, user_verification=MUST_VERIFY)
    _keep(session, now, made.challenge, None)
    return options_to_json(made)


def add(
    session: Session, now: datetime, site: Site, person_id: int, answer: str, name: str
) -> Passkey:
    """A new key of this person. Raises InputError where it was not made here, now, for them."""
    wanted = a_name(name)
    try:
        found = verify_registration_response(
            credential=_sent(answer),
            expected_challenge=take(session, now, answer, person_id),
            expected_rp_id=site.checked().host,
            expected_origin=site.origin,
            require_user_verification=True,
        )
    except MALFORMED as error:
        raise _refused(error) from None
    number = bytes_to_base64url(found.credential_id)
    if people.passkey(session, number) is not None:
        raise InputError("passkey", "(hidden)", "known already", "a key that is new here")
    row = Passkey(
        created_at=now,
        person_id=person_id,
        name=wanted,
        host=site.host,
        credential=number,
        public_key=bytes_to_base64url(found.credential_public_key),
        sign_count=found.sign_count,
    )
    session.add(row)
    return row


def take(session: Session, now: datetime, answer: str, person_id: int | None) -> bytes:
    """The challenge that was answered, taken away: it is good once, for whom it was made."""
    try:
        told = json.loads(base64url_to_bytes(_sent(answer)["response"]["clientDataJSON"]))
        challenge = base64url_to_bytes(told["challenge"])
    except MALFORMED as error:
        raise _refused(error) from None
    owner = col(Challenge.person_id)
    gone = session.execute(
        delete(Challenge).where(
            col(Challenge.digest) == _digest(challenge),
            col(Challenge.until) > now,
            owner.is_(None) if person_id is None else owner == person_id,
        )
    )
    if gone.rowcount != 1:  # type: ignore[attr-defined]
        raise InputError("passkey", "(hidden)", "asked too long ago, or used", "it once more")
    return challenge


def who(
    session: Session,
    now: datetime,
    attempts: Attempts,
    site: Site,
    challenge: bytes,
    answer: str,
    address: str,
) -> Person:
    """Whose key has signed; its count rises, so that a copy of it is noticed."""
    sent = _sent(answer)
    number = str(sent.get("id"))
    keys = (f"passkey {number[:100]}", f"address {address}")
    attempts.check(now, *keys)
    row = people.passkey(session, number) if NUMBER.fullmatch(number) else None
    try:
        if row is None or row.host != site.host:
            raise WebAuthnException
        found = verify_authentication_response(
            credential=sent,
            expected_challenge=challenge,
            expected_rp_id=site.checked().host,
            expected_origin=site.origin,
            credential_public_key=base64url_to_bytes(row.public_key),
            credential_current_sign_count=row.sign_count,
            require_user_verification=True,
        )
    except MALFORMED as error:
        attempts.failed(now, *keys)
        raise _refused(error) from None
    attempts.succeeded(keys[0])
    row.sign_count, row.used_at = found.new_sign_count, now
    session.add(row)
    return find(session, Person, row.person_id)


def remove(session: Session, person_id: int, passkey_id: int) -> None:
    """It signs nobody in any more. Raises NoSuchRow where it is another person's."""
    row = session.get(Passkey, passkey_id)
    if row is None or row.person_id != person_id:
        raise NoSuchRow("address", passkey_id, "no such passkey", "one of your own")
    session.delete(row)


def _keep(session: Session, now: datetime, challenge: bytes, person_id: int | None) -> None:
    session.execute(delete(Challenge).where(col(Challenge.until) <= now))
    if person_id is None and (surplus := people.surplus_challenge(session, MOST_OPEN)):
        older = delete(Challenge).where(col(Challenge.id) <= surplus)
        session.execute(older.where(col(Challenge.person_id).is_(None)))
    session.add(
        Challenge(created_at=now, digest=_digest(challenge), person_id=person_id, until=now + LASTS)
    )


def _digest(challenge: bytes) -> str:
    return secret.digest(bytes_to_base64url(challenge))


def _sent(answer: str) -> dict[str, Any]:
    """What the browser answered, as the JSON that it is."""
    try:
        told = json.loads(answer) if len(answer) <= LONGEST else None
    except (ValueError, RecursionError):
        told = None
    if not isinstance(told, dict):
        raise InputError("passkey", "(hidden)", "nothing came from the phone", "it once more")
    return told


def _refused(error: Exception) -> InputError:
    """One sentence for all that does not fit; why stays here. What says its own passes."""
    return error if isinstance(error, InputError) else InputError("passkey", *DOES_NOT_FIT)
