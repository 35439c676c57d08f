"""Secrets of people and machines: made here, kept as their digest alone; passwords by argon2."""

import os
import secrets
from contextlib import suppress
from functools import cache
from hashlib import sha256
from pathlib import Path
from threading import Semaphore

from pwdlib import PasswordHash

LETTERS, LENGTH = "abcdefghjkmnpqrstuvwxyz23456789", 10  # 49 bits
_hasher = PasswordHash.recommended()  # argon2id; 64 MiB and a seventh of a second each time
_turns = Semaphore(2)  # so that many who try at once cannot take the memory of the machine


def new() -> str:
    """A secret nobody guesses, fit for an address."""
    return secrets.token_urlsafe(32)


def unguessed() -> str:
    """A code of 128 bits, short enough for a square on paper that a worn print still tells."""
    return secrets.token_urlsafe(16)


def short() -> str:
    """A code to be read off paper or typed: no letters that look alike, a thousand years of
    guessing."""
    return "".join(secrets.choice(LETTERS) for _ in range(LENGTH))


def digest(secret: str) -> str:
    """What is kept of it: a secret of 256 bits needs no slow hash."""
    return sha256(secret.encode()).hexdigest()


def write(path: Path, content: bytes, *, anew: bool = False) -> None:
    """A file that its owner alone reads, whole or not at all; one that stands there counts, unless
    it is made anew."""
    path.parent.mkdir(parents=True, exist_ok=True)
    partial = path.with_name(f".{path.name}-{secrets.token_hex(4)}")
    with os.fdopen(os.open(partial, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "wb") as file:
        file.write(content)
        file.flush()
        os.fsync(file.fileno())
    if anew:
        partial.replace(path)
        return
    with suppress(FileExistsError):  # another process was first
        os.link(partial, path)
    partial.unlink()


def hashed(password: str) -> str:
    with _turns:
        return _hasher.hash(password)


def fits(password: str, password_hash: str | None) -> bool:
    """Whether it is the password; for who is not there it takes as long and never is."""
    with _turns:
        try:
            held = password_hash or _of_nobody()
            return _hasher.verify(password, held) and password_hash is not None
        except ValueError:  # a hash that none of ours can read
            return False


@cache
def _of_nobody() -> str:
    """A hash that no password fits, made when it is first asked for: it costs as much as a try."""
    return _hasher.hash(secrets.token_urlsafe(16))
