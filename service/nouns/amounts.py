"""What is chosen for the amounts of a casting, and what is told of them."""

from math import isfinite
from typing import Annotated, Any

from pydantic import BaseModel, BeforeValidator, Field

from models.facts.amounts import FIBRES
from models.planning.amounts import Choices
from models.records.fields import Density, Length, Number, Percent, TileMass, Volume, Word
from service.answer_fields import Code, Codes, MessageText, Sentences, also
from service.nouns.base import RequestBody
from service.nouns.controls import Controls, listed
from service.nouns.form import Control, Form
from service.vocabulary import Chemistry, Fibre, PartKind, PriceKey
from service.words import word

USUAL = Choices()


def _finite(value: Any) -> Any:
    return value if value is None or isfinite(value) else None


Finite = Annotated[float | None, BeforeValidator(_finite)]


class AmountsChoices(RequestBody):
    """None: left out, or by the mix and the code."""

    waste_pct: Percent = USUAL.waste_pct
    batch_l: Volume | None = None
    batch_bags: Number | None = None
    step_g: TileMass | None = None
    damp_pct: Percent | None = None
    pigment_pct: Percent | None = None
    fibre: Fibre = USUAL.fibre
    fibre_kg_m3: Density | None = None
    admixture_pct: Percent | None = None
    more_water_l: Volume | None = None
    mesh_pitch_mm: Length | None = None
    mesh_wire_mm: Length | None = None
    mesh_length_mm: Length | None = None
    mesh_width_mm: Length | None = None
    cover_mm: Length | None = None

    @property
    def choices(self) -> Choices:
        return Choices(**self.model_dump())


def controls() -> list[Control]:
    one = Controls(AmountsChoices)
    fibres = listed({kind: word("fibre", kind) for kind in FIBRES})
    return [
        one("waste_pct", "Waste", default="5 %"),
        one("batch_l", "The mixer holds", us="ft3", hint="40 l or 1.5 ft3"),
        one("batch_bags", "or in bags"),
        one("step_g", "The scale reads to", hint="5 g or 0.2 oz"),
        one("damp_pct", "Sand is damp by", hint="5 %"),
        one("more_water_l", "Water more than that", us="qt", hint="0.5 l or 0.5 qt"),
        one("pigment_pct", "Pigment, of the cement", hint="4 %"),
        one("admixture_pct", "Admixture, of the cement", hint="0.8 %"),
        one("fibre_kg_m3", "Fibre", hint="0.9 kg/m3 or 1.5 lb/yd3"),
        one("fibre", "of", "choice", options=fibres, default=USUAL.fibre),
        one("mesh_pitch_mm", "Mesh pitch", hint="50 mm or 2 in"),
        one("mesh_wire_mm", "its wire", hint="3 mm or 1/8 in"),
        one("mesh_length_mm", "Sheet length", hint="2000 mm or 7 ft"),
        one("mesh_width_mm", "Sheet width", hint="1000 mm or 3 1/2 ft"),
        one("cover_mm", "Cover over mesh", hint="by the code"),
    ]


def chosen(form: Form) -> AmountsChoices:
    """What a form says; what is wrong in it stands beside its field."""
    values = form.values_of(AmountsChoices)
    return AmountsChoices.model_validate(values)


class Told(BaseModel):
    """Made from a result of the science; a reader in the context gives the words."""

    model_config = {"from_attributes": True}


class WeighedRead(Told):
    kind: PartKind
    kg: float
    exact_kg: float
    name: Word
    lot: Word


class BagsRead(Told):
    net: float
    whole: int
    each_l: float
    water_least_l: float | None
    water_most_l: float | None


class BatchesRead(Told):
    many: int
    each_l: float
    bags: float | None
    last_part: float
    card: list[WeighedRead]


class WetterRead(Told):
    """`strip_later_h` is null where it never gets strong enough."""

    water_l: float
    before_wc: float
    after_wc: float
    before_MPa: float
    after_MPa: float
    strip_later_h: Finite
    set_later_h: float
    shrinkage_ratio: float
    slump_mm: float
    instead: MessageText
    instead_code: Code = Field(validation_alias=also("instead_code", "instead"))


class MatRead(Told):
    face: Word
    many: int
    length_mm: float
    width_mm: float
    strips: int
    strip_length_mm: float
    strip_width_mm: float
    out_mm: list[tuple[float, float]] = Field(validation_alias=also("out_mm", "out"))
    cover_mm: float
    covered: bool


class CoatLitres(Told):
    sealer_l: float
    water_l: float


class CoatsRead(Told):
    chemistry: Chemistry
    area_m2: float
    coats: list[CoatLitres]
    sealer_l: float


class CostLineRead(Told):
    what: PriceKey
    many: float
    price: float
    money: float


class CostsRead(Told):
    """By the prices of the shop, work by usual minutes; `left_out` has no price."""

    lines: list[CostLineRead]
    left_out: list[PriceKey]
    money: float
    currency: str


class AmountsRead(Told):
    piece_id: int | None = None
    mix_id: int | None = None
    volume_l: float
    waste_pct: float
    mixed_l: float
    density_kg_m3: float
    wet_kg: float
    dry_kg: float
    balance_mm: tuple[float, float, float]
    hands: MessageText
    hands_code: Code = Field(validation_alias=also("hands_code", "hands"))
    bags: BagsRead | None
    batches: BatchesRead | None
    total: list[WeighedRead]
    cement_kg: float
    water_cement: float
    wetter: WetterRead | None
    mesh: list[MatRead]
    lap_mm: float | None
    cover_mm: float
    coats: CoatsRead | None
    then: list[CoatsRead] = Field(description="what goes on over the sealer, in its order")
    costs: CostsRead | None = None
    notes: Sentences
    note_codes: Codes = Field(validation_alias=also("note_codes", "notes"))
