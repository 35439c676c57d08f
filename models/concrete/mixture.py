"""What is in the mix, as the bag or the maker says it."""

from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from models.concrete.composition import Composition, activation_energy
from models.concrete.recipe import Recipe, cement_kg_m3, checked, water_cement
from models.errors import InputError
from models.facts.cements import ADMIXTURES, CEMENT_CLASSES, CLASSES
from models.facts.curing import POLYMER_PCT
from models.facts.fresh import BUCKET_SD, CEMENT_OF_BAG_SD, WORKING_FRACTION
from models.facts.materials import ABSORPTANCE
from models.units import number_within, one_of, optional_within, untold

OF_CLASS: tuple[str, ...] = (
    "cement_kg_m3",
    "water_cement",
    "initial_set_h",
    "final_set_h",
    "working_time_h",
    "datum_C",
)
# what follows from the composition of the cement where that is told, the energy last: not from all
OF_CEMENT: tuple[str, ...] = (
    "heat_kJ_kg",
    "hydration_tau_h",
    "hydration_beta",
    "activation_energy_kJ_mol",
)
WATER_CEMENT = (0.20, 0.90)
RECIPE_NEAR = 0.05  # a figure of a sheet may be rounded so far from what the recipe gives
LEAST_LATER = 2 / 3  # of an earlier strength: cubes scatter, a slip of the finger is far off


@dataclass(frozen=True)
class LabelStrength:
    """A compressive strength from a bag, a data sheet or the maker's own laboratory cure."""

    age_h: float
    MPa: float
    temperature_C: float = 21.0

    def __post_init__(self) -> None:
        number_within("age_h", self.age_h, 0.25, 20000.0, "h")
        number_within("MPa", self.MPa, 0.2, 200.0, "MPa")
        number_within("temperature_C", self.temperature_C, 5.0, 40.0, "degC")


@dataclass(frozen=True)
class ResolvedMix:
    """What every mix has: as it was told, else as its class has it."""

    cement_kg_m3: float
    water_cement: float
    initial_set_h: float
    hydration_tau_h: float
    working_time_h: float
    datum_C: float
    assumed: tuple[str, ...]


