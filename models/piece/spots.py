"""Named places of a piece seen from above: a grid that a finger hits, and that needs no script."""

from dataclasses import dataclass

from models.piece.shape import Shape

ACROSS = ("far-left", "left", "middle", "right", "far-right")
UP = ("front", "centre", "back")
SPOTS = tuple(f"{along}-{up}" for up in reversed(UP) for along in ACROSS)  # as they are read


@dataclass(frozen=True)
class Spot:
    """One area of the grid: its name, its lower left corner and its sides [mm]."""

    key: str
    x_mm: float
    y_mm: float
    wide_mm: float
    high_mm: float

    @property
    def middle_mm(self) -> tuple[float, float]:
        return self.x_mm + self.wide_mm / 2, self.y_mm + self.high_mm / 2


def spots_of(shape: Shape) -> tuple[Spot, ...]:
    """The areas of a piece, as SPOTS has them. Source: geometry."""
    wide, high = shape.length_mm / len(ACROSS), shape.width_mm / len(UP)
    return tuple(
        Spot(f"{along}-{up}", k * wide, n * high, wide, high)
        for n, up in reversed(list(enumerate(UP)))
        for k, along in enumerate(ACROSS)
    )


def spot_at(shape: Shape, x_mm: float, y_mm: float) -> Spot:
    """The area that a place lies in; one on its edge lies in that to its left or front.

    Source: geometry.
    """

    def away(one: Spot) -> float:
        x, y = one.middle_mm
        return max(abs(x_mm - x) / one.wide_mm, abs(y_mm - y) / one.high_mm)

    return min(spots_of(shape), key=away)
