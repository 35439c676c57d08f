"""A piece: its shape and measures, its openings, its faces, and what is cast in."""

from collections.abc import Iterator, Mapping
from typing import Any

from pydantic import Field, model_validator

from models.errors import InputError
from models.piece.measures import (
    ALLOWED,
    DROP_SIDES,
    FACES,
    MATERIALS,
    NEEDED,
    OPENING_FORMS,
    WALLS,
)
from models.piece.shape import KINDS, faces_of
from models.records import Piece
from models.records.fields import Length, Mass, YesNo
from models.records.piece import PieceBase
from service.nouns.base import Confirmable, Owned, RequestBody, ResponseBody
from service.nouns.controls import (
    Controls,
    listed,
    names_of_rows,
    typed_of,
    typed_parts,
)
from service.nouns.form import MOST_ROWS, Control, Form
from service.piece_told import across, as_circle
from service.vocabulary import (
    Against,
    CastWay,
    DropSides,
    InsertMaterial,
    OpeningForm,
    OpeningWall,
    PieceFace,
    ShapeKind,
)
from service.words import word

SHAPE_WORDS = {
    "panel": "panel: table top, bench seat, counter, paver",
    "box": "box: planter, hollow base",
    "block": "block: step, plinth",
    "round-panel": "round panel: also oval",
    "ribbed-panel": "ribbed panel: thin, stiffened below",
    "basin": "basin: its floor falls to a drain",
    "slab-with-basin": "slab with basin: counter and bowl in one",
    "l-shape": "L: seat on one leg",
    "u-shape": "U: seat on two legs",
    "steps": "steps: solid flight",
    "by-hand": "own shape: you tell volume and faces",
}
MEASURES = {kind: (*NEEDED[kind], *ALLOWED.get(kind, ())) for kind in KINDS}
# by measure, the kinds that have it
KINDS_WITH = {
    name: tuple(kind for kind in KINDS if name in MEASURES[kind])
    for name in dict.fromkeys(name for names in MEASURES.values() for name in names)
}
LABELS = {
    "thickness_mm": "Thickness",
    "height_mm": "Height",
    "wall_mm": "Wall or leg",
    "floor_mm": "Floor, 0 for none",
    "taper_mm": "Leans in at the foot",
    "ledge_mm": "Ledge inside, how wide",
    "ledge_thickness_mm": "Ledge, how thick",
    "ledge_down_mm": "Ledge, below the rim",
    "slope_mm": "Fall of the floor to the drain",
    "draft_mm": "Bowl leans in at its floor",
    "drain_mm": "Drain, across",
    "bowl_length_mm": "Bowl length at the top",
    "bowl_width_mm": "Bowl width at the top",
    "bowl_depth_mm": "Bowl depth at the drain",
    "bowl_left_mm": "Concrete left of the bowl",
    "bowl_front_mm": "Concrete in front of the bowl",
    "drop_edge_mm": "Drop edge, whole height",
    "drop_wall_mm": "Drop edge, how thick",
    "drop_sides": "Drop edge at",
    "ribs": "How many ribs",
    "rib_mm": "Rib, how thick",
    "rib_depth_mm": "Rib, below the panel",
    "steps": "How many steps",
    "told_volume_l": "Volume",
    "told_faces_m2": "Faces that show, together",
    "thickest_part_mm": "Thickest part",
    "thinnest_part_mm": "Thinnest part",
}
DROP_WORDS = {
    "all": "all sides",
    "front": "the front",
    "front-and-ends": "front and both ends",
    "long-sides": "front and back",
    "ends": "both ends",
}
CAST_WORDS = {
    "": "as usual",
    "face-down": "face down, its underside open",
    "face-up": "as it will stand",
    "on-side": "on its side (L, U and steps)",
}
SURFACES = {
    "": "as usual",
    "mould": "against the mould",
    "trowelled": "open, trowelled",
    "left": "open, left as it is",
}
SHOWN = {"": "as usual", "shown": "shows", "hidden": "hidden"}
PIECE, HOLE, INSERT, FACE = "piece.", "piece.hole", "piece.insert", "piece.face."
OF_HOLE = ("length_mm", "width_mm", "edge_mm")


