"""Pours of the frost season: what a forecast makes the program say, and what came of it.

The air is the hourly record of 2013; a forecast is that air with the errors that forecasts of lows
and highs were measured to have. What comes of a pour is solved by tests/support/enthalpy.py with
mixes of tests/support/measured_mix.py; of the program nothing is used but its pour check. It froze
where more than CRITICAL_ICE of the mixing water within DEPTH_M of its coldest corner was ice before
that concrete had FROST_MPA.

3.5 MPa is the strength of ACI 306R for one freezing, after Powers 1962 (RILEM Bulletin 14): there
the paste has used so much water that about 3 % of its capillaries are empty, room for a third of
the water to freeze (ice is 9 % more). Fresh concrete has no such room: cylinders cast at 40 F lost
half of their strength at 25 F (McNeese 1952, abstract), where 80 % of the water is ice. Between
none and a third a tenth is taken, OWN_JUDGEMENT; the bench prints a twentieth and a third as well.
Rain is left out, and wind is capped at what lets a cover lie: here frost is asked.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from functools import cached_property
from typing import TypeVar

import numpy as np

from models.air.place import Site
from models.air.series import HOUR, AirSeries
from models.concrete.mixture import LabelStrength, Mixture
from models.concrete.section import Covering
from models.facts.protection import COVERS
from models.message import Message
from models.piece.shape import Shape
from models.planning import pour_check
from models.results import PourOption
from models.simulation.scenario import Placement, Scenario, ShopRules
from models.units import Array
from tests.replays import record_2013 as record
from tests.support import enthalpy, measured_mix
from tests.support.enthalpy import Casting, Frozen, Hardening, Surroundings
from tests.support.frost_air import (
    ABSORPTANCE,
    EMISSIVITY,
    WIND_MOST_M_S,
    cloud_by_swing,
    film_W_m2K,
    forecast_error,
    sky_loss_W_m2,
    sun_W_m2,
    told_of,
    usual_error,
    vapour_pressure_kPa,
)
from tests.support.measured_mix import TestedMix

Drawn = TypeVar("Drawn")
CRITICAL_ICE, DEPTH_M, FROST_MPA = 0.10, 0.010, 3.5
# a start that a code forbids is no safe one: EN 206, under 300 mm ACI 306R, ACI 306.1
LEAST_PLACED_C, LEAST_IN_COLD_C, COLD_AIR_C, LEAST_MOULD_C = 5.0, 13.0, 5.0, 0.0
CLASSES = ("general-purpose", "high-early", "flowing", "blended")
OWNED = (
    Covering(0.0, None, "film"),
    Covering(0.0, None, "blanket"),
    Covering(0.0, None, "two blankets"),
)
CELL_M = 0.0075
COVER_H = 1.0  # covered when placing is over
BARE_FILM_H = 5.0  # who needs no cover still lays film when the face bears it
BEFORE_H, AFTER_H, WATCHED_H = 72, 216, 96
NIGHT_LOW_C = (-8.0, 6.0)
MELAMINE_R, MELAMINE_J_M2K = 0.016 / 0.15, 0.016 * 680.0 * 1700.0  # 16 mm board, EN 12524
YARD_SD_K = 0.7  # a yard is not the station, OWN_JUDGEMENT
CLEAR, COLDER_K = 0.4, 1.0  # cloud under which a hollow is colder, and by how much
KETTLE_C, WANTED_C = 60.0, 16.0
LOST_PER_H = 0.25  # of the excess over the air on the way, ACI 306R
WATER_C = 8.0  # of the tap in winter, from memory


@dataclass(frozen=True)
class Way:
    """A cover, or none, and the mixing water [degC], or as it comes."""

    cover: str
    water_C: float | None

    @property
    def words(self) -> str:
        return (self.cover or "bare") + (" and warm water" if self.water_C is not None else "")


@dataclass(frozen=True)
class Outcome:
    """Largest share of ice at a corner before it bore a frost; mix as placed [degC]; whether the
    code lets it be placed so and the wind let the cover lie.
    """

    ice: float
    placed_C: float
    allowed: bool

    def froze(self, critical: float = CRITICAL_ICE) -> bool:
        return self.ice > critical

    @property
    def safe(self) -> bool:
        return self.allowed and not self.froze()


@dataclass(frozen=True)
class Yard:
    """What a yard makes of the air of the station, one draw each."""

    offset_K: float
    wind_part: float
    sky_view: float
    sunny: float
    laid: float  # resistance of covers as laid, over that of their kind


@dataclass(frozen=True)
class Pour:
    """One start, what was asked, and the truth it is held against."""

    asked: datetime
    kind: str
    scenario: Scenario
    told: AirSeries
    came: AirSeries  # from BEFORE_H before the start
    cloud: Array
    yard: Yard
    tested: TestedMix
    mix: Hardening
    casting: Casting
    bags_C: float
    carried_h: float

    @cached_property
    def lowest_C(self) -> float:
        """Of the air in the day and a half after the start."""
        return float(self.came.air_C[BEFORE_H : BEFORE_H + 36].min())

    def at_confidence(self, confidence: float) -> "Pour":
        rules = replace(self.scenario.rules, confidence=confidence)
        return replace(self, scenario=replace(self.scenario, rules=rules))

    def taught(self) -> "Pour":
        """The same start in a shop whose kept forecasts have taught how they miss in the mean."""
        ahead = np.arange(self.told.hours) > self.told.hour_of(self.asked)
        air_C = self.told.air_C - usual_error(self.told, self.told.issued_at) * ahead
        return replace(self, told=replace(self.told, air_C=air_C))

    def first_day_told(self) -> "Pour":
        """The same start with a bag that tells the strength of its first day as well."""
        first = LabelStrength(24.0, round(self.tested.strength_MPa[1], 1))
        mixture = self.scenario.mixture
        mixture = replace(mixture, label=(first, *mixture.label))
        return replace(self, scenario=replace(self.scenario, mixture=mixture))

    def options(self) -> list[PourOption]:
        """What the program says of this start, the cheapest way first."""
        answer = pour_check.check(self.scenario, self.told, self.asked, days=1, only=self.asked)
        return [option for option in answer.options if option.start == self.asked]

    def air(self, colder_K: float) -> tuple[Array, Array, Array]:
        """Air [degC], cloud, wind at the piece [m/s] from the start on, (WATCHED_H + 1,)."""
        rows = slice(BEFORE_H, BEFORE_H + WATCHED_H + 1)
        sky = self.cloud[rows]
        times = [self.asked + k * HOUR for k in range(WATCHED_H + 1)]
        position = (self.scenario.site.latitude or 0.0, self.scenario.site.longitude or 0.0)
        night = sun_W_m2(times, *position, np.zeros_like(sky)) <= 0
        air_C = self.came.air_C[rows] + self.yard.offset_K
        air_C = air_C - colder_K * (night & (sky < CLEAR))
        return air_C, sky, self.came.wind_m_s[rows] * self.yard.wind_part

    def placed_C(self, water_C: float | None, air_C: float) -> float:
        """The mix as placed [degC]: mixing formula of ACI 306R, its loss on the way."""
        dry_kg, water_kg = 0.22 * (2300.0 - self.mix.water_kg_m3), self.mix.water_kg_m3
        water = WATER_C if water_C is None else water_C
        mixed = (dry_kg * self.bags_C + water_kg * water) / (dry_kg + water_kg)
        return float(mixed - LOST_PER_H * self.carried_h * (mixed - air_C))

    def water_for(self, wanted_C: float) -> float:
        dry_kg, water_kg = 0.22 * (2300.0 - self.mix.water_kg_m3), self.mix.water_kg_m3
        needed = (wanted_C * (dry_kg + water_kg) - dry_kg * self.bags_C) / water_kg
        return float(np.clip(needed, 0.0, KETTLE_C))

    def poured(self, way: Way, colder_K: float = 0.0) -> Outcome:
        """What comes of it in the true air."""
        air_C, sky, wind = self.air(colder_K)
        placed_C = self.placed_C(way.water_C, float(air_C[0]))
        hours = np.arange(WATCHED_H + 1)
        covered = hours >= (COVER_H if way.cover else BARE_FILM_H)
        R = np.where(covered, COVERS[way.cover or "film"].R_m2K_W * self.yard.laid, 0.0)
        film, low = film_W_m2K(wind, air_C), film_W_m2K(wind / 2, air_C)
        times = [self.asked + k * HOUR for k in range(WATCHED_H + 1)]
        site = self.scenario.site
        assert site.latitude is not None
        assert site.longitude is not None
        sun = self.yard.sunny * sun_W_m2(times, site.latitude, site.longitude, sky)
        loss = self.yard.sky_view * EMISSIVITY * sky_loss_W_m2(air_C, sky)
        dew_C = self.came.dew_point_C[BEFORE_H : BEFORE_H + WATCHED_H + 1]
        rh = np.minimum(vapour_pressure_kPa(dew_C) / vapour_pressure_kPa(air_C), 1.0)
        felt = Surroundings(
            air_C + (ABSORPTANCE * sun - loss) / film,
            air_C,
            air_C,
            film,
            low,
            film,
            R,
            np.zeros_like(R),
            R,
            np.where(covered, 0.0, 1.0),
            rh * np.maximum(air_C + 18.0, 0.0) ** 2.5,
            wind,
        )
        solved = enthalpy.solve(self.casting, self.mix, felt, placed_C, FROST_MPA)
        held = not way.cover or wind[: len(solved.ice)].max() <= COVERS[way.cover].wind_m_s
        least_C = LEAST_IN_COLD_C if air_C.min() < COLD_AIR_C else LEAST_PLACED_C
        allowed = held and placed_C >= least_C and air_C[0] > LEAST_MOULD_C
        return Outcome(ice_while_young(solved, self.mix), placed_C, bool(allowed))

    def unknown(self, random: np.random.Generator) -> "Pour":
        """The same start as it may turn out, for all that is known when it is asked."""
        error = forecast_error(random, self.told, self.told.issued_at)
        ahead = np.arange(self.told.hours) > self.told.hour_of(self.asked)
        air_C = self.told.air_C - np.where(ahead, error, 0.0)
        dew_C = np.minimum(self.told.dew_point_C, air_C)
        return replace(
            self,
            came=replace(self.told, air_C=air_C, dew_point_C=dew_C),
            cloud=self.told.cloud_fraction,
            yard=drawn_yard(random),
            mix=measured_mix.drawn_hardening(random, self.tested),
        )

    def ways(self, options: list[PourOption]) -> list[Way]:
        """Every way the shop has, the warmest first, with the water that was told where one was."""
        told = {cover: water for cover, water in map(way_of, options) if water is not None}
        covers = ["", *(covering.kind for covering in self.scenario.rules.owned)]
        covers.sort(key=lambda cover: -COVERS[cover].R_m2K_W if cover else 0.0)
        warm = [Way(cover, told.get(cover, self.water_for(WANTED_C))) for cover in covers]
        return warm + [Way(cover, None) for cover in covers]


def ice_while_young(solved: Frozen, mix: Hardening, depth_m: float = DEPTH_M) -> float:
    """Largest share of the mixing water that was ice at an edge, or a corner if it was solved with
    its length, before it had FROST_MPA."""
    worst = 0.0
    for top in (True, False):
        ice, age = (solved.mean(v, depth_m, top=top) for v in (solved.ice, solved.age_h))
        young = np.interp(age, mix.age_h, mix.strength_MPa) < FROST_MPA
        worst = max(worst, float(ice[young].max(initial=0.0)))
    return worst


def way_of(option: PourOption) -> tuple[str, float | None]:
    """Cover and mixing water [degC] of one of the program's ways."""
    cover = option.protection.values.get("cover")
    kind = str(cover.values["cover"]) if isinstance(cover, Message) else ""
    told = [one.values["water_C"] for one in option.cautions if one.code == "mixing_water"]
    return kind, float(f"{told[0]:.0f}") if told else None


