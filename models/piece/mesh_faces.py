"""The flat parts of a piece that take a mat of mesh."""

from models.piece.mesh import Face
from models.piece.shape import Shape


def faces_of(shape: Shape) -> tuple[Face, ...]:
    """Flat parts of a piece, thick parts left out: a block has none. Source: geometry."""
    length, width, t = shape.length_mm, shape.width_mm, shape.section_mm
    if shape.kind == "panel":
        holes = tuple((hole.length_mm, hole.width_mm) for hole in shape.openings)
        return (Face("panel", 1, length, width, t, holes),)
    if shape.kind != "box":
        return ()
    assert shape.height_mm is not None
    high = shape.height_mm
    return (
        Face("floor", 1, length, width, t),
        Face("long_wall", 2, length, high, t),
        Face("short_wall", 2, width, high, t),
    )
