"""Instants, days and hours as they are typed: by the wall clock of a place.

In autumn one hour comes twice. Nobody is asked in which of both unless it was typed, and then its
field has a second one, `NAME.pass`, until another hour is typed.
"""

from datetime import UTC, date, datetime, time
from zoneinfo import ZoneInfo

from models.errors import InputError
from models.instants import plausible
from service import region
from service.words import instants

EXAMPLE = "a date and time, as 2026-10-14T18:30"
PASSES = ("first", "second")


class ComesTwice(InputError):
    """An hour of which nobody said whether it is the first or the second."""


def moment(name: str, text: str, zone: str, passed: str = "") -> datetime:
    """An instant typed as the wall clock of `zone` shows it.

    passed : of an hour that comes twice, first or second
    """
    try:
        typed = datetime.fromisoformat(text)
    except ValueError:
        raise InputError(name, text, "not a time", EXAMPLE) from None
    plausible(name, typed)
    if typed.tzinfo is not None:
        return typed.astimezone(UTC)
    own = region.known_zone(name, zone)
    first, second = (typed.replace(tzinfo=own, fold=fold).astimezone(UTC) for fold in (0, 1))
    if first.astimezone(own).replace(tzinfo=None) != typed:
        raise InputError(name, text, f"left out by the clocks of {zone} that night", EXAMPLE)
    if first == second or passed == PASSES[1]:
        return second
    if passed == PASSES[0]:
        return first
    names = (instants.which(one.astimezone(own)).strip() for one in (first, second))
    raise ComesTwice(
        name, text, "comes twice that night", "the first ({}) or the second ({})".format(*names)
    )


def typed_moment(name: str, at: datetime, zone: str) -> dict[str, list[str]]:
    """The fields of an instant as if it had been typed."""
    local = at.astimezone(ZoneInfo(zone))
    out = {name: [f"{local:%Y-%m-%dT%H:%M}"]}
    if instants.which(local):
        out[f"{name}.pass"] = [PASSES[local.fold]]
    return out


def day(name: str, text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise InputError(name, text, "not a date", "year, month and day, as 2027-03-31") from None


def clock(name: str, text: str) -> time:
    """A wall-clock time, as 07:00."""
    try:
        return time.fromisoformat(text).replace(tzinfo=None)
    except ValueError:
        raise InputError(name, text, "not a time of day", "as 07:00") from None
