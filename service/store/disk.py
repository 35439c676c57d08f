"""Waiting until contents of files and names in folders are on the disk."""

import os
from pathlib import Path


def settle(path: Path) -> None:
    """Wait until the contents of a file are on the disk."""
    with path.open("rb+") as file:
        os.fsync(file.fileno())


def settle_names(folder: Path) -> None:
    """Wait until what was made, renamed or removed in a folder is on the disk."""
    if os.name == "nt":  # there folders cannot be opened, and names need no waiting for
        return
    opened = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(opened)
    finally:
        os.close(opened)


def made(folder: Path) -> None:
    """Make a folder with those above it, if it is missing, so that it outlasts a power cut."""
    missing = [one for one in (folder, *folder.parents) if not one.exists()]
    folder.mkdir(parents=True, exist_ok=True)
    for one in missing:
        settle_names(one.parent)
