"""Compiled code on the disk: behind it stands its SHA-256, since torn machine code would run."""

import hashlib
import io
import pickletools
from pathlib import Path

LENGTH = hashlib.sha256().digest_size
KINDS = (".nbi", ".nbc")  # how numba names its indexes and their code


def sealed(content: bytes) -> bytes:
    return content + hashlib.sha256(content).digest()


def is_whole(path: Path) -> bool:
    """Whether it is as it was sealed; OSError where it cannot be read."""
    content = path.read_bytes()
    return hashlib.sha256(content[:-LENGTH]).digest() == content[-LENGTH:]


def was_never_sealed(path: Path) -> bool:
    """Whether it ends as its writer meant: numba's own files, and ours from before the seal, are
    pickles one behind the other. Nothing of them is run."""
    content = path.read_bytes()
    stream = io.BytesIO(content)
    try:
        while stream.tell() < len(content):
            for _ in pickletools.genops(stream):
                pass
    except ValueError:
        return False
    return content != b""


def compiled(folder: Path) -> list[Path]:
    """Every file of compiled code below a folder; none where there is no such folder."""
    return sorted(path for path in folder.rglob("*") if path.suffix in KINDS)
