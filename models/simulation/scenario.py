"""Scenario: the one frozen thing that is projected, from a phone or from a file alike."""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime, time, timedelta
from functools import cached_property
from typing import TypeVar
from zoneinfo import ZoneInfo

from models.air.place import ROOMS, ResolvedSite, Site
from models.air.series import HOUR
from models.coating.film import LIMITS, UNASSUMED, SealerSystem
from models.coating.finish import Product, checked, products
from models.concrete.mixture import Mixture, ResolvedMix
from models.concrete.section import Covering, MouldBoard
from models.errors import InputError
from models.facts.codes import AMERICAN_LONGITUDE, AMERICAN_ZONES, CODES, Code
from models.facts.measures import MEASURES
from models.facts.sealers import Sheet
from models.instants import aware, not_ahead, within_hours
from models.piece.shape import Shape
from models.piece.turning import GEAR
from models.simulation.batch import CONCRETE_C as CONCRETE_C
from models.simulation.batch import Batched
from models.simulation.meant import Meant as Meant
from models.steps import registry
from models.units import number_within, one_of, optional_within

SET_KINDS = ("initial-set", "final-set")
FILM_KINDS = ("film-wet", "film-dry")
DRYING_KINDS = ("tile", *FILM_KINDS)
LOOK_KINDS = SOUND, FROSTED = ("corner-sound", "corner-frosted")
KINDS_WITHOUT_VALUE = SET_KINDS + FILM_KINDS + LOOK_KINDS  # seen, not measured: no value
TEMPERATURE_KINDS = ("air", "concrete", "surface", "air-min-max")
READING_KINDS = (*TEMPERATURE_KINDS, "humidity", *SET_KINDS, *DRYING_KINDS, *LOOK_KINDS)
OF_THE_AIR = ("air", "air-min-max", "humidity")
HUMIDITY_PCT = (1.0, 100.0)
TILE_G = (20.0, 500_000.0)
READ_C = (-50.0, 95.0, "degC")
VALUE_LIMITS = {"tile": (*TILE_G, "g"), "humidity": (*HUMIDITY_PCT, "%")}  # of others READ_C
TEST_KINDS = ("cube", "cylinder", "bar")
OWNED_BY_DEFAULT = (Covering(0.0, None, "film"), Covering(0.0, None, "blanket"))
FUTURE_POUR = timedelta(days=60)
AIR_BEFORE = timedelta(hours=72)  # air read before the pour tells what the place makes of weather


@dataclass(frozen=True)
class Placement:
    """When and how warm the youngest batch went in."""

    at: datetime
    concrete_C: float | None = None
    water_added_l: float = 0.0
    bags: float | None = None
    placing_h: float | None = None  # how long mixing and placing all of it takes
    measures: tuple[str, ...] = ()  # against drying in the first hours
    bag_C: float | None = None  # what is mixed; beside a measured concrete_C they count nothing
    water_C: float | None = None
    delivered: bool = False  # it goes to a client
    board_C: float | None = None  # the mould, or the ground cast on, when the concrete goes in
    burner_fitted: bool = False  # and tried, by who is allowed to

    def __post_init__(self) -> None:
        object.__setattr__(self, "at", aware("at", self.at))
        limits = (
            ("concrete_C", *CONCRETE_C, "degC"),
            ("bag_C", -20.0, 60.0, "degC"),
            ("water_C", 0.0, 95.0, "degC"),
            ("board_C", -40.0, 70.0, "degC"),
            ("water_added_l", 0.0, 200.0, "l"),
            ("bags", 0.1, 500.0, "bags"),
            ("placing_h", 0.01, 24.0, "h"),
        )
        optional_within(self, limits)
        for name in self.measures:
            one_of("measures", name, MEASURES)


