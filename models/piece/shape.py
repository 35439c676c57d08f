"""The piece as a shape: how much it is, what faces it has, how thick it is, where it balances."""

from dataclasses import dataclass, replace
from functools import cached_property

from models.errors import InputError
from models.message import Message, Value
from models.piece.impossible import refuse_impossible
from models.piece.measures import KINDS, NEEDED, FaceTold, Insert, Measures, Opening
from models.piece.outline import View, views_of
from models.piece.part import Edge, Parts, Plate
from models.piece.parts import parts_of

__all__ = (
    "KINDS",
    "Edge",
    "Face",
    "FaceTold",
    "Insert",
    "Opening",
    "Plate",
    "Shape",
    "faces_of",
    "like",
)

# as which of the first three kinds heat, drying, covers and coats take a piece
LIKE = {
    "round-panel": "panel",
    "ribbed-panel": "panel",
    "slab-with-basin": "panel",
    "basin": "box",
    "l-shape": "panel",
    "u-shape": "panel",
    "steps": "block",
    "by-hand": "panel",
}
CAST = {
    "box": "face-up",
    "block": "face-up",
    "l-shape": "on-side",
    "u-shape": "on-side",
    "steps": "on-side",
}
# the face that lies open as it is cast, the first that the piece has
OPEN = {"face-down": ("underside",), "face-up": ("rim", "top"), "on-side": ("back",)}
NOT_SHOWN = ("underside",)
OF_PANEL = ("top", "edges", "openings", "underside")
OF_LEGS = ("top", "front", "back", "sides", "inside", "underside")
OF_KIND = {
    "slab-with-basin": (*OF_PANEL, "inside", "floor"),
    "box": ("sides", "inside", "floor", "rim", "openings", "underside"),
    "basin": ("sides", "inside", "floor", "rim", "openings", "underside"),
    "block": ("top", "sides", "underside"),
    "l-shape": OF_LEGS,
    "u-shape": OF_LEGS,
    "steps": ("top", "front", "back", "sides", "underside"),
    "by-hand": ("whole",),
}


def like(kind: str) -> str:
    """As which of panel, box and block a kind is taken. Source: classes of facts."""
    return LIKE.get(kind, kind)


def faces_of(kind: str) -> tuple[str, ...]:
    """The faces that a kind may have. Source: geometry."""
    return OF_KIND.get(kind, OF_PANEL)


@dataclass(frozen=True)
class Face:
    """One face of a piece: its area, where it looks in use, and how it came about.

    looks : up | down | side; against : mould | open
    """

    key: str
    area_m2: float
    looks: str
    against: str
    shown: bool
    trowelled: bool


