"""Compiled code on the disk: behind it stands its SHA-256, since torn machine code would run."""

import hashlib
from pathlib import Path

LENGTH = hashlib.sha256().digest_size
KIND = ".kernel"


def sealed(content: bytes) -> bytes:
    return content + hashlib.sha256(content).digest()


def holds(content: bytes) -> bool:
    """Whether it is as it was sealed."""
    return hashlib.sha256(content[:-LENGTH]).digest() == content[-LENGTH:]


def compiled(folder: Path) -> list[Path]:
    """Every file of compiled code below a folder; none where there is no such folder."""
    return sorted(path for path in folder.rglob("*") if path.suffix == KIND)