@dataclass(frozen=True)
class Observation:
    """A reading; air-min-max: low in value, high in value_max, over span_h before at.

    initial-set and final-set say when it was seen to set, film-wet and film-dry what stood under
    a taped film, corner-sound and corner-frosted how a corner looked that may have frozen; their
    value is not used. tile: mass of the witness tile [g]. humidity: relative
    humidity of the air beside the piece [%].
    """

    at: datetime
    kind: str
    value: float = 0.0
    value_max: float | None = None
    span_h: float = 12.0
    wrong: bool = False  # the instrument was: kept, and counted nowhere

    def __post_init__(self) -> None:
        object.__setattr__(self, "at", aware("at", self.at))
        one_of("kind", self.kind, READING_KINDS)
        number_within("value", self.value, *VALUE_LIMITS.get(self.kind, READ_C))
        if self.kind == "air-min-max":
            if self.value_max is None:
                wrong = "air-min-max needs both ends"
                raise InputError("value_max", None, wrong, "[low, high] in degC")
            number_within("value_max", self.value_max, *READ_C)
            if self.value_max < self.value:
                allowed = f"{self.value:g} or more"
                raise InputError("value_max", self.value_max, "below the low", allowed)
        number_within("span_h", self.span_h, 1.0, 48.0, "h")


@dataclass(frozen=True)
class StrengthTest:
    """A cube, cylinder (compression) or bar (bending) broken at an instant."""

    at: datetime
    kind: str
    MPa: float

    def __post_init__(self) -> None:
        object.__setattr__(self, "at", aware("at", self.at))
        one_of("kind", self.kind, TEST_KINDS)
        number_within("MPa", self.MPa, 0.1, 200.0, "MPa")


@dataclass(frozen=True)
class Done:
    """A step that was done (coat-1, coat-2 ... for coats)."""

    step: str
    at: datetime

    def __post_init__(self) -> None:
        object.__setattr__(self, "at", aware("at", self.at))
        if registry.step_of(self.step) is None:
            allowed = "one of " + " | ".join(registry.KEYS) + " | coat-1 ... coat-n"
            raise InputError("step", self.step, "not a known step", allowed)


Act = TypeVar("Act", Done, Meant)


@dataclass(frozen=True)
class ShopRules:
    """What the shop has chosen: how sure it wants to be, its hours, its covers, its own needs."""

    confidence: float = 0.90
    working_hours: tuple[time, time] = (time(7), time(21))
    quiet_hours: tuple[time, time] = (time(22), time(7))
    owned: tuple[Covering, ...] = ()
    code: str | None = None  # ACI | EN; None: by the region of the place
    indoors: Site | None = None  # a room of the shop's where a piece may be cast instead
    needs_MPa: dict[str, float] = field(default_factory=dict)
    gear: tuple[str, ...] = ()  # that pieces are turned with, beside hands
    lifters: int | None = None  # people who lift together; None: as many as it takes

    def works_at(self, clock: time) -> bool:
        """Whether a time of day lies in the working hours, which may run over midnight."""
        return within_hours(self.working_hours, clock)

    def __post_init__(self) -> None:
        number_within("confidence", self.confidence, 0.80, 0.99)
        if self.code is not None:
            one_of("code", self.code, CODES)
        if self.indoors is not None:
            one_of("indoors.kind", self.indoors.kind, ROOMS)
        for step, value in self.needs_MPa.items():
            number_within(f"needs_MPa.{step}", value, 0.0, 100.0, "MPa")
        for name in self.gear:
            one_of("gear", name, GEAR)
        if self.lifters is not None:
            number_within("lifters", self.lifters, 1, 20, "people")


@dataclass(frozen=True)
class ResolvedScenario:
    """The nouns of a scenario with every default filled.

    covers : what the shop owns; film and a blanket where none are told
    assumed : the keys of a scenario file that nobody told
    finish : what goes on it, product after product; sheet : of the first
    """

    site: ResolvedSite
    mix: ResolvedMix
    sheet: Sheet
    covers: tuple[Covering, ...]
    assumed: tuple[str, ...]
    finish: tuple[Product, ...]

    def product_of(self, number: int) -> Product:
        """The product that a coat is of; of one beyond them all the last."""
        return next((one for one in self.finish if number in one.numbers), self.finish[-1])


