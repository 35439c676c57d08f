"""The piece as a shape: panel, box or block, with its openings."""

from dataclasses import dataclass

from models.errors import InputError
from models.message import Message, Value
from models.units import number_within, one_of

NEEDED = {"panel": ("thickness_mm",), "box": ("height_mm", "wall_mm"), "block": ("height_mm",)}
KINDS = tuple(NEEDED)
LIMITS_MM = {"thickness_mm": (10.0, 600.0), "height_mm": (10.0, 3000.0), "wall_mm": (10.0, 300.0)}
RIM_MM = 20.0  # least concrete beside an opening


@dataclass(frozen=True)
class Opening:
    """A hole through a panel: a rectangle, centred unless placed."""

    length_mm: float
    width_mm: float
    edge_mm: float | None = None  # concrete left along the nearer long edge

    def __post_init__(self) -> None:
        number_within("length_mm", self.length_mm, 5.0, 6000.0, "mm")
        number_within("width_mm", self.width_mm, 5.0, 6000.0, "mm")
        if self.edge_mm is not None:
            number_within("edge_mm", self.edge_mm, 0.0, 6000.0, "mm")


@dataclass(frozen=True)
class Shape:
    """Outside measures of a piece [mm]; a box is open on top, walls and floor of wall_mm."""

    kind: str
    length_mm: float
    width_mm: float
    thickness_mm: float | None = None
    height_mm: float | None = None
    wall_mm: float | None = None
    openings: tuple[Opening, ...] = ()

    def __post_init__(self) -> None:
        one_of("shape", self.kind, KINDS)
        number_within("length_mm", self.length_mm, 50.0, 6000.0, "mm")
        number_within("width_mm", self.width_mm, 50.0, 6000.0, "mm")
        for name, (low, high) in LIMITS_MM.items():
            value = getattr(self, name)
            if value is None and name in NEEDED[self.kind]:
                raise InputError(name, None, f"a {self.kind} needs it", f"{low:g} to {high:g} mm")
            if value is not None:
                number_within(name, value, low, high, "mm")
        if self.kind == "box" and self.wall_mm is not None:
            least = min(self.length_mm, self.width_mm)
            if 2 * self.wall_mm >= least:
                raise InputError(
                    "wall_mm",
                    self.wall_mm,
                    "the walls meet in the middle",
                    f"less than {least / 2:g} mm",
                )
        if self.openings and self.kind != "panel":
            wrong = f"a {self.kind} has none"
            raise InputError("opening", len(self.openings), wrong, "openings for a panel only")
        for k, hole in enumerate(self.openings):
            for name, whole in (("length_mm", self.length_mm), ("width_mm", self.width_mm)):
                most = whole - 2 * RIM_MM
                size = getattr(hole, name)
                if size > most:
                    raise InputError(
                        f"opening[{k}].{name}",
                        size,
                        f"larger than the piece allows ({whole:g} mm)",
                        f"at most {most:g} mm, which leaves {RIM_MM:g} mm of concrete at each side",
                    )

    @property
    def section_mm(self) -> float:
        """Thickness through which heat and moisture leave [mm]."""
        if self.kind == "panel":
            assert self.thickness_mm is not None
            return self.thickness_mm
        if self.kind == "box":
            assert self.wall_mm is not None
            return self.wall_mm
        assert self.height_mm is not None
        return min(self.height_mm, self.width_mm, self.length_mm)

    @property
    def volume_l(self) -> float:
        """Volume of concrete [l], openings left out. Source: geometry."""
        if self.kind == "panel":
            holes = sum(hole.length_mm * hole.width_mm for hole in self.openings)
            return (self.length_mm * self.width_mm - holes) * self.section_mm / 1e6
        assert self.height_mm is not None
        whole = self.length_mm * self.width_mm * self.height_mm
        if self.kind == "block":
            return whole / 1e6
        assert self.wall_mm is not None
        hollow = (
            (self.length_mm - 2 * self.wall_mm)
            * (self.width_mm - 2 * self.wall_mm)
            * (self.height_mm - self.wall_mm)
        )
        return (whole - hollow) / 1e6

    @property
    def described(self) -> Message:
        """As a maker writes it on the mould: its kind, its measures, its openings."""
        values: dict[str, Value] = {
            "shape": self.kind,
            "length_mm": self.length_mm,
            "width_mm": self.width_mm,
            "third_mm": self.thickness_mm if self.kind == "panel" else self.height_mm,
            "wall": (Message("piece_wall", {"wall_mm": self.wall_mm}),)
            if self.kind == "box"
            else (),
            "holes": (Message("piece_openings", {"openings": len(self.openings)}),)
            if self.openings
            else (),
        }
        return Message("piece", values)
