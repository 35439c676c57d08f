"""A recipe by weight: what it yields, and what of each part goes into a batch."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from models.errors import InputError
from models.facts.amounts import (
    AIR_FRACTION,
    DAMPENED,
    DENSITY_KG_M3,
    ORDER,
    PART_KINDS,
    PIGMENT_MOST_PCT,
)
from models.units import number_within, one_of, optional_within

MOST_PARTS = 12


@dataclass(frozen=True)
class Part:
    """One part of a recipe: mass for any size of batch, its proportion is what counts.

    kg : [kg]; of sand and aggregate with their pores full of water and a dry surface (SSD)
    density_kg_m3 : of its particles; None by kind
    absorption_pct, moisture_pct : water in its pores, and all water on it, of its dry mass; of sand
        and aggregate alone
    solids_pct : of a liquid admixture or polymer, the rest is water of the mix; None: all is solid
    """

    kind: str
    kg: float
    name: str = ""
    lot: str = ""
    density_kg_m3: float | None = None
    absorption_pct: float | None = None
    moisture_pct: float | None = None
    solids_pct: float | None = None

    def __post_init__(self) -> None:
        one_of("kind", self.kind, PART_KINDS)
        number_within("kg", self.kg, 1e-4, 5000.0, "kg")
        optional_within(
            self,
            (
                ("density_kg_m3", 100.0, 8000.0, "kg/m3"),
                ("absorption_pct", 0.0, 30.0, "%"),
                ("moisture_pct", 0.0, 40.0, "%"),
                ("solids_pct", 1.0, 100.0, "%"),
            ),
        )
        damp = self.kind in DAMPENED
        for name in ("absorption_pct", "moisture_pct"):
            if not damp and getattr(self, name) is not None:
                wrong, allowed = f"of {self.kind}", " or ".join(DAMPENED) + " alone"
                raise InputError(name, getattr(self, name), wrong, allowed)
        if self.solids_pct is not None and self.kind not in ("admixture", "polymer"):
            wrong = f"of {self.kind}"
            raise InputError("solids_pct", self.solids_pct, wrong, "admixture or polymer alone")

    @property
    def litres(self) -> float:
        """Volume without its voids [l]."""
        return self.kg / (self.density_kg_m3 or DENSITY_KG_M3[self.kind]) * 1e3

    @property
    def water_kg(self) -> float:
        """Water that it brings to the cement, as the recipe has it [kg]."""
        if self.kind == "water":
            return self.kg
        return self.kg * (1.0 - (100.0 if self.solids_pct is None else self.solids_pct) / 100.0)

    @property
    def free_kg(self) -> float:
        """Water on its surface, over what its pores hold [kg]; negative: it takes some in.

        Source: ACI 211.1 as KOSMATKA_2002 has it: dry mass x (moisture - absorption).
        """
        if self.moisture_pct is None:
            return 0.0
        absorbed = self.absorption_pct or 0.0
        return self.kg / (1.0 + absorbed / 100.0) * (self.moisture_pct - absorbed) / 100.0


Recipe = tuple[Part, ...]


def of(recipe: Iterable[Part], *kinds: str) -> float:
    """Mass of the parts of some kinds [kg]. Source: definition."""
    return sum(part.kg for part in recipe if part.kind in kinds)


def checked(recipe: Recipe) -> Recipe:
    """Refuse what is no recipe: nothing that sets, no water, more pigment than cement bears.

    Source: ASTM_C979 for the pigment.
    """
    if not recipe:
        return recipe
    if len(recipe) > MOST_PARTS:
        raise InputError("recipe", len(recipe), "too many parts", f"at most {MOST_PARTS}")
    if not of(recipe, "cement", "bag"):
        raise InputError(
            "recipe", 0.0, "no cement and no bag in it", "a part of kind cement or bag"
        )
    if not sum(part.water_kg for part in recipe):
        raise InputError("recipe", 0.0, "no water in it", "a part of kind water")
    cement, pigment = of(recipe, "cement"), of(recipe, "pigment")
    if cement and not of(recipe, "bag") and pigment > cement * PIGMENT_MOST_PCT / 100:
        wrong = f"{pigment:g} kg of pigment to {cement:g} kg of cement"
        allowed = (
            f"at most {PIGMENT_MOST_PCT:g} % of the cement, {cement * PIGMENT_MOST_PCT / 100:g} kg"
        )
        raise InputError("recipe", round(100 * pigment / cement, 1), wrong, allowed)
    return recipe


def yield_l(recipe: Iterable[Part], air_fraction: float = AIR_FRACTION) -> float:
    """Concrete that a recipe makes [l]: the volumes of its parts without their voids, and the air.

    air_fraction : of the concrete, dimensionless, 0 to 0.3

    Raises InputError outside the range. Source: ACI 211.1, absolute volumes, as NAVY_CONCRETE.

    >>> round(yield_l((Part("cement", 50.0), Part("sand", 110.0), Part("water", 20.0))), 1)
    79.0
    """
    air = number_within("air_fraction", air_fraction, 0.0, 0.3)
    return sum(part.litres for part in recipe) / (1.0 - air)


def water_cement(recipe: Iterable[Part]) -> float | None:
    """Water over cement by mass, dimensionless; None of a bag, whose cement is not told.

    Source: definition.
    """
    parts = tuple(recipe)
    cement = of(parts, "cement")
    if not cement or of(parts, "bag"):
        return None
    return sum(part.water_kg for part in parts) / cement


def cement_kg_m3(recipe: Iterable[Part]) -> float | None:
    """Cement in a cubic metre of concrete [kg/m3]; None of a bag, whose cement is not told.

    Source: NAVY_CONCRETE, absolute volumes of yield_l.
    """
    parts = tuple(recipe)
    if water_cement(parts) is None:
        return None
    return of(parts, "cement") / yield_l(parts) * 1e3


def dampened(recipe: Recipe, moisture_pct: float | None) -> Recipe:
    """The recipe with all sand as damp as it was found [% of its dry mass]; None: as it says.

    Source: definition.
    """
    if moisture_pct is None:
        return recipe
    return tuple(
        replace(part, moisture_pct=moisture_pct) if part.kind == "sand" else part for part in recipe
    )


@dataclass(frozen=True)
class Weighed:
    """What of one part goes on the scale for a batch [kg]: rounded to its step, and exactly."""

    kind: str
    kg: float
    exact_kg: float
    name: str = ""
    lot: str = ""

    @property
    def off_kg(self) -> float:
        return self.kg - self.exact_kg


def batch(
    recipe: Recipe, concrete_l: float, step_kg: float = 0.0, yields_l: float | None = None
) -> tuple[Weighed, ...]:
    """What goes on the scale for so much concrete, in the order of mixing.

    Sand and aggregate are weighed with the water that is on them, which is left out of the water;
    so is what their dry pores take added to it.

    concrete_l : [l], above 0 to 1e5; step_kg : [kg] of the scale, 0 to 10; 0: not rounded
    yields_l : what the recipe makes [l], where a label tells it; None: by absolute volumes

    Raises InputError outside the ranges, and where the sand alone brings more water than there is
    to be. Source: ACI 211.1 (KOSMATKA_2002, ARMY_CONCRETE).

    >>> wet = Part("sand", 100.0, absorption_pct=1.0, moisture_pct=6.0)
    >>> made = batch((Part("cement", 50.0), wet, Part("water", 22.5)), 1e3)
    >>> [(one.kind, round(one.kg / made[2].kg * 50.0, 2)) for one in made]
    [('water', 17.55), ('sand', 104.95), ('cement', 50.0)]
    """
    number_within("concrete_l", concrete_l, 1e-3, 1e5, "l")
    step = number_within("step_kg", step_kg, 0.0, 10.0, "kg")
    scale = concrete_l / (yields_l or yield_l(recipe))
    free = sum(part.free_kg for part in recipe)
    poured = of(recipe, "water")
    if free >= poured:
        brings, has = f"{free * scale:.1f} l", f"{poured * scale:.1f} l"
        raise InputError(
            "damp_pct",
            round(free, 2),
            f"sand and aggregate bring {brings} of water, the batch is to have {has}",
            "drier sand, or less of it",
        )
    rows = []
    for part in sorted(recipe, key=lambda one: ORDER.index(one.kind)):
        wet = part.kg + part.free_kg
        if part.kind == "water":
            wet = part.kg * (1.0 - free / poured)
        exact = wet * scale
        rows.append(Weighed(part.kind, to_step(exact, step), exact, part.name, part.lot))
    return tuple(rows)


def to_step(kg: float, step_kg: float) -> float:
    """A mass as a scale of that step shows it [kg]; never nothing of a part that is wanted.

    Source: definition.
    """
    if not step_kg:
        return kg
    return max(round(kg / step_kg), 1) * step_kg


def farthest_off(rows: Sequence[Weighed]) -> Weighed | None:
    """The part whose rounded mass is farthest off by its share; None: all are exact.

    Source: definition.
    """
    off = [row for row in rows if abs(row.off_kg) > 1e-9]
    return max(off, key=lambda row: abs(row.off_kg) / row.exact_kg, default=None)
