"""What the fresh mix lifts: a core, a knock-out; and what holds it down."""

from dataclasses import dataclass

from models.facts.formwork import HELD_DOWN_FACTOR
from models.facts.fresh import HEAVIEST_KG_M3
from models.mould import screws
from models.mould.panels import Float
from models.mould.walls import Built
from models.units import GRAVITY_M_S2, within


@dataclass(frozen=True)
class Uplift:
    """What the mix does to one of them.

    part : as a Float; lifts_kg : the mix that it takes the place of, less its
        own mass; holds_kg : to lay on it; number : screws instead, None where no edge takes one
    """

    part: str
    volume_l: float
    lifts_kg: float
    holds_kg: float
    number: int | None


def uplift_kg(volume_l: float, own_kg: float = 0.0, density_kg_m3: float = HEAVIEST_KG_M3) -> float:
    """What a body in fresh mix is lifted by [kg]: density x displaced volume, less its own mass.

    volume_l : in the mix [l], 0 to 1e5; own_kg : [kg], 0 to 1e5; density_kg_m3 : [kg/m3]

    Raises InputError outside the ranges. Source: Archimedes.

    >>> round(uplift_kg(198.0), 1)
    475.2
    """
    V = float(within("volume_l", volume_l, 0.0, 1e5, "l"))
    own = float(within("own_kg", own_kg, 0.0, 1e5, "kg"))
    return max(V * density_kg_m3 / 1e3 - own, 0.0)


def of(floats: Float, built: Built | None, density_kg_m3: float, fresh_mm: float) -> Uplift:
    """How a core or a knock-out is lifted, taken to weigh nothing, and how it is held.

    fresh_mm : of the mix that is fresh at once [mm]: what stands in set mix is held by it
    Source: Archimedes; factor OWN_JUDGEMENT.
    """
    deep = min(fresh_mm, floats.depth_mm) / floats.depth_mm
    volume = floats.volume_l * deep
    lifts = uplift_kg(volume, 0.0, density_kg_m3)
    held = None
    if built is not None:
        held = screws.counted_N(built.material, built.thickness_mm, built.screw)
    number = None if held is None else screws.needed(held, lifts * GRAVITY_M_S2)
    return Uplift(floats.part, volume, lifts, HELD_DOWN_FACTOR * lifts, number)
