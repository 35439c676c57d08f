"""Before the pour: how much of everything goes into a piece, how heavy it gets, who lifts it."""

import math
from dataclasses import dataclass

from models.coating.film import SealerSystem
from models.concrete import recipe as recipes
from models.concrete.hydration import ultimate_degree
from models.concrete.mixture import Mixture
from models.concrete.moisture_laws import moisture_pct
from models.concrete.recipe import Part, Recipe, Weighed
from models.errors import InputError
from models.facts.amounts import (
    COMBINED_WATER,
    FIBRE_KG_M3,
    FIBRES,
    MESH_COVER,
    PIGMENT_ENOUGH_PCT,
    PIGMENT_MOST_PCT,
    ROOM_RH,
)
from models.facts.fresh import WASTE_FRACTION
from models.facts.moisture import SORPTION_CEMENT_KG_M3
from models.facts.sealers import SEALER_WASTE, Sheet
from models.message import Message
from models.piece import mesh, quantities
from models.piece.coated import Litres, coated_m2, litres_of_coats
from models.piece.handling import hands_for
from models.piece.mesh_faces import faces_of
from models.piece.shape import Shape
from models.planning.wetter import Wetter, wetter
from models.units import one_of, optional_within

SHEET_DEFAULT = mesh.Sheet(2000.0, 1000.0, 50.0, 3.0)


@dataclass(frozen=True)
class Choices:
    """What a maker chooses for one casting; None: left out, or by the mix and the code.

    batch_l : of concrete that the mixer holds; batch_bags : the same in bags; step_g : of the scale
    more_water_l : for the whole piece, on top of what the label or the recipe has
    """

    waste_pct: float = 100 * WASTE_FRACTION
    batch_l: float | None = None
    batch_bags: float | None = None
    step_g: float | None = None
    damp_pct: float | None = None  # all water on the sand, of its dry mass
    pigment_pct: float | None = None  # of the cement
    fibre: str = "polypropylene"
    fibre_kg_m3: float | None = None
    admixture_pct: float | None = None  # of the cement
    more_water_l: float | None = None
    mesh_pitch_mm: float | None = None  # None: no mesh
    mesh_wire_mm: float | None = None
    mesh_length_mm: float | None = None
    mesh_width_mm: float | None = None
    cover_mm: float | None = None

    def __post_init__(self) -> None:
        one_of("fibre", self.fibre, FIBRES)
        optional_within(
            self,
            (
                ("waste_pct", 0.0, 50.0, "%"),
                ("batch_l", 0.2, 2000.0, "l"),
                ("batch_bags", 0.1, 100.0, "bags"),
                ("step_g", 0.1, 10_000.0, "g"),
                ("damp_pct", 0.0, 40.0, "%"),
                ("pigment_pct", 0.0, PIGMENT_MOST_PCT, "% of the cement"),
                ("fibre_kg_m3", *FIBRE_KG_M3, "kg/m3"),
                ("admixture_pct", 0.0, 10.0, "% of the cement"),
                ("more_water_l", 0.0, 200.0, "l"),
            ),
        )
        if self.batch_l is not None and self.batch_bags is not None:
            wrong = f"beside batch_bags = {self.batch_bags:g}"
            raise InputError("batch_l", self.batch_l, wrong, "one of the two")

    @property
    def sheet(self) -> mesh.Sheet | None:
        """The mesh that is bought; None where there is none."""
        if self.mesh_pitch_mm is None and self.mesh_wire_mm is None:
            return None
        usual = SHEET_DEFAULT
        return mesh.Sheet(
            self.mesh_length_mm or usual.length_mm,
            self.mesh_width_mm or usual.width_mm,
            self.mesh_pitch_mm or usual.pitch_mm,
            self.mesh_wire_mm or usual.wire_mm,
        )


@dataclass(frozen=True)
class Cast:
    """What is cast, and of what; then : over the sealer; code : ACI or EN, as mesh is covered."""

    shape: Shape
    mixture: Mixture
    sealer: SealerSystem = SealerSystem()
    code: str = "EN"
    outdoors: bool = True
    then: tuple[SealerSystem, ...] = ()