@dataclass(frozen=True)
class Scenario:
    """All that a projection depends on, but the weather and the present instant."""

    name: str
    site: Site
    mixture: Mixture
    shape: Shape
    placement: Placement
    mould: MouldBoard = MouldBoard()
    coverings: tuple[Covering, ...] = ()
    observations: tuple[Observation, ...] = ()
    tests: tuple[StrengthTest, ...] = ()
    sealer: SealerSystem = SealerSystem()
    rules: ShopRules = ShopRules()
    done: tuple[Done, ...] = ()
    exposed_to_frost: bool = True
    plan: tuple[Meant, ...] = ()
    batched: Batched = Batched()
    burner: bool = False  # goes in the piece
    then: tuple[SealerSystem, ...] = ()  # the products that follow the sealer, in their order

    def __post_init__(self) -> None:
        if self.then:
            checked((self.sealer, *self.then))

    def hour(self, at: datetime) -> float:
        """Hours from placing to an instant [h]."""
        return (at - self.placement.at) / HOUR

    def instant(self, hour: float) -> datetime:
        """`hour` hours after placing, in the zone of the place."""
        at = self.placement.at + timedelta(hours=float(hour))
        return at.astimezone(ZoneInfo(self.site.timezone))

    def clock(self, hour: float, *, closes: bool = False) -> datetime | None:
        """The same to the whole minute; None where the hour is not finite.

        Openings are rounded up and closings down, so that no minute told is too early or late.
        """
        if not math.isfinite(hour):
            return None
        at = self.placement.at + timedelta(hours=float(hour))
        minute = at.replace(second=0, microsecond=0)
        if not closes and minute < at:
            minute += timedelta(minutes=1)
        return minute.astimezone(ZoneInfo(self.site.timezone))

    @property
    def on_ground(self) -> bool:
        """Whether the piece is cast in place."""
        return self.mould.material == "ground"

    @property
    def code(self) -> Code:
        """The rules in force: the shop's, else those of where the piece is poured."""
        if self.rules.code is not None:
            return CODES[self.rules.code]
        site = self.site
        american = site.timezone.startswith(AMERICAN_ZONES)
        if site.longitude is not None:
            american |= site.longitude < AMERICAN_LONGITUDE
        return CODES["ACI" if american else "EN"]

    def resolved(self) -> ResolvedScenario:
        """What is in force: as told, else assumed; a sealer on what is no panel is on a base."""
        return self._resolved

    @cached_property
    def _resolved(self) -> ResolvedScenario:
        site, mix = self.site.resolved(), self.mixture.resolved()
        base, keeps = self.shape.like != "panel", self.mixture.keeps_its_water
        systems = (self.sealer, *self.then)
        sheets = [one.resolved(base=base, keeps_its_water=keeps) for one in systems]
        sheet = sheets[0]
        if not self.sealer.told:  # what was coated all the same is told as done
            numbers = (registry.coat_number(one.step) or 0 for one in self.done)
            sheet = replace(sheet, coats=max(numbers, default=0))
        owned = self.rules.owned
        assumed = [f"place.{name}" for name in site.assumed]
        assumed += [f"mix.{name}" for name in mix.assumed]
        if self.sealer.told:
            untold_names = [name for name, *_ in LIMITS if name not in UNASSUMED]
            assumed += [f"sealer.{name}" for name in untold_names if name not in sheet.given]
        assumed += [] if owned else ["shop.protection"]
        untold = any(one.insulates and one.faces is None for one in self.coverings)
        assumed += ["protection.faces"] if untold else []
        kinds = (one.chemistry for one in systems)
        made = products([*zip(kinds, (sheet, *sheets[1:]), strict=True)])
        covers = owned or OWNED_BY_DEFAULT
        return ResolvedScenario(site, mix, sheet, covers, tuple(assumed), made)

    @property
    def strength_told(self) -> bool:
        """Whether a label, a test or earlier pours of the mix tell its strength, not its class
        alone."""
        mixture = self.mixture
        return bool(mixture.label or self.tests) or mixture.strength_factor != 1.0

    @property
    def done_h(self) -> dict[str, float]:
        """Hours from placing at which steps were done [h]; of one marked twice the last."""
        return {one.step: self.hour(one.at) for one in self.done}

    @property
    def added_water_cement(self) -> float:
        """Water that was added at the mixer over the cement of the piece, dimensionless."""
        cement_kg = self.mixture.resolved().cement_kg_m3 * self.shape.volume_l / 1e3
        return self.placement.water_added_l / max(cement_kg, 1e-6)

    @property
    def water_cement(self) -> float:
        """Water/cement ratio with what was added at the mixer, dimensionless."""
        return self.mixture.resolved().water_cement + self.added_water_cement

    def readings(self, until_h: float, *kinds: str) -> list[tuple[float, Observation]]:
        """Readings of some kinds from placing to an hour after it [h], each with its hour."""
        found = [(self.hour(one.at), one) for one in self.observations if one.kind in kinds]
        return sorted((row for row in found if 0 <= row[0] <= until_h), key=lambda row: row[0])

    def without_wrong_readings(self) -> "Scenario":
        """Without the readings whose instrument was wrong."""
        return replace(self, observations=tuple(o for o in self.observations if not o.wrong))

    def checked_against(self, now: datetime) -> None:
        """Refuse what cannot be at `now`: a pour far ahead, a reading of the future."""
        if self.placement.at > now + FUTURE_POUR:
            allowed = f"at most {FUTURE_POUR.days} days ahead of {now.isoformat()}"
            placed = self.placement.at.isoformat()
            raise InputError("pour.at", placed, "too far in the future", allowed)
        stamped: dict[str, tuple[Observation | StrengthTest | Done, ...]] = {
            "reading": self.observations,
            "strength_test": self.tests,
            "done": self.done,
        }
        for name, items in stamped.items():
            for k, item in enumerate(items):
                not_ahead(f"{name}[{k}].at", item.at, now)
        for k, test in enumerate(self.tests):
            if test.at <= self.placement.at:
                field, allowed = (
                    f"strength_test[{k}].at",
                    f"a time after {self.placement.at.isoformat()}",
                )
                raise InputError(field, test.at.isoformat(), "before the pour", allowed)

    def checked_order(self) -> None:
        """Refuse what was read or done before the concrete was there, or in no order of the trade.

        Of a pour in the rows, the doors see to it when each is put down.
        """
        placed = self.placement.at
        stamped = [
            (f"reading[{k}].at", one.at, placed - AIR_BEFORE if one.kind in OF_THE_AIR else placed)
            for k, one in enumerate(self.observations)
        ]
        stamped += [(f"done[{k}].at", step.at, placed) for k, step in enumerate(self.done)]
        for name, at, first in stamped:
            if at < first:
                allowed = f"{first.isoformat()} or later"
                raise InputError(name, at.isoformat(), "before the pour", allowed)
        _in_order("done", self.done)
        self.checked_plan()

    def checked_plan(self) -> None:
        """Refuse what is meant before the concrete is there, or in no order of the trade."""
        for k, one in enumerate(self.plan):
            if one.at < self.placement.at:
                allowed = f"{self.placement.at.isoformat()} or later"
                raise InputError(f"plan[{k}].at", one.at.isoformat(), "before the pour", allowed)
        _in_order("plan", [one for one in self.plan if one.cover in (None, "film")])


def _in_order(name: str, acts: Sequence[Act]) -> None:
    """Refuse an act at an hour before one that comes first in the trade."""
    for k, one in enumerate(acts):
        before = out_of_order(one, acts)
        if before is not None:
            wrong = f"{one.step} before {before.step}"
            allowed = f"a time from {before.at.isoformat()} on, or another for {before.step}"
            raise InputError(f"{name}[{k}].at", one.at.isoformat(), wrong, allowed)


def out_of_order(step: Act, others: Iterable[Act]) -> Act | None:
    """A step that is done later though it comes first in the trade; None where there is none."""
    first = registry.before(registry.base_of(step.step))
    late = [one for one in others if one.step in first and one.at > step.at]
    return max(late, key=lambda one: one.at, default=None)
