"""What stands between the concrete and the air: mould boards, covers, and when they change."""

import math
from dataclasses import dataclass

from models.errors import InputError
from models.facts.materials import BOARDS
from models.facts.protection import COVERS, HEATERS
from models.units import Array, number_within, one_of, optional_within

FACES = ("top", "sides", "all")
TURNAROUND_H = (0.0, 720.0)  # of a mould, from its strip to the next pour: what may be told [h]


@dataclass(frozen=True)
class MouldBoard:
    """The board a piece is cast on and between; `ground` is cast in place, thickness not used.

    The rest says how its walls are held: models/mould asks it, the heat does not.
    brace_spacing_mm : of ribs or clamps along a wall; rim_held : its top edge is strapped, bridged
    """

    material: str = "melamine"
    thickness_mm: float = 16.0
    brace_spacing_mm: float | None = None
    rim_held: bool = False
    screw_spacing_mm: float | None = None
    screw_diameter_mm: float | None = None
    screw_length_mm: float | None = None

    def __post_init__(self) -> None:
        one_of("material", self.material, BOARDS)
        number_within("thickness_mm", self.thickness_mm, 1.0, 150.0, "mm")
        limits = (
            ("brace_spacing_mm", 50.0, 6000.0, "mm"),
            ("screw_spacing_mm", 10.0, 1000.0, "mm"),
            ("screw_diameter_mm", 2.0, 10.0, "mm"),
            ("screw_length_mm", 10.0, 200.0, "mm"),
        )
        optional_within(self, limits)


@dataclass(frozen=True)
class Covering:
    """A cover or enclosure over part of the timeline; hours count from placing.

    faces : "top" lies on the open face and on nothing else, "sides" hangs down round the piece too,
        "all" wraps its underside as well; None is not told, and counts as "top"
    heater : what heats it, a key of HEATERS; None is not told
    """

    from_h: float
    to_h: float | None
    kind: str
    R_m2K_W: float | None = None
    setpoint_C: float | None = None
    faces: str | None = None
    heater: str | None = None
    read_C: float | None = None  # what was read inside, where its heat was off

    @property
    def heats(self) -> bool:
        """Whether it is kept at a temperature."""
        return self.setpoint_C is not None

    @property
    def insulates(self) -> bool:
        """Whether it keeps a piece warm by its thickness: where it lies is worth telling then."""
        return not self.heats and self.resistance_m2K_W > COVERS["film"].R_m2K_W

    @property
    def reach(self) -> str:
        """The faces that it is sure to lie on."""
        return self.faces or "top"

    @property
    def until_h(self) -> float:
        """Hour from placing at which it comes off [h]; infinite: none is told."""
        return math.inf if self.to_h is None else self.to_h

    @property
    def resistance_m2K_W(self) -> float:
        """Its own thermal resistance as told, else the usual one of its kind [m2K/W]."""
        return COVERS[self.kind].R_m2K_W if self.R_m2K_W is None else self.R_m2K_W

    def __post_init__(self) -> None:
        limits = (
            ("from_h", 0.0, 20000.0, "h"),
            ("to_h", 0.0, 20000.0, "h"),
            ("R_m2K_W", 0.0, 10.0, "m2K/W"),
            ("setpoint_C", 0.0, 50.0, "degC"),
        )
        optional_within(self, limits)
        if self.to_h is not None and self.to_h <= self.from_h:
            raise InputError("to_h", self.to_h, "not after from_h", f"more than {self.from_h:g} h")
        one_of("kind", self.kind, COVERS)
        if self.faces is not None:
            one_of("faces", self.faces, FACES)
        if self.kind == "heated enclosure" and self.setpoint_C is None:
            raise InputError(
                "setpoint_C", None, "a heated enclosure needs its temperature", "0 to 50 degC"
            )
        if self.heater is not None:
            one_of("heater", self.heater, HEATERS)
            if not self.heats:
                wrong = "nothing here is heated"
                raise InputError("heater", self.heater, wrong, "only beside setpoint_C")


@dataclass(frozen=True)
class Schedule:
    """What is in force from each instant on; hours count from placing, `from_h` starts at 0.

    R_* [m2K/W], R_side with the side boards in it; board_on, sides_on whether the boards under it
    and round it are there; wet whether the top face is bare and wet;
    *_fixed_C [degC] replace the outside (enclosure, ground), NaN where there is none.
    """

    from_h: Array
    R_top: Array
    R_bottom: Array
    R_side: Array
    board_on: Array
    sides_on: Array
    wet: Array
    top_fixed_C: Array
    bottom_fixed_C: Array
