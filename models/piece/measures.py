"""What a maker tells of a shape: its measures, its openings, how it is cast, what its faces are."""

from dataclasses import dataclass

from models.errors import InputError
from models.units import number_within, one_of, optional_within

# what each kind cannot do without, and what it may have besides
NEEDED = {
    "panel": ("thickness_mm",),
    "box": ("height_mm", "wall_mm"),
    "block": ("height_mm",),
    "round-panel": ("thickness_mm",),
    "ribbed-panel": ("thickness_mm", "ribs", "rib_mm", "rib_depth_mm"),
    "basin": ("height_mm", "wall_mm", "floor_mm"),
    "slab-with-basin": (
        "thickness_mm",
        "wall_mm",
        "floor_mm",
        "bowl_length_mm",
        "bowl_width_mm",
        "bowl_depth_mm",
    ),
    "l-shape": ("thickness_mm", "height_mm", "wall_mm"),
    "u-shape": ("thickness_mm", "height_mm", "wall_mm"),
    "steps": ("height_mm", "steps"),
    "by-hand": ("told_volume_l", "told_faces_m2", "thickest_part_mm", "thinnest_part_mm"),
}
DROP = ("drop_edge_mm", "drop_wall_mm", "drop_sides")
ALLOWED = {
    "panel": DROP,
    "round-panel": DROP[:2],
    "box": ("floor_mm", "taper_mm", "ledge_mm", "ledge_thickness_mm", "ledge_down_mm"),
    "basin": ("slope_mm", "draft_mm", "drain_mm"),
    "slab-with-basin": ("slope_mm", "draft_mm", "drain_mm", "bowl_left_mm", "bowl_front_mm"),
    "by-hand": ("height_mm",),
}
KINDS = tuple(NEEDED)
FIRST_KINDS = KINDS[:3]  # rows of these may hold measures of another kind from long ago
OPENED = ("panel", "round-panel", "ribbed-panel", "slab-with-basin", "box")
MEASURED = ("thickness_mm", "height_mm", "wall_mm")
LIMITS = (
    ("thickness_mm", 10.0, 600.0, "mm"),
    ("height_mm", 10.0, 3000.0, "mm"),
    ("wall_mm", 10.0, 300.0, "mm"),
    ("floor_mm", 0.0, 600.0, "mm"),
    ("taper_mm", 0.0, 500.0, "mm"),
    ("ledge_mm", 5.0, 500.0, "mm"),
    ("ledge_thickness_mm", 10.0, 500.0, "mm"),
    ("ledge_down_mm", 0.0, 3000.0, "mm"),
    ("slope_mm", 0.0, 200.0, "mm"),
    ("draft_mm", 0.0, 300.0, "mm"),
    ("drain_mm", 10.0, 300.0, "mm"),
    ("bowl_length_mm", 50.0, 3000.0, "mm"),
    ("bowl_width_mm", 50.0, 3000.0, "mm"),
    ("bowl_depth_mm", 10.0, 600.0, "mm"),
    ("bowl_left_mm", 0.0, 6000.0, "mm"),
    ("bowl_front_mm", 0.0, 6000.0, "mm"),
    ("drop_edge_mm", 10.0, 1000.0, "mm"),
    ("drop_wall_mm", 10.0, 300.0, "mm"),
    ("rib_mm", 10.0, 300.0, "mm"),
    ("rib_depth_mm", 10.0, 600.0, "mm"),
    ("ribs", 1, 40, ""),
    ("steps", 2, 12, ""),
    ("told_volume_l", 0.1, 1e4, "l"),
    ("told_faces_m2", 0.01, 100.0, "m2"),
    ("thickest_part_mm", 10.0, 1000.0, "mm"),
    ("thinnest_part_mm", 10.0, 1000.0, "mm"),
)
OPENING_FORMS = ("rectangle", "round")
WALLS = ("front", "back", "left", "right")
DROP_SIDES = {
    "all": WALLS,
    "front": ("front",),
    "front-and-ends": ("front", "left", "right"),
    "long-sides": ("front", "back"),
    "ends": ("left", "right"),
}
CASTS = ("face-down", "face-up", "on-side")
FACES = (
    "top",
    "edges",
    "front",
    "back",
    "sides",
    "inside",
    "floor",
    "rim",
    "openings",
    "underside",
    "whole",
)
AGAINST = ("mould", "open")
MATERIALS = ("aluminium", "zinc", "steel", "stainless", "brass", "wood", "plastic")  # of inserts


