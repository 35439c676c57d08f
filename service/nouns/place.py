"""A place where pieces stand."""

from typing import Any

from pydantic import Field

from models.air.place import KINDS
from models.air.sun import LOOKS_DEG
from models.facts.rooms import ROOM_LAG_H, ROOM_OFFSET_K
from models.records.fields import Word
from models.records.place import PlaceBase, PlaceCalibrated
from service import region
from service.nouns.base import Owned, RequestBody, ResponseBody
from service.nouns.controls import Controls, listed
from service.nouns.cover import HEATER_OPTIONS
from service.nouns.form import Control, Form
from service.vocabulary import Heater, Hollow, Looks, PlaceKind

PLACE_WORDS = {
    "open yard": "open yard",
    "covered": "carport or roof",
    "unheated room": "garage, unheated",
    "heated room": "heated room",
}
PLACE_NAMES = {
    "open yard": "Yard",
    "covered": "Carport",
    "unheated room": "Garage",
    "heated room": "Heated room",
}
HOLLOW_OPTIONS = (
    ("", "not known"),
    ("no", "no: on a slope, a rise or level ground"),
    ("a little", "a little: white there, not around"),
    ("a hollow", "a hollow: fog and frost lie in it"),
)
LOOKS_OPTIONS = (("", "all round, or not known"), *((one, one) for one in LOOKS_DEG))
PLACE = "place."
OF_HEAT = ("setpoint_C", "heated_from", "heated_to", "heater")


class PlaceWords(PlaceBase):
    kind: PlaceKind
    hollow: Hollow | None = Field(
        default=None, description="colder than around on clear nights; none: not told"
    )
    looks: Looks | None = Field(
        default=None, description="where standing faces look; none: all round"
    )
    heater: Heater | None = None


class PlaceCreate(PlaceWords, RequestBody):
    timezone: Word | None = Field(default=None, description="none: that of the position")


class ForecastScore(ResponseBody):
    """Forecasts from `from_h` to `to_h` ahead, as they were compared with what came."""

    from_h: float
    to_h: float
    days: int = Field(description="different days that were compared")
    bias_K: float = Field(description="taken off forecasts: too warm when positive")
    factor: float = Field(description="by which the spread of forecasts is scaled")
    seen_bias_K: float
    seen_sd_K: float
    inside_80: float = Field(description="share of hours within the stated 80 % band")


class PlacePoured(PlaceWords, ResponseBody):
    timezone: str


class PlaceRead(PlacePoured, PlaceCalibrated, Owned):
    learned_forecast: list[ForecastScore] | None = Field(
        description="what kept forecasts were off, by lead; kept anew each day"
    )


def controls(zone: str) -> list[Control]:
    kinds = listed({kind: PLACE_WORDS[kind] for kind in KINDS})
    place = Controls(PlaceCreate, PLACE)
    return [
        place("name", "Name", placeholder="named for you"),
        place("kind", "Spot", "radio", options=kinds, default="open yard", needed=True),
        place("latitude", "Latitude", hint="44.0; south is negative"),
        place("longitude", "Longitude", hint="-92.0; west is negative"),
        place("altitude_m", "Height above the sea", hint="320 m or 1050 ft"),
        place("hollow", "Colder than around on clear nights", "choice", options=HOLLOW_OPTIONS),
        place("looks", "Where standing faces look", "choice", options=LOOKS_OPTIONS),
        place(
            "timezone",
            "Time zone",
            "zone",
            placeholder="that of its town or position",
            default="" if zone in region.NO_PLACE else zone,
        ),
        place("setpoint_C", "Kept at", default="18 C or 65 F"),
        place("heated_from", "Heated from", hint="empty: day and night"),
        place("heated_to", "Heated until"),
        place("heater", "Heater", "choice", options=HEATER_OPTIONS),
        place("lag_h", "Lags the weather by", hint=f"usually {ROOM_LAG_H:g} h"),
        place(
            "offset_K",
            "Warmer than outdoors by",
            hint=f"{ROOM_OFFSET_K:g} K or {ROOM_OFFSET_K * 1.8:.3g} F; where not told",
        ),
    ]


def values(form: Form) -> dict[str, Any]:
    """What a place's row shall say; what heats it is left out where nothing does."""
    kind = form.shown(f"{PLACE}kind")
    values = form.values_of(PlaceCreate, PLACE, OF_HEAT if kind != "heated room" else ())
    if values["timezone"] in region.NO_PLACE and values["latitude"] is not None:
        values["timezone"] = None  # a machine without a zone, not a place at Greenwich
    return {**values, "name": values["name"] or PLACE_NAMES.get(kind, "Place")}