@dataclass(frozen=True)
class Mixture:
    """A mix; whatever is None follows from the cement's composition, else from its class.

    kind : class of the mix, a key of facts.cements.CLASSES
    label : strengths the maker trusts, oldest age last
    """

    kind: str
    label: tuple[LabelStrength, ...] = ()
    cement_kg_m3: float | None = None
    water_cement: float | None = None
    activation_energy_kJ_mol: float | None = None
    activation_energy_error_kJ_mol: float | None = None  # standard error of the fit that gave it
    datum_C: float | None = None
    initial_set_h: float | None = None
    final_set_h: float | None = None
    heat_kJ_kg: float | None = None
    hydration_tau_h: float | None = None
    hydration_beta: float | None = None
    hydration_ultimate: float | None = None
    density_kg_m3: float = 2300.0
    bag_kg: float | None = None
    bag_yield_l: float | None = None
    name: str = ""
    water_cement_sd: float = 0.0  # of its logarithm, where it follows from bags and buckets
    strength_factor: float = 1.0  # of this shop's own results over what the label promises
    set_factor: float = 1.0
    working_time_h: float | None = None  # label, at working_time_C
    working_time_C: float = 21.0
    cement_class: str | None = None  # of EN 197-1, a key of facts.cements.CEMENT_CLASSES
    colour: str | None = None  # by which it takes in sun, a key of facts.materials.ABSORPTANCE
    admixture: str | None = None  # shifts set and hydration unless the maker told them
    polymer_pct: float | None = None  # dry, of the cement's mass; of glass-fibre mixes alone
    # tells heat, hydration time and energy where nothing else does
    cement: Composition | None = None
    bag_water_least_l: float | None = None  # what the label wants in a bag
    bag_water_most_l: float | None = None
    recipe: Recipe = ()  # parts by weight

    def __post_init__(self) -> None:
        one_of("class", self.kind, CLASSES)
        if self.admixture is not None:
            one_of("admixture", self.admixture, ADMIXTURES)
        if self.colour is not None:
            one_of("colour", self.colour, ABSORPTANCE)
        if self.cement_class is not None:
            one_of("cement_class", self.cement_class, CEMENT_CLASSES)
        limits = (
            ("cement_kg_m3", 150.0, 1000.0, "kg/m3"),
            ("water_cement", *WATER_CEMENT, ""),
            ("activation_energy_kJ_mol", 20.0, 80.0, "kJ/mol"),
            ("activation_energy_error_kJ_mol", 0.0, 20.0, "kJ/mol"),
            ("datum_C", -15.0, 5.0, "degC"),
            ("initial_set_h", 0.05, 48.0, "h"),
            ("final_set_h", 0.08, 72.0, "h"),
            ("working_time_h", 0.02, 10.0, "h"),
            ("working_time_C", 5.0, 40.0, "degC"),
            ("heat_kJ_kg", 100.0, 700.0, "kJ/kg"),
            ("hydration_tau_h", 0.3, 100.0, "h"),
            ("hydration_beta", 0.2, 3.0, ""),
            ("hydration_ultimate", 0.1, 1.0, ""),
            ("density_kg_m3", 1200.0, 2700.0, "kg/m3"),
            ("bag_kg", 1.0, 60.0, "kg"),
            ("bag_yield_l", 0.5, 40.0, "l"),
            ("strength_factor", 0.4, 2.5, ""),
            ("set_factor", 0.4, 2.5, ""),
            ("polymer_pct", 0.0, 25.0, "%"),
            ("bag_water_least_l", 0.1, 20.0, "l"),
            ("bag_water_most_l", 0.1, 20.0, "l"),
            ("water_cement_sd", 0.0, 1.0, ""),
        )
        optional_within(self, limits)
        if self.activation_energy_error_kJ_mol and self.activation_energy_kJ_mol is None:
            field, wrong = (
                "activation_energy_error_kJ_mol",
                "the error of an energy that is not told",
            )
            raise InputError(field, getattr(self, field), wrong, "both, or neither")
        if self.polymer_pct and self.kind != "glass-fibre":
            allowed = "nothing, or class glass-fibre"
            raise InputError("polymer_pct", self.polymer_pct, f"of a {self.kind} mix", allowed)
        initial, final = self.initial_set_h, self.final_set_h
        if initial is not None and final is not None and final <= initial:
            allowed = f"more than {initial:g} h"
            raise InputError("final_set_h", final, "not after the initial set", allowed)
        least, most = self.bag_water_least_l, self.bag_water_most_l
        if least is not None and most is not None and most < least:
            wrong, allowed = "less than the least water of a bag", f"{least:g} l or more"
            raise InputError("bag_water_most_l", most, wrong, allowed)
        checked(self.recipe)
        ages = [point.age_h for point in self.label]
        if len(set(ages)) != len(ages):
            raise InputError("strength", ages, "two strengths at one age", "one value an age")
        object.__setattr__(self, "label", tuple(sorted(self.label, key=lambda p: p.age_h)))
        for k, later in enumerate(self.label):
            alike = [p.MPa for p in self.label[:k] if p.temperature_C == later.temperature_C]
            if later.MPa < LEAST_LATER * max(alike, default=0.0):
                wrong = f"under {LEAST_LATER:.0%} of what it was before: concrete does not weaken"
                allowed = f"{max(alike):g} MPa or more at {later.age_h:g} h"
                raise InputError("strength", later.MPa, wrong, allowed)

    @property
    def keeps_its_water(self) -> bool:
        """Whether there is so much polymer in it that film overnight stands for the damp cure.

        Source: CONCRETE_NETWORK_GFRC.
        """
        return (self.polymer_pct or 0.0) >= POLYMER_PCT

    def by_recipe(self) -> "Mixture":
        """With the cement and the water of its recipe, where it has one; refuses figures beside it
        that say something else.

        Source: absolute volumes of recipe.yield_l; definition of the ratio.
        """
        told: dict[str, Any] = {}
        for name, found, near in (
            ("water_cement", water_cement(self.recipe), RECIPE_NEAR),
            ("cement_kg_m3", cement_kg_m3(self.recipe), RECIPE_NEAR),
        ):
            known = getattr(self, name)
            if found is not None and known is not None and abs(known / found - 1) > near:
                wrong = f"the recipe gives {found:.3g}"
                raise InputError(name, known, wrong, "what the recipe gives, or left out")
            if found is not None and known is None:
                told[name] = found
        return replace(self, **told) if told else self

    def mixed_with(self, water_l: float, bags: float) -> "Mixture":
        """The mix with all the water that went into so many bags, whatever its recipe says.

        water_l : [l], 0.1 to 1000; bags : 0.1 to 500

        A bag has the cement of the concrete it yields, by its label or by the density. Raises
        InputError where neither the mass nor the yield of a bag is told, and for water that no mix
        of that cement has.
        Source: definition of the ratio; OWN_JUDGEMENT for its spread.

        >>> round(Mixture("general-purpose", bag_kg=36.0).mixed_with(9.0, 3.0).water_cement, 3)
        0.536
        """
        number_within("water_l", water_l, 0.1, 1000.0, "l")
        number_within("bags", bags, 0.1, 500.0, "bags")
        if not self.bag_told:
            wrong = "the water by the bucket says nothing without the size of a bag"
            raise InputError("bag_kg", None, wrong, "bag_kg or bag_yield_l of the mix")
        cement, ratio = self.resolved().cement_kg_m3, self.ratio_with(water_l, bags)
        least, most = WATER_CEMENT
        if not least <= ratio <= most:
            wrong = f"a water/cement ratio of {ratio:.2f} with {cement:g} kg/m3 of cement"
            raise InputError(
                "water_l", water_l, wrong, f"water for a ratio of {least:g} to {most:g}"
            )
        return self._mixed(ratio)

    @property
    def bag_told(self) -> bool:
        """Whether the size of a bag is known, without which a bucket of water says nothing."""
        return self.bag_kg is not None or self.bag_yield_l is not None

    def ratio_with(self, water_l: float, bags: float) -> float:
        """The water/cement ratio of so much water in so many bags of a known size, whether or not
        any mix has it, dimensionless. Source: definition of the ratio."""
        each_l = water_l / bags
        whole_l = self.bag_yield_l or ((self.bag_kg or 0.0) + each_l) / self.density_kg_m3 * 1e3
        return each_l * 1e3 / (self.resolved().cement_kg_m3 * whole_l)

    def wettest_with(self, water_l: float, bags: float) -> "Mixture":
        """The mix with that water, or with the most that any mix of its cement has; with less than
        any has it stays as it is. Source: as mixed_with."""
        least, most = WATER_CEMENT
        ratio = self.ratio_with(water_l, bags)
        return self if ratio < least else self._mixed(min(ratio, most))

    def _mixed(self, ratio: float) -> "Mixture":
        sd = BUCKET_SD if self.cement_kg_m3 else float(np.hypot(BUCKET_SD, CEMENT_OF_BAG_SD))
        return replace(self, water_cement=ratio, water_cement_sd=sd)

    def resolved(self) -> ResolvedMix:
        """The one place that fills what nobody told from the class of the mix."""
        kind = CLASSES[self.kind]
        of_cement = OF_CEMENT
        if self.cement is not None:
            of_cement = OF_CEMENT[-1:] if activation_energy(self.cement) is None else ()
        initial_set_h = self.initial_set_h or kind.initial_set_h
        return ResolvedMix(
            cement_kg_m3=self.cement_kg_m3 or kind.cement_kg_m3,
            water_cement=self.water_cement or kind.water_cement,
            initial_set_h=initial_set_h,
            hydration_tau_h=self.hydration_tau_h or kind.hydration_tau_h,
            working_time_h=self.working_time_h or WORKING_FRACTION * initial_set_h,
            datum_C=self.datum_C or 0.0,
            assumed=(() if self.label else ("strength",)) + untold(self, *OF_CLASS, *of_cement),
        )