class Opening(RequestBody):
    """A round one needs one measure; an oval has two."""

    length_mm: Length
    width_mm: Length | None = None
    edge_mm: Length | None = None
    form: OpeningForm = "rectangle"
    left_mm: Length | None = None
    front_mm: Length | None = None
    wall: OpeningWall | None = None
    corner_mm: Length | None = None

    @model_validator(mode="after")
    def _whole(self) -> "Opening":
        self.width_mm = across(self.model_dump())
        return self


class FaceTold(RequestBody):
    face: PieceFace
    against: Against | None = None
    shown: YesNo | None = None
    trowelled: YesNo | None = None


class Insert(RequestBody):
    material: InsertMaterial
    gap_mm: Length = 0.0
    edge_mm: Length | None = None
    depth_mm: Length | None = None
    load_kg: Mass | None = None
    by_flame: YesNo = False


class PieceWords(PieceBase):
    shape: ShapeKind
    drop_sides: DropSides | None = None
    cast_way: CastWay | None = None


class PieceCreate(PieceWords, Confirmable):
    openings: list[Opening] = Field(default_factory=list, alias="opening", max_length=20)
    faces_told: list[FaceTold] = Field(default_factory=list, alias="face", max_length=len(FACES))
    inserts: list[Insert] = Field(default_factory=list, alias="insert", max_length=MOST_ROWS)

    @model_validator(mode="before")
    @classmethod
    def _circle(cls, told: Any) -> Any:
        return as_circle(told) if isinstance(told, Mapping) else told


class PiecePoured(PieceWords, ResponseBody):
    openings: list[dict[str, float | str | None]] = Field(alias="opening")
    faces_told: list[dict[str, str | bool | None]] = Field(alias="face")
    inserts: list[dict[str, float | str | bool | None]] = Field(alias="insert")


class PieceRead(PiecePoured, Owned):
    pass


NAMES = names_of_rows(Opening, "opening", HOLE) | names_of_rows(Insert, "insert", INSERT)


def controls(holes: int = 1, inserts: int = 1) -> list[Control]:
    """A piece with room for a number of openings and inserts."""
    shapes = listed({kind: SHAPE_WORDS[kind] for kind in KINDS})
    piece = Controls(PieceCreate, PIECE)
    found = [
        piece("name", "Name", placeholder="named for you"),
        piece("shape", "Shape", "radio", options=shapes, default="panel", needed=True),
        piece("length_mm", "Length", needed=True),
        piece("width_mm", "Width"),
        *_measures(piece),
        piece("cast_way", "Lies in its mould", "choice", options=listed(CAST_WORDS)),
        piece("exposed_to_frost", "Will stand outdoors in frost", default="1"),
        piece("burner", "A gas burner goes in it"),
    ]
    walls = listed({"": "through the panel or floor", **{one: f"{one} wall" for one in WALLS}})
    forms = listed({"": OPENING_FORMS[0], **{one: one for one in OPENING_FORMS[1:]}})
    for k in range(holes):
        hole = Controls(Opening, f"{HOLE}{k}.")
        found += [
            hole("length_mm", f"Opening {k + 1} length"),
            hole("width_mm", "width"),
            hole("edge_mm", "concrete to edge"),
            hole("form", f"Opening {k + 1} is", "choice", options=forms),
            hole("left_mm", "concrete left of it"),
            hole("front_mm", "in front of it, in a wall under it"),
            hole("wall", "it goes", "choice", options=walls),
            hole("corner_mm", "radius of its corners"),
        ]
    materials = listed({"": "none", **{one: word("insert", one) for one in MATERIALS}})
    for k in range(inserts):
        insert = Controls(Insert, f"{INSERT}{k}.")
        found += [
            insert("material", f"Insert {k + 1}", "choice", options=materials),
            insert("gap_mm", "gap or soft wrap"),
            insert("edge_mm", "to the nearest edge"),
            insert("depth_mm", "how deep it holds"),
            insert("load_kg", "what pulls at it"),
            insert("by_flame", "near a flame"),
        ]
    return [*found, *_faces()]


