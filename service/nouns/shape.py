"""What follows from the shape of a piece, as it is told to who asks."""

from typing import Any

from pydantic import Field

from models.message import Message
from models.piece.coated import coated_m2
from models.piece.inserts import InsertAnswer, look_at
from models.piece.shape import Shape
from service.nouns.base import ResponseBody
from service.vocabulary import Against, CastWay, InsertMaterial, PieceFace, ShapeKind
from service.words import Reader, say


class FaceRead(ResponseBody):
    face: PieceFace
    area_m2: float
    looks: str = Field(description="up, down or side, as it stands in use")
    against: Against
    shown: bool
    trowelled: bool


class PlateRead(ResponseBody):
    part: str
    length_mm: float
    width_mm: float
    thickness_mm: float


class InsertRead(ResponseBody):
    material: InsertMaterial
    need_MPa: float | None = Field(description="before it is loaded; none: load or depth untold")
    cautions: list[str]
    sources: list[str]


class CentreRead(ResponseBody):
    """From the left, the front and the foot."""

    left_mm: float
    front_mm: float
    up_mm: float


class ShapeRead(ResponseBody):
    """Volume, faces and parts of a piece, before anything is poured."""

    shape: ShapeKind
    described: str
    cast_way: CastWay = Field(description="as told, else as this kind usually is")
    volume_l: float
    thinnest_mm: float
    thickest_mm: float
    centre_of_gravity: CentreRead
    coated_m2: float
    faces: list[FaceRead]
    parts: list[PlateRead]
    inserts: list[InsertRead]


def shape_read(shape: Shape, reader: Reader) -> ShapeRead:
    """A shape for every door, in SI; sentences in the reader's units."""
    faces: list[dict[str, Any]] = [
        {
            "face": one.key,
            "area_m2": round(one.area_m2, 4),
            "looks": one.looks,
            "against": one.against,
            "shown": one.shown,
            "trowelled": one.trowelled,
        }
        for one in shape.faces
    ]
    left, front, up = (round(mm, 1) for mm in shape.centre_of_gravity_mm)
    return ShapeRead(
        shape=shape.kind,
        described=say(shape.described, reader),
        cast_way=shape.cast_as,
        volume_l=round(shape.volume_l, 2),
        thinnest_mm=shape.thinnest_mm,
        thickest_mm=shape.thickest_mm,
        centre_of_gravity=CentreRead(left_mm=left, front_mm=front, up_mm=up),
        coated_m2=round(coated_m2(shape), 4),
        faces=[FaceRead(**one) for one in faces],
        parts=[
            PlateRead(
                part=one.key,
                length_mm=one.length_mm,
                width_mm=one.width_mm,
                thickness_mm=one.thickness_mm,
            )
            for one in shape.plates
        ],
        inserts=[_insert(look_at(one), reader) for one in shape.inserts],
    )


def _insert(found: InsertAnswer, reader: Reader) -> InsertRead:
    return InsertRead(
        material=found.insert.material,
        need_MPa=None if found.need_MPa is None else round(found.need_MPa, 2),
        cautions=[say(one, reader) for one in found.cautions],
        sources=list(found.sources),
    )


def centre(shape: Shape) -> Message:
    """Where it balances. Numbers alone: words are the reader's."""
    left, front, up = shape.centre_of_gravity_mm
    return Message("piece_balances", {"left_mm": left, "front_mm": front, "up_mm": up})
