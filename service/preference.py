"""Whose units, language and clock: a browser's own choice, else the shop's, else its region's.

The choice of a browser is a signed cookie, so that nothing is read that was not written here. It is
signed with the secret of the shop's feed: with a new address of the feed browsers choose again. Of
a person who is signed in the last choice is kept as well, for notices.
"""

from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime
from typing import Any

from itsdangerous import BadSignature, URLSafeSerializer

from models.records import Shop
from service import region
from service.words.reader import (
    HOURS,
    LANGUAGES,
    ORDERS,
    PRESETS,
    SI,
    UNITS,
    Reader,
)

COOKIE = "castclock_reader"
COOKIE_AGE_S = 400 * 24 * 3600  # no browser keeps one longer
# what may be chosen, and among what
CHOICES: dict[str, tuple[Any, ...]] = {
    **UNITS,
    "language": LANGUAGES,
    "hours": HOURS,
    "order": ORDERS,
}


def of_shop(shop: Shop, now: datetime | None = None) -> Reader:
    """The shop as a reader, whom notices and the calendar speak to."""
    units = shop.units or region.units_at(shop.timezone)
    american = region.country_of(shop.timezone) in region.CUSTOMARY
    return Reader(
        shop.timezone,
        PRESETS.get(units, SI),
        "en-US" if american else "en-GB",
        now,
        hours=12 if american else 24,
        order="mdy" if american else "dmy",
        works=(shop.working_from, shop.working_to),
        untold=not units,
    )


def of_browser(reader: Reader, cookie: str | None, accepted: str, secret: str) -> Reader:
    """The shop as a reader, with what a browser speaks, then with what was chosen in it."""
    wanted = (one.partition(";")[0].strip().lower() for one in accepted.split(","))
    english = next((one for one in wanted if one.startswith("en-")), "")
    language = "en-US" if english == "en-us" else "en-GB" if english else reader.language
    if language != reader.language:
        american = language == "en-US"
        reader = replace(
            reader,
            language=language,
            hours=12 if american else 24,
            order="mdy" if american else "dmy",
        )
    # a number is shown in the units its region speaks of; typed bare it still asks for its own
    shown = replace(proposed(reader, accepted), untold=reader.untold)
    return with_chosen(shown, _read(cookie, secret))


def proposed(reader: Reader, accepted: str) -> Reader:
    """Whose units nobody chose and no zone tells: those of the region that a browser speaks of.

    To be shown beside every box and to be changed there, never to read a bare number by."""
    spoken = accepted.partition(",")[0].partition(";")[0].strip().partition("-")[2].upper()
    if not reader.untold or len(spoken) != 2:
        return reader
    return replace(
        reader, units=PRESETS["us" if spoken in region.CUSTOMARY else "si"], untold=False
    )


def with_chosen(reader: Reader, chosen: Mapping[str, Any]) -> Reader:
    """A reader with what was chosen; whatever is no choice is left as it was."""
    known = {name: one for name, one in chosen.items() if one in CHOICES.get(name, ())}
    preset = chosen.get("units")
    units = PRESETS.get(preset, reader.units) if isinstance(preset, str) else reader.units
    own = {name: known.pop(name) for name in UNITS if name in known}
    untold = reader.untold and not own and preset not in PRESETS
    return replace(reader, units=replace(units, **own), untold=untold, **known)


def chosen(reader: Reader) -> dict[str, Any]:
    """What a reader has chosen, as the cookie keeps it."""
    return {name: getattr(reader.units, name) for name in UNITS} | {
        name: getattr(reader, name) for name in ("language", "hours", "order")
    }


def typed(text: str) -> Any:
    """What a form sends, as it is kept: hours are a number."""
    return int(text) if text.isascii() and text.isdigit() and len(text) < 3 else text


def signed(reader: Reader, secret: str) -> str:
    """The cookie of a reader."""
    text = _serializer(secret).dumps(chosen(reader))
    return text if isinstance(text, str) else text.decode()


def flipped(reader: Reader) -> Reader:
    """Who sees every number in the other unit."""
    return replace(reader, units=reader.units.flipped)


def _read(cookie: str | None, secret: str) -> Mapping[str, Any]:
    try:
        found = _serializer(secret).loads(cookie or "")
    except BadSignature:
        return {}
    return found if isinstance(found, dict) else {}


def _serializer(secret: str) -> URLSafeSerializer:
    return URLSafeSerializer(secret, salt=COOKIE)
