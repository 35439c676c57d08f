"""What the fields of a row are: quantities, whose unit a request may type, and texts."""

from dataclasses import dataclass
from datetime import datetime, time
from typing import Annotated, Any

from pydantic import (
    AfterValidator,
    BeforeValidator,
    GetCoreSchemaHandler,
    Strict,
    ValidationInfo,
    WithJsonSchema,
)
from pydantic import Field as Limit
from pydantic_core import CoreSchema, core_schema

from models import quantity
from models.errors import InputError
from models.instants import instant

LARGEST_KEY = 2**31 - 1


@dataclass(frozen=True)
class Quantity:
    """A number in the unit of `dimension`, a key of facts.conversions.DIMENSIONS.

    Where it is validated a text with a unit is read; a row is not validated.
    """

    dimension: str

    def __get_pydantic_core_schema__(
        self, source: Any, handler: GetCoreSchemaHandler
    ) -> CoreSchema:
        def read(value: object, info: ValidationInfo) -> object:
            field = info.field_name or "value"
            return None if value is None else quantity.read(field, value, self.dimension)

        typed = BeforeValidator(read, json_schema_input_type=float | str)
        return typed.__get_pydantic_core_schema__(source, handler)


@dataclass(frozen=True)
class Text:
    """A text of at least and at most so many characters, all printable."""

    least: int
    most: int

    def __get_pydantic_core_schema__(
        self, _source: Any, _handler: GetCoreSchemaHandler
    ) -> CoreSchema:
        limited = core_schema.str_schema(min_length=self.least or None, max_length=self.most)
        return core_schema.with_info_before_validator_function(_printable, limited)


def _printable(value: object, info: ValidationInfo) -> object:
    if isinstance(value, str) and not all(c.isprintable() or c in "\n\t" for c in value):
        field = info.field_name or "text"
        raise InputError(field, value, "holds unprintable characters", "plain text")
    return value


def _instant(value: object, info: ValidationInfo) -> object:
    """A bare number is not a time; what is one already was read by a form."""
    ready = value is None or isinstance(value, datetime)
    return value if ready else instant(info.field_name or "time", value)


def _of_the_wall(value: time, info: ValidationInfo) -> time:
    if value.tzinfo is not None:
        field = info.field_name or "time"
        raise InputError(field, value.isoformat(), "carries an offset", "wall clock, as 07:00")
    return value


Word = Annotated[str, Text(0, 60)]
Name = Annotated[str, Text(1, 120)]
Note = Annotated[str, Text(0, 2000)]
YesNo = Annotated[bool, Strict()]
Key = Annotated[int, Strict(), Limit(ge=1, le=LARGEST_KEY)]
Count = Annotated[int, Strict(), Limit(ge=0, le=1000)]
Several = Annotated[int, Strict(), Limit(ge=1, le=1000)]

# of the wall: JSON Schema's own `time` has an offset (RFC 3339)
WallClock = Annotated[
    time,
    AfterValidator(_of_the_wall),
    WithJsonSchema({"type": "string", "pattern": r"^\d\d:\d\d(:\d\d)?$", "examples": ["07:00"]}),
]
_WITH_OFFSET = Annotated[str, WithJsonSchema({"type": "string", "format": "date-time"})]
Instant = Annotated[datetime, BeforeValidator(_instant, json_schema_input_type=_WITH_OFFSET)]

Length = Annotated[float, Quantity("length_mm")]
Area = Annotated[float, Quantity("area_m2")]
Height = Annotated[float, Quantity("height_m")]
Temperature = Annotated[float, Quantity("temperature_C")]
TemperatureStep = Annotated[float, Quantity("temperature_difference_K")]
Stress = Annotated[float, Quantity("stress_MPa")]
Mass = Annotated[float, Quantity("mass_kg")]
TileMass = Annotated[float, Quantity("mass_g")]
Volume = Annotated[float, Quantity("volume_l")]
Hours = Annotated[float, Quantity("time_h")]
Days = Annotated[float, Quantity("time_d")]
Coverage = Annotated[float, Quantity("coverage_m2_l")]
Density = Annotated[float, Quantity("density_kg_m3")]
Heat = Annotated[float, Quantity("heat_kJ_kg")]
Energy = Annotated[float, Quantity("energy_kJ_mol")]
Fineness = Annotated[float, Quantity("fineness_m2_kg")]
Resistance = Annotated[float, Quantity("resistance_m2K_W")]
Angle = Annotated[float, Quantity("angle_deg")]
Fraction = Annotated[float, Quantity("fraction")]
Percent = Annotated[float, Quantity("percent")]
Number = Annotated[float, Quantity("count")]