def _measures(piece: Controls) -> Iterator[Control]:
    for name in KINDS_WITH:
        if name == "drop_sides":
            sides = listed({"": DROP_WORDS["all"], **{k: DROP_WORDS[k] for k in [*DROP_SIDES][1:]}})
            yield piece(name, LABELS[name], "choice", options=sides)
        else:
            yield piece(name, LABELS[name])


def _faces() -> Iterator[Control]:
    for key in FACES:
        label = word("face", key)
        label = label[:1].upper() + label[1:]
        yield Control(f"{FACE}{key}.surface", label, "choice", options=listed(SURFACES))
        yield Control(f"{FACE}{key}.shown", "seen in use", "choice", options=listed(SHOWN))


def face_kinds() -> dict[str, tuple[str, ...]]:
    """By face, the kinds of pieces that may have it."""
    return {key: tuple(kind for kind in KINDS if key in faces_of(kind)) for key in FACES}


def values(form: Form, name: str) -> dict[str, Any]:
    """What a piece's row shall say; measures of another shape are left out."""
    kind = form.shown(f"{PIECE}shape")
    measured = MEASURES.get(kind, ())
    found = form.values_of(PieceCreate, PIECE, set(KINDS_WITH).difference(measured))
    if found["width_mm"] is None and f"{PIECE}width_mm" not in form.wrong:
        found = as_circle(found)
        if found["width_mm"] is None and kind != "round-panel":
            form.refuse(InputError(f"{PIECE}width_mm", "", "empty", "a length"))
    found["openings"] = [*_openings(form)]
    found["inserts"] = form.rows_of(Insert, INSERT)
    found["faces_told"] = [*_told(form, kind)]
    return {**found, "name": found["name"] or name}


def _openings(form: Form) -> Iterator[dict[str, Any]]:
    """Openings; one of which only the second measure was told is none that can be cut."""
    for k in range(MOST_ROWS):
        if f"{HOLE}{k}.length_mm" not in form.fields:
            return
        empty = [part for part in OF_HOLE[:2] if not form.shown(f"{HOLE}{k}.{part}").strip()]
        if len(empty) == 2:
            continue
        hole = form.part_of(Opening, f"{HOLE}{k}.") or {}
        if empty and not (empty == ["width_mm"] and hole.get("form") == "round"):
            wrong = InputError(f"{HOLE}{k}.{empty[0]}", None, "empty", "both boxes, or neither")
            form.refuse(wrong)
        elif empty:
            hole["width_mm"] = hole.get("length_mm")
        yield hole


def _told(form: Form, kind: str) -> Iterator[dict[str, Any]]:
    """Of the faces that this kind has, what was said."""
    for key in faces_of(kind) if kind in KINDS else ():
        surface, shown = (form.value(f"{FACE}{key}.{part}") for part in ("surface", "shown"))
        told: dict[str, Any] = {}
        if surface:
            told["against"] = "mould" if surface == "mould" else "open"
            told["trowelled"] = surface == "trowelled"
        if shown:
            told["shown"] = shown == "shown"
        if told:
            yield {"face": key, **told}


def typed(row: Piece, shown: list[Control]) -> dict[str, list[str]]:
    """A row as if it had been typed."""
    faces = {one["face"]: one for one in row.faces_told}
    found = typed_of(row, shown, PIECE) | typed_parts(row.openings, shown, HOLE)
    found |= typed_parts(row.inserts, shown, INSERT)
    for key in FACES:
        found[f"{FACE}{key}.surface"] = [_surface(faces.get(key, {}))]
        told = faces.get(key, {}).get("shown")
        found[f"{FACE}{key}.shown"] = ["" if told is None else "shown" if told else "hidden"]
    return found


def _surface(told: Mapping[str, Any]) -> str:
    against, trowelled = told.get("against"), told.get("trowelled")
    if against == "mould":
        return "mould"
    if trowelled is not None:
        return "trowelled" if trowelled else "left"
    return "" if against is None else "trowelled"
