"""What a person's file holds: its bytes or its text, of a bounded size; refused by its name."""

from pathlib import Path

from models.errors import InputError


def bytes_of(source: str | Path, name: str, allowed: str, most: int) -> bytes:
    """The content of a file, or a text as bytes, of at most `most` bytes.

    Raises InputError, placed at `name`, where it cannot be read or is longer.
    """
    if isinstance(source, str):
        raw = source.encode("utf-8", "surrogatepass")
    else:
        try:
            with source.open("rb") as file:
                raw = file.read(most + 1)
        except OSError as error:
            wrong = f"cannot be read ({error.strerror})"
            raise InputError("file", str(source), wrong, allowed, name) from None
    if len(raw) > most:
        raise InputError("file", f"more than {most} bytes", "too large", allowed, name)
    return raw


def text_of(source: str | Path, name: str, allowed: str, most: int) -> str:
    """The same as text in UTF-8, with or without its mark; InputError for what is none."""
    raw = bytes_of(source, name, allowed, most)
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        shown = raw[error.start : error.start + 4].hex(" ")
        raise InputError("file", shown, "these bytes are not UTF-8", allowed, name) from None
