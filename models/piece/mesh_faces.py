"""The flat parts of a piece that take a mat of mesh."""

from collections import Counter

from models.piece.mesh import Face
from models.piece.shape import Shape

BARS = ("rib",)  # too narrow for a mat


def faces_of(shape: Shape) -> tuple[Face, ...]:
    """Flat parts of a piece, alike ones together; a block has none. Source: geometry."""
    if shape.like == "block":
        return ()
    alike = Counter(plate for plate in shape.plates if plate.key not in BARS)
    return tuple(
        Face(
            plate.key,
            many,
            plate.length_mm,
            plate.width_mm,
            plate.thickness_mm,
            tuple((hole.told.length_mm, hole.told.width_mm) for hole in plate.openings),
        )
        for plate, many in alike.items()
    )
