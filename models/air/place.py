"""Where the piece stands, and what that makes of the weather outside."""

from dataclasses import dataclass

from models.errors import InputError
from models.units import number_within, one_of

KINDS = ("open yard", "covered", "unheated room", "heated room")


@dataclass(frozen=True)
class Site:
    """A place where pieces stand; None means not told, and a stated default with its spread is used."""

    kind: str
    latitude: float | None = None
    longitude: float | None = None
    timezone: str = "UTC"
    lag_h: float | None = None
    offset_K: float | None = None
    setpoint_C: float | None = None

    def __post_init__(self) -> None:
        one_of("kind", self.kind, KINDS)
        for name, low, high, unit in (
            ("latitude", -90.0, 90.0, "degrees"),
            ("longitude", -180.0, 180.0, "degrees"),
            ("lag_h", 0.1, 72.0, "h"),
            ("offset_K", -10.0, 20.0, "K"),
            ("setpoint_C", 0.0, 40.0, "degC"),
        ):
            value = getattr(self, name)
            if value is not None:
                number_within(name, value, low, high, unit)
        if self.kind == "heated room" and self.setpoint_C is None:
            raise InputError(
                "setpoint_C", None, "a heated room needs its temperature", "0 to 40 degC"
            )