@dataclass(frozen=True)
class Shape(Measures):
    """What a maker tells of a piece, and what follows from it."""

    def __post_init__(self) -> None:
        refuse_impossible(self)
        has = {key for key, _, _ in self.parts.faces}
        for k, told in enumerate(self.faces_told):
            if told.face not in has:
                allowed = "one of " + " | ".join(sorted(has))
                wrong = f"a {self.kind} has no such face"
                raise InputError(f"face[{k}].face", told.face, wrong, allowed)

    @cached_property
    def parts(self) -> Parts:
        """The solids, faces, flat parts and edges that it is put together of."""
        return parts_of(self)

    @property
    def like(self) -> str:
        """As which of panel, box and block heat, drying and covers take it."""
        return like(self.kind)

    @property
    def has_knock_outs(self) -> bool:
        """Whether something goes into the mould that has to come out of the concrete again."""
        return bool(self.openings) or self.drain_mm is not None

    @property
    def has_core(self) -> bool:
        """Whether a part of its mould stands between walls of concrete, which shrink on it."""
        between = self.drop_edge_mm is not None and self.drop_sides != "front"
        return self.like == "box" or self.kind in ("slab-with-basin", "u-shape") or between

    @property
    def cast_as(self) -> str:
        """How it lies in its mould: face-down | face-up | on-side."""
        return self.cast_way or CAST.get(self.kind, "face-down")

    @property
    def volume_l(self) -> float:
        """Volume of concrete [l], openings left out. Source: geometry."""
        if self.kind == "by-hand":
            return self.measured("told_volume_l")
        return sum(one.volume_mm3 for one in self.parts.solids) / 1e6

    @property
    def centre_of_gravity_mm(self) -> tuple[float, float, float]:
        """Where it balances, from its left, its front and its foot [mm]. Source: geometry.

        Of a piece told by hand, the middle of its outside.
        """
        solids = self.parts.solids
        if not solids:
            high = self.height_mm or self.measured("thickest_part_mm")
            return self.length_mm / 2, self.width_mm / 2, high / 2
        whole = sum(one.volume_mm3 for one in solids)
        x, y, z = (sum(each) / whole for each in zip(*(s.moment_mm4 for s in solids), strict=True))
        return x, y, z

    @property
    def thinnest_mm(self) -> float:
        """Of all its parts [mm]: what cools first, and what breaks first."""
        return self.parts.thin_mm

    @property
    def thickest_mm(self) -> float:
        """Of all its parts [mm]: what dries last."""
        return self.parts.thick_mm

    @property
    def section_mm(self) -> float:
        """Thickness through which heat leaves [mm]: the thinnest part, which is cold first."""
        return self.thinnest_mm

    @property
    def standing_mm(self) -> float:
        """Height of the section of what stands as it was cast [mm]."""
        return self.measured("height_mm") if self.kind == "block" else self.thinnest_mm

    @property
    def height_of_piece_mm(self) -> float:
        """From its foot to its top [mm]."""
        solids = [one for one in self.parts.solids if not one.hollow]
        if not solids:
            return self.height_mm or self.measured("thickest_part_mm")
        return max(one.high.at for one in solids)

    @property
    def depth_known(self) -> bool:
        """Whether it is told how deep it is cast: not of what is told by hand without a height."""
        return self.kind != "by-hand" or self.height_mm is not None

    @property
    def laid_mm(self) -> tuple[float, float, float]:
        """Length, width and depth as it lies in its mould [mm]; on its side it is as deep as it is
        wide, since its back lies open. Source: geometry.
        """
        length, width, high = self.length_mm, self.width_mm, self.height_of_piece_mm
        if self.cast_as == "on-side":
            return max(length, high), min(length, high), width
        return max(length, width), min(length, width), high

    @property
    def third_mm(self) -> float:
        """What is told beside length and width [mm]: its height, of a panel its thickness."""
        told = self.height_mm if "height_mm" in NEEDED[self.kind] else self.thickness_mm
        return self.height_of_piece_mm if told is None else told

    @property
    def plates(self) -> tuple[Plate, ...]:
        """Its flat parts, which bend when it is turned."""
        return self.parts.plates

    @property
    def edges(self) -> tuple[Edge, ...]:
        """Its free edges."""
        return self.parts.edges

    @property
    def outline(self) -> tuple[View, View]:
        """From above, and cut from left to right [mm]."""
        return views_of(self, self.parts.solids, self.height_of_piece_mm)

    @property
    def faces(self) -> tuple[Face, ...]:
        """Its faces as told, else as this kind usually is: one is open when it is cast, and
        trowelled; none shows from below."""
        keys = [key for key, _, mm2 in self.parts.faces if mm2 > 0]
        open_face = next((key for key in OPEN[self.cast_as] if key in keys), "")
        told = {one.face: one for one in self.faces_told}
        found = []
        for key, looks, mm2 in self.parts.faces:
            if mm2 <= 0:
                continue
            against = "open" if key == open_face else "mould"
            face = Face(key, mm2 / 1e6, looks, against, key not in NOT_SHOWN, against == "open")
            if key in told:
                face = _as_told(face, told[key])
            found.append(face)
        return tuple(found)

    def face(self, key: str) -> Face | None:
        """One of them; None where it has none such."""
        return next((one for one in self.faces if one.key == key), None)

    @property
    def trowelled(self) -> bool:
        """Whether a face of it is floated and trowelled; of faces that nobody told about one is."""
        return not self.faces_told or any(one.trowelled for one in self.faces)

    @property
    def film_may_lie(self) -> bool:
        """Whether it was told that no open face shows: film mottles nothing that counts."""
        told = bool(self.faces_told or self.cast_way)
        return told and not any(one.shown and one.against == "open" for one in self.faces)

    @property
    def described(self) -> Message:
        """As a maker writes it on the mould: its kind, its measures, its openings."""
        values: dict[str, Value] = {
            "shape": self.kind,
            "length_mm": self.length_mm,
            "width_mm": self.width_mm,
            "third_mm": self.third_mm,
            "wall": (Message("piece_wall", {"wall_mm": self.wall_mm}),)
            if self.kind in ("box", "basin")
            else (),
            "holes": (Message("piece_openings", {"openings": len(self.openings)}),)
            if self.openings
            else (),
        }
        return Message("piece", values)


def _as_told(face: Face, told: FaceTold) -> Face:
    """A face with what its maker says; what lies against a mould is never trowelled."""
    against = face.against if told.against is None else told.against
    if told.trowelled and told.against is None:
        against = "open"
    usual = against == "open"
    return replace(
        face,
        against=against,
        shown=face.shown if told.shown is None else told.shown,
        trowelled=usual if told.trowelled is None else told.trowelled,
    )