def mixture_told(mix: TestedMix) -> Mixture:
    """What its maker knows: class, 28-day strength, cement and water."""
    label = (LabelStrength(672.0, round(mix.strength_MPa[28], 1)),)
    return Mixture(mix.kind, label, cement_kg_m3=mix.binder_kg_m3, water_cement=mix.water_binder)


def drawn_yard(random: np.random.Generator) -> Yard:
    return Yard(
        YARD_SD_K * random.standard_normal(),
        random.uniform(0.3, 0.7),
        random.uniform(0.6, 1.0),
        random.uniform(0.0, 1.0),
        float(np.exp(0.15 * random.standard_normal())),
    )


def drawn(random: np.random.Generator, kind: str) -> Pour | None:
    """One start of the frost season; None where the record has a gap or the nights are others."""
    station = str(random.choice(record.STATIONS))
    day = int(random.choice([*range(5, 91), *range(335, 355)]))
    asked = datetime(2013, 1, 1, tzinfo=UTC) + timedelta(
        days=day - 1, hours=int(random.integers(13, 22))
    )
    begin = asked - BEFORE_H * HOUR
    came, _ = record.series_2013(station, begin, asked + AFTER_H * HOUR).bridged()
    if not (np.isfinite(came.air_C).all() and np.isfinite(came.dew_point_C).all()):
        return None
    sky = cloud_by_swing(came.air_C, np.nan_to_num(came.rain_mm))
    calm = np.minimum(np.where(np.isnan(came.wind_m_s), 3.0, came.wind_m_s), WIND_MOST_M_S)
    came = replace(came, wind_m_s=calm, rain_mm=0.0 * calm)
    section = float(random.choice([35.0, 45.0, 60.0, 90.0]))
    leg = section == 90.0 and random.random() < 0.5
    shape = Shape("panel", 1500.0, 420.0, section)
    if leg:
        shape = Shape("block", 700.0, section, height_mm=section)
    tested = measured_mix.drawn_mix(random, kind)
    mix = measured_mix.drawn_hardening(random, tested)
    casting = Casting(
        section / 1e3,
        min(shape.width_mm / 2, 4 * section) / 1e3,
        float(np.clip(random.normal(2.0, 0.2), 1.4, 2.6)),
        2300.0 * float(np.clip(random.normal(1000.0, 50.0), 850.0, 1150.0)),
        MELAMINE_R,
        MELAMINE_J_M2K,
        CELL_M,
        min(shape.length_mm / 2, 4 * section) / 1e3,
    )
    yard = drawn_yard(random)
    bags_C = float(came.air_C[BEFORE_H - 24 : BEFORE_H].mean() + random.normal(0.0, 1.5))
    latitude, longitude = record.position(station)
    scenario = Scenario(
        "judged",
        Site("open yard", latitude, longitude, "America/New_York"),
        mixture_told(tested),
        shape,
        Placement(asked, bag_C=round(bags_C + random.normal(0.0, 0.5), 1)),
        rules=ShopRules(owned=OWNED),
    )
    told = told_of(random, came, sky, asked)
    carried_h = random.uniform(0.3, 0.7)
    pour = Pour(
        asked, kind, scenario, told, came, sky, yard, tested, mix, casting, bags_C, carried_h
    )
    return pour if NIGHT_LOW_C[0] <= pour.lowest_C <= NIGHT_LOW_C[1] else None


