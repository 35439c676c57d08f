"""A mix, as the bag or the maker says it."""

from typing import Any

from pydantic import Field, SerializerFunctionWrapHandler, model_serializer

from models.facts.amounts import PART_KINDS
from models.facts.cements import ADMIXTURES, CEMENT_CLASSES, CLASSES
from models.facts.materials import ABSORPTANCE
from models.records import Mix
from models.records.fields import Density, Fineness, Hours, Mass, Percent, Stress, Temperature, Word
from models.records.mix import MixBase, MixCalibrated
from service.nouns.base import Owned, RequestBody, ResponseBody
from service.nouns.controls import (
    Controls,
    as_typed,
    listed,
    names_of_rows,
    typed_of,
    typed_parts,
)
from service.nouns.form import Control, Form
from service.vocabulary import Admixture, CementClass, Colour, MixClass, PartKind
from service.words import word

NO_ADMIXTURE = "none, or told by the bag already"
NO_CLASS = "not known"
COLOURS = (("", "grey, or not known"), *((one, one) for one in ABSORPTANCE))
BAG, LABEL, SHEET, PART = "mix.", "mix.at", "mix.cement.", "mix.part"


class LabelStrength(RequestBody):
    age_h: Hours
    MPa: Stress
    temperature_C: Temperature = 21.0


class Cement(RequestBody):
    """A sheet of the mill; what is not told is taken as of a type I cement."""

    C3S_pct: Percent | None = None
    C2S_pct: Percent | None = None
    C3A_pct: Percent | None = None
    C4AF_pct: Percent | None = None
    SO3_pct: Percent | None = None
    free_CaO_pct: Percent | None = None
    MgO_pct: Percent | None = None
    blaine_m2_kg: Fineness | None = None
    slag_pct: Percent | None = Field(default=None, description="of the binder")
    fly_ash_pct: Percent | None = Field(default=None, description="of the binder")
    fly_ash_CaO_pct: Percent | None = Field(default=None, description="of the fly ash")

    @model_serializer(mode="wrap")
    def _without_none(self, handler: SerializerFunctionWrapHandler) -> dict[str, float]:
        return {name: value for name, value in handler(self).items() if value is not None}


class RecipePart(RequestBody):
    """A part by weight, for a batch of any size; sand and aggregate saturated, surface dry."""

    kind: PartKind
    kg: Mass
    name: Word = ""
    lot: Word = ""
    density_kg_m3: Density | None = Field(default=None, description="of its particles")
    absorption_pct: Percent | None = Field(default=None, description="of its dry mass")
    moisture_pct: Percent | None = Field(default=None, description="all of it, of its dry mass")
    solids_pct: Percent | None = Field(default=None, description="of a liquid; the rest is water")

    @model_serializer(mode="wrap")
    def _without_none(self, handler: SerializerFunctionWrapHandler) -> dict[str, Any]:
        return {name: value for name, value in handler(self).items() if value not in (None, "")}


class MixWords(MixBase):
    kind: MixClass = Field(alias="class", description="class of the mix")
    cement_class: CementClass | None = Field(
        default=None, description="strength class of the cement by EN 197-1"
    )
    colour: Colour | None = Field(default=None, description="none: grey. In the sun dark is warmer")
    admixture: Admixture | None = None


class MixCreate(MixWords, RequestBody):
    label: list[LabelStrength] = Field(default_factory=list, alias="strength", max_length=20)
    cement: Cement | None = None
    recipe: list[RecipePart] = Field(default_factory=list, max_length=12)


class MixPoured(MixWords, ResponseBody):
    label: list[dict[str, float]] = Field(alias="strength")
    cement: dict[str, float] | None
    recipe: list[dict[str, Any]]


class MixRead(MixPoured, MixCalibrated, Owned):
    pass


NAMES = {
    **names_of_rows(LabelStrength, "strength", LABEL),
    **names_of_rows(RecipePart, "recipe", PART),
    "strength": f"{LABEL}0.age_h",
    "class": "mix.kind",
}


