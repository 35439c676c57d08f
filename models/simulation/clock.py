"""Hours from placing as instants on the clock of the place."""

from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np

from models.simulation.scenario import Scenario


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
