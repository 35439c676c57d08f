"""What the temperatures told of a place are held against: its weather at hand, its season."""

from datetime import datetime

from models import doubt
from models.air.place import Site
from models.air.series import AirSeries
from models.doubt import Expected
from models.errors import Unknown
from service import region


def around(site: Site, air: AirSeries | Unknown, at: datetime) -> tuple[Expected, ...]:
    """The weather at hand for an instant, and what the place has at that time of the year."""
    near = None if isinstance(air, Unknown) or air.typical else doubt.forecast(air, at)
    return tuple(one for one in (near, *season(site, at)) if one is not None)


def season(site: Site, at: datetime) -> tuple[Expected, ...]:
    """By the position of the place, else by the town its zone is named for; else nothing."""
    if site.latitude is not None and site.longitude is not None:
        return (doubt.season(site.latitude, site.longitude, at),)
    town = region.town_of(site.timezone)
    return () if town is None else (doubt.season(town.latitude, town.longitude, at),)