@dataclass(frozen=True)
class Bags:
    """Bags of a piece with its waste: so many, whole ones, one's yield [l] and its water [l]."""

    net: float
    whole: int
    each_l: float
    water_least_l: float | None
    water_most_l: float | None


@dataclass(frozen=True)
class Batches:
    """Batches: how many, the concrete of each [l], its bags, and what goes in, in order.

    last_part : of a whole batch that the last one has; by bags the others are of whole ones
    """

    many: int
    each_l: float
    bags: float | None
    card: tuple[Weighed, ...]
    rounded: Weighed | None  # the part that rounding to the scale moves most
    last_part: float = 1.0


@dataclass(frozen=True)
class Coats:
    """A product: the area [m2], each coat, and all of it with what stays in the tray [l]."""

    chemistry: str
    area_m2: float
    coats: tuple[Litres, ...]
    sealer_l: float


@dataclass(frozen=True)
class Amounts:
    """Everything that is bought, mixed, cut and lifted for one piece."""

    volume_l: float
    waste_pct: float
    mixed_l: float
    density_kg_m3: float
    wet_kg: float
    dry_kg: float  # in a room, years later
    balance_mm: tuple[float, float, float]  # centre of gravity from left, front and foot
    hands: Message
    bags: Bags | None
    batches: Batches | None
    total: tuple[Weighed, ...]  # of all batches, not rounded
    cement_kg: float
    water_cement: float
    wetter: Wetter | None
    mesh: tuple[mesh.Mat, ...]
    lap_mm: float | None
    cover_mm: float
    coats: Coats | None
    then: tuple[Coats, ...]  # the products over the sealer
    notes: tuple[Message, ...]


def amounts(cast: Cast, choices: Choices = Choices()) -> Amounts:
    """All of it, by what the mix says of itself.

    Raises InputError for a choice that the mix or the piece does not bear.
    Source: each quantity by its own formula; waste COMMON_PRACTICE.
    """
    shape, mixture = cast.shape, cast.mixture
    mixed_l = shape.volume_l * (1 + choices.waste_pct / 100)
    mix = mixture.resolved()
    recipe, yields_l = _recipe(mixture)
    recipe = recipes.dampened(
        _dosed(recipe, mix.cement_kg_m3 * yields_l / 1e3, yields_l, choices), choices.damp_pct
    )
    bags = _bags(mixture, shape.volume_l, choices.waste_pct)
    density = (
        sum(part.kg for part in recipe) / yields_l * 1e3
        if mixture.recipe
        else mixture.density_kg_m3
    )
    wet_kg = quantities.mass_kg(shape.volume_l, density)
    batches = _batches(recipe, yields_l, mixed_l, bags, choices)
    cover = MESH_COVER[cast.code]
    cover_mm = choices.cover_mm or (cover.outdoors_mm if cast.outdoors else cover.dry_mm)
    mats = _mats(shape, choices, cover_mm)
    sheet = choices.sheet
    more = choices.more_water_l
    return Amounts(
        volume_l=shape.volume_l,
        waste_pct=choices.waste_pct,
        mixed_l=mixed_l,
        density_kg_m3=density,
        wet_kg=wet_kg,
        dry_kg=wet_kg
        - shape.volume_l / 1e3 * _lost_kg_m3(density, mix.cement_kg_m3, mix.water_cement),
        balance_mm=shape.centre_of_gravity_mm,
        hands=hands_for(wet_kg),
        bags=bags,
        batches=batches,
        total=recipes.batch(recipe, mixed_l, 0.0, yields_l),
        cement_kg=mix.cement_kg_m3 * mixed_l / 1e3,
        water_cement=mix.water_cement,
        wetter=wetter(mixture, more, mixed_l) if more else None,
        mesh=mats,
        lap_mm=mesh.lap_mm(sheet.pitch_mm) if sheet and mats else None,
        cover_mm=cover_mm,
        coats=_coats(shape, cast.sealer),
        then=tuple(one for one in (_coats(shape, each) for each in cast.then) if one),
        notes=_notes(mixture, choices, batches, mats, cover_mm),
    )


