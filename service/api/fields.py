"""What may stand in a request: texts, keys, instants, and quantities with or without a unit."""

from datetime import UTC, datetime
from typing import Annotated, Any

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, Strict, ValidationInfo

from models import quantity
from models.errors import InputError
from models.units import aware

LARGEST_KEY = 2**31 - 1
YEARS = (2000, 2100)
EXAMPLE = "ISO 8601 with offset, as 2026-10-14T18:30-05:00"


class Asked(BaseModel):
    """A request body: unknown fields and numbers that are none are refused."""

    model_config = ConfigDict(extra="forbid", allow_inf_nan=False, populate_by_name=True)


class Told(BaseModel):
    """An answer, made from a row."""

    model_config = ConfigDict(from_attributes=True, populate_by_name=True)


def read_instant(value: Any, info: ValidationInfo) -> Any:
    """An instant in UTC out of ISO 8601 text; a bare number is not a time."""
    field = info.field_name or "time"
    if isinstance(value, datetime) or value is None:
        return value
    if not isinstance(value, str):
        raise InputError(field, value, "not a time", EXAMPLE)
    try:
        at = aware(field, datetime.fromisoformat(value))
    except InputError:
        raise
    except (ValueError, OverflowError):
        raise InputError(field, value, "not a time", EXAMPLE) from None
    if not YEARS[0] <= at.year < YEARS[1]:
        raise InputError(field, value, "not a plausible year", f"{YEARS[0]} to {YEARS[1] - 1}")
    return at.astimezone(UTC)


def _quantity(dimension: str) -> BeforeValidator:
    def read(value: Any, info: ValidationInfo) -> Any:
        return (
            None if value is None else quantity.read(info.field_name or "value", value, dimension)
        )

    return BeforeValidator(read, json_schema_input_type=float | str)


def _clean(value: Any, info: ValidationInfo) -> Any:
    if isinstance(value, str):
        bad = [c for c in value if not (c.isprintable() or c in "\n\t")]
        if bad:
            raise InputError(
                info.field_name or "text", value, "holds unprintable characters", "plain text"
            )
    return value


Instant = Annotated[datetime, BeforeValidator(read_instant, json_schema_input_type=str)]
Key = Annotated[int, Strict(), Field(ge=1, le=LARGEST_KEY)]
Count = Annotated[int, Strict(), Field(ge=0, le=1000)]
YesNo = Annotated[bool, Strict()]
Word = Annotated[str, Field(max_length=60), BeforeValidator(_clean)]
Name = Annotated[str, Field(min_length=1, max_length=120), BeforeValidator(_clean)]
Note = Annotated[str, Field(max_length=2000), BeforeValidator(_clean)]

Length = Annotated[float, _quantity("length_mm")]
Temperature = Annotated[float, _quantity("temperature_C")]
TemperatureStep = Annotated[float, _quantity("temperature_difference_K")]
Stress = Annotated[float, _quantity("stress_MPa")]
Mass = Annotated[float, _quantity("mass_kg")]
TileMass = Annotated[float, _quantity("mass_g")]
Volume = Annotated[float, _quantity("volume_l")]
Hours = Annotated[float, _quantity("time_h")]
Coverage = Annotated[float, _quantity("coverage_m2_l")]
Density = Annotated[float, _quantity("density_kg_m3")]
Heat = Annotated[float, _quantity("heat_kJ_kg")]
Energy = Annotated[float, _quantity("energy_kJ_mol")]
Fineness = Annotated[float, _quantity("fineness_m2_kg")]
Resistance = Annotated[float, _quantity("resistance_m2K_W")]
Angle = Annotated[float, _quantity("angle_deg")]
Share = Annotated[float, _quantity("fraction")]
Percent = Annotated[float, _quantity("percent")]
Number = Annotated[float, _quantity("count")]


class ProtectionAsked(Asked):
    kind: Word
    from_at: Instant | None = None
    to_at: Instant | None = None
    R_m2K_W: Resistance | None = None
    setpoint_C: Temperature | None = None
    faces: Word = "top"
    heater: Word | None = Field(default=None, description="electric | vented | unvented")