def controls(points: int = 2, parts: int = 1) -> list[Control]:
    """A mix with room for a number of label strengths and of parts by weight."""
    kinds = listed({kind: f"{kind}: {word('mix', kind)}" for kind in CLASSES})
    added = (("", NO_ADMIXTURE), *((kind, kind) for kind in ADMIXTURES))
    strengths = (("", NO_CLASS), *((one, one) for one in CEMENT_CLASSES))
    bag, sheet = Controls(MixCreate, BAG), Controls(Cement, SHEET)
    found = [
        bag("name", "Name", placeholder="named for you"),
        bag("kind", "Kind of mix", "radio", options=kinds, default="general-purpose", needed=True),
        bag(
            "admixture",
            "Added to it",
            "choice",
            options=added,
            hint="at the usual dose; moves the set where no set is told below",
        ),
        bag("polymer_pct", "Dry polymer in a glass-fibre mix", hint="5 % of the cement"),
        bag("bag_kg", "Bag", hint="36 kg or 80 lb"),
        bag("bag_yield_l", "One bag yields", us="ft3", hint="17 l or 0.6 ft3"),
        bag("bag_water_least_l", "Water in a bag, least", us="gal", hint="2.8 l or 3 qt"),
        bag("bag_water_most_l", "most", us="gal", hint="4.3 l or 4.5 qt"),
        bag(
            "cement_class",
            "Strength class of the cement",
            "choice",
            options=strengths,
            hint="on the sack, by EN 197-1: 42.5 R gains strength faster than 42.5 N",
        ),
        bag("colour", "Colour", "choice", options=COLOURS, hint="dark is warmer in the sun"),
        bag("cement_kg_m3", "Cement", hint="330 kg/m3 or 560 lb/yd3"),
        bag("water_cement", "Water/cement ratio", hint="0.45"),
        bag("initial_set_h", "Initial set at {20_C:0}"),
        bag("final_set_h", "Final set at {20_C:0}"),
        bag("working_time_h", "Working time on the label", bare="min", hint="20 min"),
        bag("working_time_C", "at", default="21 C or 70 F"),
        bag(
            "density_kg_m3",
            "Density of the concrete",
            us="lb/ft3",
            default="2300 kg/m3 or 145 lb/ft3",
        ),
        bag(
            "activation_energy_kJ_mol",
            "Activation energy",
            hint="30 to 45 kJ/mol, or what a fit gave",
        ),
        bag("activation_energy_error_kJ_mol", "Its standard error", hint="3 kJ/mol"),
        bag("datum_C", "Datum temperature", hint="0 C or 32 F"),
        bag("heat_kJ_kg", "Heat of the cement", hint="380 kJ/kg or 163 Btu/lb"),
        bag("hydration_tau_h", "Hydration time at {20_C:0}", hint="15 h"),
        bag("hydration_beta", "Hydration slope", hint="0.8"),
        bag("hydration_ultimate", "Hydrated in the end", hint="0.75"),
        sheet("C3S_pct", "C3S", hint="55 %"),
        sheet("C2S_pct", "C2S"),
        sheet("C3A_pct", "C3A"),
        sheet("C4AF_pct", "C4AF"),
        sheet("SO3_pct", "SO3"),
        sheet("free_CaO_pct", "Free CaO"),
        sheet("MgO_pct", "MgO"),
        sheet("blaine_m2_kg", "Blaine fineness", hint="370 m2/kg"),
        sheet("slag_pct", "Slag in the binder"),
        sheet("fly_ash_pct", "Fly ash in the binder"),
        sheet("fly_ash_CaO_pct", "CaO in the fly ash"),
    ]
    for k in range(points):
        point = Controls(LabelStrength, f"{LABEL}{k}.")
        found += [
            point("age_h", "Age", bare="d", placeholder="7 d"),
            point("MPa", "strength", placeholder="19 MPa or 2800 psi"),
            point("temperature_C", "cured at", default="21 C or 70 F"),
        ]
    kinds_of_part = (("", "none"), *((one, word("part", one)) for one in PART_KINDS))
    for k in range(parts):
        part = Controls(RecipePart, f"{PART}{k}.")
        found += [
            part("kind", f"Part {k + 1}", "choice", options=kinds_of_part),
            part("kg", "Mass", placeholder="12 kg or 26 lb"),
            part("name", "Called"),
            part("lot", "Lot"),
            part("absorption_pct", "Its pores take", hint="1 %"),
            part("moisture_pct", "Damp", hint="5 %"),
            part("density_kg_m3", "Density of its particles", hint="2650 kg/m3"),
            part("solids_pct", "Solids of a liquid", hint="40 %"),
        ]
    return found


def values(form: Form) -> dict[str, Any]:
    """What a mix's row shall say."""
    values = form.values_of(MixCreate, BAG)
    values["label"] = form.rows_of(LabelStrength, LABEL)
    values["recipe"] = [
        {name: value for name, value in row.items() if value not in (None, "")}
        for row in form.rows_of(RecipePart, PART)
    ]
    values["cement"] = form.part_of(Cement, SHEET)
    kind = str(values["kind"] or "mix")
    words = "Glass-fibre mix" if kind == "glass-fibre" else f"{kind.capitalize()} mix"
    return {**values, "name": values["name"] or words}


def typed(row: Mix, shown: list[Control]) -> dict[str, list[str]]:
    """A row as if it had been typed."""
    sheet = {
        one.name: as_typed(one, (row.cement or {}).get(one.name.removeprefix(SHEET)))
        for one in shown
        if one.name.startswith(SHEET)
    }
    listed = typed_parts(row.label, shown, LABEL) | typed_parts(row.recipe, shown, PART)
    return typed_of(row, shown, BAG) | listed | sheet
