"""Checks on instants and names that several actions share."""

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime, timedelta

from models.errors import InputError

CLOCKS_DIFFER = timedelta(minutes=10)  # a phone's clock may run ahead by this much


def not_ahead(field: str, at: datetime, now: datetime) -> None:
    """What was seen or done cannot lie in the future."""
    if at > now + CLOCKS_DIFFER:
        raise InputError(
            field, at.isoformat(), "lies in the future", f"a time up to {now.isoformat()}"
        )


def not_before_the_pour(field: str, at: datetime, placed_at: datetime) -> None:
    if at < placed_at:
        raise InputError(
            field, at.isoformat(), "before the pour", f"a time from {placed_at.isoformat()} on"
        )


@contextmanager
def fields_named(**names: str) -> Iterator[None]:
    """An error of the science under the name that the request has for the field."""
    try:
        yield
    except InputError as error:
        name = names.get(error.field, error.field)
        raise InputError(name, error.value, error.wrong, error.allowed, error.where) from None