def bag_yield_l(mixture: Mixture) -> float | None:
    """Concrete of one bag [l]: by its label, else by its mass, its water and the density.

    Source: the bag's own yield; definition.
    """
    if mixture.bag_yield_l is not None:
        return mixture.bag_yield_l
    if mixture.bag_kg is None:
        return None
    told = _label_water_l(mixture)
    if told is not None:
        return (mixture.bag_kg + told) / mixture.density_kg_m3 * 1e3
    # its water follows from its cement, that from its yield
    mix = mixture.resolved()
    water_kg_m3 = mix.cement_kg_m3 * mix.water_cement
    return mixture.bag_kg / (mixture.density_kg_m3 - water_kg_m3) * 1e3


def _label_water_l(mixture: Mixture) -> float | None:
    told = [w for w in (mixture.bag_water_least_l, mixture.bag_water_most_l) if w is not None]
    return sum(told) / len(told) if told else None


def _recipe(mixture: Mixture) -> tuple[Recipe, float]:
    """The parts and what they make [l]: its own, else a bag with its water, else as of its class.

    Beside a bag whose label tells its yield, that counts and not the volumes.
    """
    if mixture.recipe:
        each, one_kg = mixture.bag_yield_l, mixture.bag_kg
        if each is None or one_kg is None or not recipes.of(mixture.recipe, "bag"):
            return mixture.recipe, recipes.yield_l(mixture.recipe)
        many = recipes.of(mixture.recipe, "bag") / one_kg
        rest = sum(p.litres for p in mixture.recipe if p.kind not in ("bag", "water"))
        return mixture.recipe, many * each + rest
    mix, each = mixture.resolved(), bag_yield_l(mixture)
    if each is None:
        water = mix.cement_kg_m3 * mix.water_cement
        rest = max(mixture.density_kg_m3 - water - mix.cement_kg_m3, 1.0)
        parts = (Part("cement", mix.cement_kg_m3), Part("sand", rest), Part("water", water))
        return parts, 1000.0
    water = _label_water_l(mixture) or mix.cement_kg_m3 * each / 1e3 * mix.water_cement
    bag = mixture.bag_kg or max(each * mixture.density_kg_m3 / 1e3 - water, 0.1)
    return (Part("bag", bag), Part("water", water)), each


def _dosed(recipe: Recipe, cement_kg: float, yields_l: float, choices: Choices) -> Recipe:
    """With what was chosen besides; refused where the recipe has that part already."""
    doses = (
        ("pigment", "pigment_pct", choices.pigment_pct, cement_kg / 100),
        ("admixture", "admixture_pct", choices.admixture_pct, cement_kg / 100),
        ("fibre", "fibre_kg_m3", choices.fibre_kg_m3, yields_l / 1e3),
    )
    for kind, name, dose, per in doses:
        if not dose:
            continue
        if recipes.of(recipe, kind):
            raise InputError(name, dose, f"the recipe has its {kind} already", "left out")
        called = choices.fibre if kind == "fibre" else ""
        recipe = (*recipe, Part(kind, dose * per, called))
    return recipe


def _bags(mixture: Mixture, volume_l: float, waste_pct: float) -> Bags | None:
    each = bag_yield_l(mixture)
    if each is None or (mixture.recipe and not recipes.of(mixture.recipe, "bag")):
        return None
    if mixture.recipe:  # more goes into the mix than the bag and its water
        parts, yields = _recipe(mixture)
        each = yields * (mixture.bag_kg or 0.0) / recipes.of(parts, "bag") or each
    net, whole = quantities.bags(volume_l, each, waste_pct / 100)
    water = _label_water_l(mixture)
    most = mixture.bag_water_most_l or water
    return Bags(net * (1 + waste_pct / 100), whole, each, mixture.bag_water_least_l or water, most)


