"""One line that tells a thing of the shop from its like."""

from functools import singledispatch

from models.records import Mix, Mould, Piece, Place, Row, Sealer
from service.nouns.piece import MEASURES
from service.words import Reader, measure, word


@singledispatch
def detail(_row: Row, _reader: Reader) -> str:
    """Nothing of what has no line of its own."""
    return ""


@detail.register
def _(row: Piece, reader: Reader) -> str:
    third = row.height_mm if "height_mm" in MEASURES.get(row.shape, ()) else row.thickness_mm
    sides = [measure(mm, "length_mm", reader) for mm in (row.length_mm, row.width_mm, third)]
    return f"{word('shape', row.shape)}, {' × '.join(side for side in sides if side)}"


@detail.register
def _(row: Mix, reader: Reader) -> str:
    bag = f", bag of {measure(row.bag_kg, 'mass_kg', reader)}" if row.bag_kg else ""
    return f"{row.kind}{bag}"


@detail.register
def _(row: Place, _reader: Reader) -> str:
    kind = word("place", row.kind)
    return f"{kind}, with forecast" if row.latitude is not None else f"{kind}, no forecast yet"


@detail.register
def _(row: Mould, reader: Reader) -> str:
    return f"{row.material}, {measure(row.thickness_mm, 'length_mm', reader)}"


@detail.register
def _(row: Sealer, _reader: Reader) -> str:
    coats = f", {row.coats} coats" if row.coats else ""
    return f"{word('chemistry', row.chemistry)}{coats}"