@dataclass(frozen=True)
class Opening:
    """A hole: a rectangle, or the oval inside it; centred unless placed.

    In a panel it goes down through it; in a box through the wall that is told, else its floor.
    corner_mm : radius of a rectangle's corners; None: not told, and taken as cut square
    """

    length_mm: float
    width_mm: float  # in a wall its height
    edge_mm: float | None = None  # concrete left along the nearer long edge
    form: str = "rectangle"
    left_mm: float | None = None  # concrete left beside it, at the left end
    front_mm: float | None = None  # concrete left before it; in a wall under it
    wall: str | None = None
    corner_mm: float | None = None

    def __post_init__(self) -> None:
        number_within("length_mm", self.length_mm, 5.0, 6000.0, "mm")
        number_within("width_mm", self.width_mm, 5.0, 6000.0, "mm")
        places = ("edge_mm", "left_mm", "front_mm")
        optional_within(self, [(name, 0.0, 6000.0, "mm") for name in places])
        one_of("form", self.form, OPENING_FORMS)
        if self.wall is not None:
            one_of("wall", self.wall, WALLS)
        optional_within(self, [("corner_mm", 0.0, 3000.0, "mm")])

    @property
    def round(self) -> bool:
        return self.form == "round"


@dataclass(frozen=True)
class FaceTold:
    """What a maker says of one face; None: as this kind of piece usually is."""

    face: str
    against: str | None = None
    shown: bool | None = None
    trowelled: bool | None = None

    def __post_init__(self) -> None:
        one_of("face", self.face, FACES)
        if self.against is not None:
            one_of("against", self.against, AGAINST)
        if self.against == "mould" and self.trowelled:
            raise InputError(
                "trowelled",
                True,
                "a face against the mould cannot be",
                'against = "open", or leave one of both out',
            )


@dataclass(frozen=True)
class Insert:
    """What is cast in and stays: a threaded socket, a frame, a batten.

    gap_mm : empty, or a soft wrap, between it and the concrete; depth_mm : how deep its head lies
    under the face that it comes out of; edge_mm : to the nearest edge; load_kg : what pulls at it
    """

    material: str
    gap_mm: float = 0.0
    edge_mm: float | None = None
    depth_mm: float | None = None
    load_kg: float | None = None
    by_flame: bool = False

    def __post_init__(self) -> None:
        one_of("material", self.material, MATERIALS)
        number_within("gap_mm", self.gap_mm, 0.0, 50.0, "mm")
        limits = (
            ("edge_mm", 0.0, 3000.0, "mm"),
            ("depth_mm", 5.0, 600.0, "mm"),
            ("load_kg", 0.1, 5000.0, "kg"),
        )
        optional_within(self, limits)


@dataclass(frozen=True)
class Measures:
    """Outside measures of a piece as it will stand [mm], and what tells its kind from others.

    A round panel is an oval of length and width. Of a box the floor is as thick as its walls
    unless told, and 0 means none. A taper leans every wall in by so much at the foot, a draft
    those of a bowl by so much at its floor, which rises by its slope from the drain.
    """

    kind: str
    length_mm: float
    width_mm: float
    thickness_mm: float | None = None
    height_mm: float | None = None
    wall_mm: float | None = None
    openings: tuple[Opening, ...] = ()
    floor_mm: float | None = None
    taper_mm: float | None = None
    ledge_mm: float | None = None  # how far it stands out of the wall
    ledge_thickness_mm: float | None = None
    ledge_down_mm: float | None = None  # from the rim to its top
    slope_mm: float | None = None
    draft_mm: float | None = None
    drain_mm: float | None = None
    bowl_length_mm: float | None = None  # inside, at its mouth
    bowl_width_mm: float | None = None
    bowl_depth_mm: float | None = None  # from the top to the drain
    bowl_left_mm: float | None = None  # concrete left beside the mouth
    bowl_front_mm: float | None = None
    drop_edge_mm: float | None = None  # its whole height
    drop_wall_mm: float | None = None
    drop_sides: str | None = None
    ribs: int | None = None
    rib_mm: float | None = None
    rib_depth_mm: float | None = None  # below the panel
    steps: int | None = None
    told_volume_l: float | None = None
    told_faces_m2: float | None = None  # that show, all round
    thickest_part_mm: float | None = None
    thinnest_part_mm: float | None = None
    cast_way: str | None = None  # face-down, face-up or on-side; None: as is usual
    faces_told: tuple[FaceTold, ...] = ()
    inserts: tuple[Insert, ...] = ()

    def measured(self, name: str) -> float:
        """A measure that its kind needs, or nothing where it may be left out [mm]."""
        value = getattr(self, name)
        return 0.0 if value is None else float(value)
