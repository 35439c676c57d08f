"""Hours from placing as instants on the clock of the place, and how people say them."""

from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np

from models.projection.scenario import Scenario


def on_the_clock(at: datetime, timezone: str) -> str:
    """An instant on the clock of a place: `Thu 15 Oct 07:30`; of a doubled hour with its offset."""
    here = at.astimezone(ZoneInfo(timezone))
    return f"{here:%a %-d %b %H:%M}{which(here)}"


def which(local: datetime) -> str:
    """` CDT`, or ` +1030` without letters, of a time that a clock shows twice; else nothing.

    local : an instant taken to its zone, so that it is never in an hour that the clocks leave out
    """
    if local.replace(fold=1 - local.fold).utcoffset() == local.utcoffset():
        return ""
    return f" {local:%Z}" if f"{local:%Z}".isalpha() else f" {local:%z}"


def local(scenario: Scenario, at: datetime) -> str:
    """An instant on the clock of the place: `Thu 15 Oct 07:30`."""
    return on_the_clock(at, scenario.site.timezone)


def instant(scenario: Scenario, hour: float) -> datetime:
    """`hour` hours after placing, in the zone of the place."""
    at = scenario.placement.at + timedelta(hours=float(hour))
    return at.astimezone(ZoneInfo(scenario.site.timezone))


def clock(scenario: Scenario, hour: float, *, closes: bool = False) -> datetime | None:
    """The same to the whole minute; None where the hour is not finite.

    Openings are rounded up and closings down, so that the minute told is never too early or late.
    """
    if not np.isfinite(hour):
        return None
    at = scenario.placement.at + timedelta(hours=float(hour))
    minute = at.replace(second=0, microsecond=0)
    if not closes and minute < at:
        minute += timedelta(minutes=1)
    return minute.astimezone(ZoneInfo(scenario.site.timezone))


def said(scenario: Scenario, hour: float) -> str:
    """The same instant as people say it: `Thu 15 Oct 07:30`."""
    at = clock(scenario, hour)
    return "not within the plan" if at is None else local(scenario, at)
