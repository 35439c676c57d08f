"""The faces that are coated, and how much sealer they take."""

from dataclasses import dataclass

from models.facts.sealers import THINNED_FRACTION, Sheet
from models.piece.shape import Shape
from models.units import within


@dataclass(frozen=True)
class Litres:
    """Of one coat [l]: sealer as it comes from the can, and the water that thins it."""

    sealer_l: float
    water_l: float


def coated_m2(shape: Shape) -> float:
    """Faces that are coated [m2]: all that show, edges and openings too.

    Unless told otherwise that leaves out the underside alone; a box is coated outside, inside and
    on its rim. Source: geometry.
    """
    return sum(face.area_m2 for face in shape.faces if face.shown)


def litres_of_coat(area_m2: float, m2_per_l: float, sealer_fraction: float = 1.0) -> Litres:
    """Sealer and water of one coat [l]; a thinned coat covers the same area a litre.

    area_m2 : [m2], 0 to 1e4; m2_per_l : [m2/l], 0.1 to 100
    sealer_fraction : dimensionless, 0.1 to 1

    Raises InputError outside the ranges. Source: definition of coverage.

    >>> litres_of_coat(1.89, 10.0).sealer_l
    0.189
    """
    area = float(within("area_m2", area_m2, 0.0, 1e4, "m2"))
    each = float(within("coverage_m2_l", m2_per_l, 0.1, 100.0, "m2/l"))
    fraction = float(within("sealer_fraction", sealer_fraction, 0.1, 1.0))
    wet = area / each
    return Litres(wet * fraction, wet * (1 - fraction))


def litres_of_coats(area_m2: float, sheet: Sheet) -> tuple[Litres, ...]:
    """Of each coat of a product [l], the first of them thinned as its sheet says.

    area_m2 : [m2]. Source: definition of coverage.
    """
    return tuple(
        litres_of_coat(
            area_m2, sheet.coverage_m2_l, THINNED_FRACTION if k < sheet.diluted_coats else 1.0
        )
        for k in range(sheet.coats)
    )