@dataclass(frozen=True)
class Verdict:
    """What the program said of a start and what came of it, here and in a colder yard.

    chosen : the cheapest way that passed, or None; came, colder : what came of that way
    warmest : what comes of the shop's warmest way, asked or not
    safe : whether some way the shop has would have been safe; why : the risk that stood nearest
    """

    pour: Pour
    chosen: Way | None
    came: Outcome | None
    colder: Outcome | None
    warmest: Outcome
    safe: bool
    why: str


def judged(pour: Pour) -> Verdict:
    """Ask, pour the cheapest way that passes, and look whether any way would have been safe."""
    options = pour.options()
    passing = [option for option in options if option.passes]
    chosen = came = colder = None
    if passing:
        chosen = Way(*way_of(passing[0]))
        came, colder = pour.poured(chosen), pour.poured(chosen, COLDER_K)
    first, *others = pour.ways(options)
    warmest = pour.poured(first)
    safe = (
        (came is not None and came.safe)
        or warmest.safe
        or any(pour.poured(way).safe for way in others if way != chosen)
    )
    nearest = min(options, key=lambda option: option.excess)
    why = nearest.risks[0].risk if nearest.risks and not passing else ""
    return Verdict(pour, chosen, came, colder, warmest, safe, why)


def starts(count: int, seed: int, kinds: tuple[str, ...] = CLASSES) -> list[Pour]:
    """So many starts, the classes in turn."""
    return in_turn(drawn, kinds, count, seed)


def in_turn(
    draw: Callable[[np.random.Generator, str], Drawn | None],
    kinds: tuple[str, ...],
    count: int,
    seed: int,
) -> list[Drawn]:
    """So many draws, the kinds in turn; what comes to nothing is drawn again."""
    random = np.random.default_rng(seed)
    found: list[Drawn] = []
    while len(found) < count:
        one = draw(random, kinds[len(found) % len(kinds)])
        if one is not None:
            found.append(one)
    return found


def within_reach(verdict: Verdict, frost: float, other: float, members: int, seed: int) -> bool:
    """Whether who knows all that the judge knows, but not what comes, would clear a start in the
    shop's warmest way, by so many draws: chances that may be run of frost and of what is forbidden.
    """
    random = np.random.default_rng(seed)
    way = verdict.pour.ways(verdict.pour.options())[0]
    found = [verdict.pour.unknown(random).poured(way) for _ in range(members)]
    frozen, forbidden = sum(one.froze() for one in found), sum(not one.allowed for one in found)
    return frozen <= frost * members + 1e-9 and forbidden <= other * members + 1e-9
