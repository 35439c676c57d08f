"""The clock of a logger: its times as instants, over the nights in which clocks are changed.

Many a logger never changes its clock. Its times then lie in the hour that spring leaves out, or go
once through the hour that comes twice in autumn: that is seen, and guessed to be so.
"""

import re
from collections.abc import Sequence
from datetime import UTC, datetime, timedelta, timezone, tzinfo
from statistics import median

from models.errors import InputError
from service import region

FIXED = re.compile(r"UTC([+-])(\d\d):(\d\d)")
DENSE = timedelta(minutes=30)  # rows so near each other show whether an hour came twice
FARTHEST = timedelta(hours=14)  # from UTC
NONE = timedelta(0)


def zone_of(name: str) -> tzinfo:
    """Of an IANA name, or of a clock that is never changed, as UTC-05:00."""
    fixed = FIXED.fullmatch(name)
    if fixed is None:
        return region.known_zone("zone", name)
    offset = timedelta(hours=int(fixed[2]), minutes=int(fixed[3]))
    if offset > FARTHEST:
        raise InputError("zone", name, "no clock is so far from UTC", "UTC-12:00 to UTC+14:00")
    return timezone(-offset if fixed[1] == "-" else offset)


def never_changed(walls: Sequence[datetime], zone: str) -> str:
    """The name of the clock that was right when the file began and was not changed since."""
    offset = walls[0].replace(tzinfo=zone_of(zone)).utcoffset() or NONE
    minutes = round(offset.total_seconds() / 60)
    return f"UTC{'-' if minutes < 0 else '+'}{abs(minutes) // 60:02d}:{abs(minutes) % 60:02d}"


def guessed(walls: Sequence[datetime], zone: str) -> str:
    """The zone, or its clock unchanged where the times show that nobody changed it."""
    place, walls = zone_of(zone), sorted_forward(walls)
    if any(_is_left_out(one, place) for one in walls):
        return never_changed(walls, zone)
    inside = [k for k, one in enumerate(walls) if _comes_twice(one, place)]
    whole = bool(inside) and inside[0] > 0 and inside[-1] < len(walls) - 1
    if not whole or turns([walls[k] for k in inside]):
        return zone
    return never_changed(walls, zone) if _step(walls) <= DENSE else zone


def sorted_forward(walls: Sequence[datetime]) -> list[datetime]:
    """The oldest first: some files are written the other way round."""
    return list(reversed(walls)) if _runs_back(walls) else list(walls)


def _runs_back(walls: Sequence[datetime]) -> bool:
    """Whether most rows are older than the one above; in the night of autumn one is."""
    pairs = list(zip(walls, walls[1:], strict=False))
    return sum(b < a for a, b in pairs) > sum(b > a for a, b in pairs)


def instants(walls: Sequence[datetime], zone: str) -> list[datetime | None]:
    """Instants of the times on the wall, in their order; None: its clock never showed that one.

    Of the hour that comes twice each is the one that follows the row before it; where no row tells,
    the later, so that nothing is taken for older than it is.
    """
    place = zone_of(zone)
    found: list[datetime | None] = []
    forward = sorted_forward(walls)
    step = _step(forward)
    before: datetime | None = None
    for k, wall in enumerate(forward):
        first, second = (wall.replace(tzinfo=place, fold=fold) for fold in (0, 1))
        if _is_left_out(wall, place):
            found.append(None)
            continue
        early, late = first.astimezone(UTC), second.astimezone(UTC)
        at = early
        if early != late:
            if before is None:
                run = [one for one in forward[k:] if _comes_twice(one, place)]
                at = early if turns(run) else late
            else:
                at = _nearer(before + step, early, late)
        before = at
        found.append(at)
    return list(reversed(found)) if _runs_back(walls) else found


def _nearer(wanted: datetime, early: datetime, late: datetime) -> datetime:
    return early if abs(early - wanted) <= abs(late - wanted) else late


def turns(walls: Sequence[datetime]) -> bool:
    """Whether a clock was set back among them."""
    return any(b <= a for a, b in zip(walls, walls[1:], strict=False))


def _step(walls: Sequence[datetime]) -> timedelta:
    """How far rows mostly lie from each other."""
    gaps = [(b - a).total_seconds() for a, b in zip(walls, walls[1:], strict=False) if b > a]
    return timedelta(seconds=median(gaps)) if gaps else NONE


def _comes_twice(wall: datetime, zone: tzinfo) -> bool:
    first, second = (wall.replace(tzinfo=zone, fold=fold).utcoffset() for fold in (0, 1))
    return first != second and not _is_left_out(wall, zone)


def _is_left_out(wall: datetime, zone: tzinfo) -> bool:
    at = wall.replace(tzinfo=zone)
    return at.astimezone(UTC).astimezone(zone).replace(tzinfo=None) != wall