def _batches(
    recipe: Recipe, yields_l: float, mixed_l: float, bags: Bags | None, choices: Choices
) -> Batches | None:
    most = choices.batch_l
    if choices.batch_bags is not None:
        if bags is None:
            raise InputError(
                "batch_bags",
                choices.batch_bags,
                "the mix is not of bags",
                "batch_l, or bag_kg of the mix",
            )
        most = choices.batch_bags * bags.each_l
        many = math.ceil(mixed_l / most - 1e-9)
        card = recipes.batch(recipe, most, (choices.step_g or 0.0) / 1e3, yields_l)
        last = mixed_l / most - (many - 1)
        return Batches(many, most, choices.batch_bags, card, recipes.farthest_off(card), last)
    if most is None:
        return None
    many = math.ceil(mixed_l / most - 1e-9)
    each = mixed_l / many
    card = recipes.batch(recipe, each, (choices.step_g or 0.0) / 1e3, yields_l)
    in_bags = None if bags is None else each / bags.each_l
    return Batches(many, each, in_bags, card, recipes.farthest_off(card))


def _mats(shape: Shape, choices: Choices, cover_mm: float) -> tuple[mesh.Mat, ...]:
    sheet = choices.sheet
    if sheet is None:
        return ()
    return tuple(mesh.mat(face, sheet, cover_mm) for face in faces_of(shape))


def _coats(shape: Shape, sealer: SealerSystem) -> Coats | None:
    if sealer.chemistry is None:
        return None
    sheet: Sheet = sealer.resolved(base=shape.like != "panel")
    area = coated_m2(shape)
    coats = litres_of_coats(area, sheet)
    return Coats(
        sealer.chemistry, area, coats, sum(one.sealer_l for one in coats) * (1 + SEALER_WASTE)
    )


def _lost_kg_m3(density_kg_m3: float, cement_kg_m3: float, water_cement: float) -> float:
    """Water that leaves a cubic metre in the end [kg]: neither bound by the cement nor held by the
    air of a room.

    Source: POWERS_BROWNYARD, MILLS_1966, BRANZ_SORPTION.
    """
    ratio = min(max(water_cement, 0.2), 0.9)
    bound = COMBINED_WATER * float(ultimate_degree(ratio)) * cement_kg_m3
    water = water_cement * cement_kg_m3
    bone_dry = density_kg_m3 - water + min(bound, water)
    held = (
        float(moisture_pct(ROOM_RH, ratio)) / 100 * bone_dry * cement_kg_m3 / SORPTION_CEMENT_KG_M3
    )
    return max(water - bound - held, 0.0)


def _notes(
    mixture: Mixture,
    choices: Choices,
    batches: Batches | None,
    mats: tuple[mesh.Mat, ...],
    cover_mm: float,
) -> tuple[Message, ...]:
    """What is to be minded, each with its numbers."""
    found = []
    if not mixture.recipe and bag_yield_l(mixture) is None:
        found.append(Message("amounts_of_class", {"class": mixture.kind}))
    if (choices.pigment_pct or 0.0) > PIGMENT_ENOUGH_PCT:
        found.append(
            Message(
                "pigment_hardly_deeper",
                {
                    "pigment_pct": choices.pigment_pct,
                    "enough_pct": PIGMENT_ENOUGH_PCT,
                    "most_pct": PIGMENT_MOST_PCT,
                },
            )
        )
    dose, usual = choices.fibre_kg_m3, FIBRES[choices.fibre]
    if dose is not None and not usual.least_kg_m3 <= dose <= usual.most_kg_m3:
        told = {"least_dose_kg_m3": usual.least_kg_m3, "most_dose_kg_m3": usual.most_kg_m3}
        found.append(Message("fibre_unusual", {"fibre": choices.fibre, "dose_kg_m3": dose, **told}))
    if batches is not None and batches.rounded is not None:
        row = batches.rounded
        share = 100 * abs(row.off_kg) / row.exact_kg
        found.append(
            Message(
                "rounded_to_scale",
                {"part": row.kind, "off_pct": share, "exact_g": 1e3 * row.exact_kg},
            )
        )
    thin = [one for one in mats if not one.covered]
    if thin:
        least = min(one.cover_mm for one in thin)
        found.append(Message("mesh_cover_thin", {"held_mm": least, "cover_mm": cover_mm}))
    return tuple(found)
