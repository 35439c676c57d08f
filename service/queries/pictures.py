"""Every picture that is kept, whatever it shows."""

import hashlib
from collections.abc import Iterator

from sqlmodel import Session, col, select

from models.records import MouldFault, Photo

AT_A_TIME = 8  # of up to 8 MB each


def as_kept(session: Session) -> Iterator[bool]:
    """Of each picture whether it is what was kept: its content has the digest of then."""
    for table in (Photo, MouldFault):
        wanted = select(table.sha256, table.content).where(col(table.content).is_not(None))
        for digest, content in session.exec(wanted.execution_options(yield_per=AT_A_TIME)):
            yield hashlib.sha256(content or b"").hexdigest() == digest
