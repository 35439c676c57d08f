"""Pour checks asked on a forecast of 2013 weather, and what then came of the pours they cleared.

Invented are the pours and the errors of the forecasts; the weather is the record. The forecast is
what came plus a first-order autoregressive error that grows with lead, in every third replay with
a bias of 1 K either way besides. The truth of a pour is one draw of its mix, its temperature as
placed, its micro-site from what the shop says it does not know.
"""

from dataclasses import dataclass, replace
from datetime import UTC, datetime
from types import ModuleType
from typing import Any

import numpy as np

from models.air import place
from models.air.members import AirMembers
from models.air.place import Site
from models.air.series import HOUR, AirSeries
from models.air.spread import lead_sd
from models.concrete import frost, heat
from models.concrete import prior as priors
from models.concrete.mixture import LabelStrength, Mixture
from models.concrete.section import Covering
from models.facts import instruments
from models.facts.frost import HARMS
from models.piece.shape import Shape
from models.planning import pour_check, protection
from models.planning.protection import ProtectionOption
from models.results import PourOption
from models.simulation import physics, stays, thermal
from models.simulation.in_force import schedule
from models.simulation.scenario import Placement, Scenario, ShopRules
from service.words import Reader, say

HERE = Reader("America/Chicago")

OWNED = (
    Covering(0.0, None, "film"),
    Covering(0.0, None, "blanket"),
    Covering(0.0, None, "two blankets"),
)
MIXES = ("general-purpose", "high-early", "flowing", "blended")
FULL_RECORD_H = 72 + 24 * 9
BIAS_K = 1.0
MEMORY = 0.94


@dataclass(frozen=True)
class Replay:
    """One pour asked about, and for each way whether it was cleared and whether it froze."""

    station: str
    asked: datetime
    lowest_C: float  # of the air in the three days after
    cleared: dict[str, bool]
    froze: dict[str, bool]
    safe: dict[str, bool]  # nothing stood against it when it came
    chosen: str  # the cheapest way that was cleared, or nothing

    @property
    def cold(self) -> bool:
        return self.lowest_C < 3.0


def scenario(
    random: np.random.Generator, station: str, asked: datetime, record: ModuleType
) -> Scenario:
    latitude, longitude = record.position(station)
    kind = str(random.choice(MIXES))
    label = (LabelStrength(168.0, 19.0), LabelStrength(672.0, 28.0))
    site = Site(str(random.choice(["open yard", "covered"])), latitude, longitude)
    return Scenario(
        "replay",
        site,
        Mixture(kind, label if kind == "general-purpose" else ()),
        Shape("panel", 1500.0, 420.0, float(random.choice([35.0, 45.0, 60.0, 90.0]))),
        Placement(asked),
        rules=ShopRules(owned=OWNED, indoors=Site("unheated room")),
    )


def forecast(
    random: np.random.Generator, came: AirSeries, now: datetime, biased: bool
) -> AirSeries:
    """What a service would have said at `now`: the past as it was, the future with errors."""
    lead = np.arange(float(came.hours)) - came.hour_of(now)
    sd = np.where(lead < 0, 0.0, lead_sd(lead, np.zeros(came.hours, dtype=bool)))
    error = np.empty(came.hours)
    level = random.standard_normal()
    for h in range(came.hours):
        error[h] = level
        level = MEMORY * level + np.sqrt(1 - MEMORY**2) * random.standard_normal()
    bias = BIAS_K * random.choice([-1.0, 1.0]) * (lead >= 0) if biased else 0.0
    air = came.air_C - sd * error - bias
    own = 0.9 * sd * random.standard_normal()
    dew = np.minimum(came.dew_point_C - 0.7 * sd * error + own, air)
    wind = came.wind_m_s * np.exp(0.3 * random.standard_normal() * (lead >= 0))
    return replace(came, air_C=air, dew_point_C=dew, wind_m_s=wind, issued_at=now)


def truly(came: AirSeries, random: np.random.Generator) -> AirMembers:
    """The one course the air took at the yard: the station's, and what the yard adds."""
    site = 0.7 * random.standard_normal()
    air = (came.air_C + site)[:, None]
    return AirMembers(
        came.start,
        air,
        np.minimum(came.dew_point_C[:, None], air),
        np.where(np.isnan(came.wind_m_s), 2.0, came.wind_m_s)[:, None],
        np.full_like(air, random.choice([0.0, 0.5, 1.0])),
        np.where(np.isnan(came.rain_mm), 0.0, came.rain_mm)[:, None],
        np.full_like(air, np.nan),
        np.full(came.hours, 0.5),
        np.array([site]),
    )


def came_of(
    plan: Scenario,
    way: ProtectionOption,
    prior: priors.Prior,
    outdoor: AirMembers,
    water: float,
    z: float,
) -> tuple[bool, bool]:
    """Whether the pour froze young, and whether nothing at all stood against it."""
    site = plan.rules.indoors if way.indoors else plan.site
    assert site is not None
    ours = replace(plan, site=site, coverings=way.coverings)
    here = place.at_piece(site, outdoor, int(1e6 * abs(z)), thermal.body(plan).faces)
    row = round((plan.placement.at - here.start) / HOUR)
    air_C = float(here.air_C[row, 0])
    placed = air_C + instruments.GUESSED_SD_K * z
    if way.warm_water:
        dry = air_C
        mixed = (0.22 * 12 * dry + water) / (0.22 * 12 + 1)
        placed = mixed - 0.125 * (mixed - air_C) + instruments.MEASURED_SD_K * z
    placed = float(np.clip(placed, 0.5, 55.0))
    simulation = heat.temperature(
        thermal.column(ours),
        schedule(ours),
        stays.exposure(here, float(row)),
        thermal.kinetics(prior),
        np.array([placed]),
        7 * 24 - 2,
    )
    around = physics.surroundings(ours, schedule(ours), stays.exposure(here, float(row)), None)
    froze = bool(frost.harm(simulation, around, prior).by[-1, 0] > 0.5 * HARMS)
    return froze, not froze and placed >= 5.0


def replay(random: np.random.Generator, record: ModuleType, k: int) -> Replay | None:
    """One random start; None where the record has a gap."""
    station = str(random.choice(record.STATIONS))
    asked = datetime(2013, 1, 5, tzinfo=UTC) + int(random.integers(0, 24 * 345)) * HOUR
    begin = asked - 72 * HOUR
    came, _ = record.series_2013(station, begin, begin + FULL_RECORD_H * HOUR).bridged()
    if not (np.isfinite(came.air_C).all() and np.isfinite(came.dew_point_C).all()):
        return None
    plan = scenario(random, station, asked, record)
    told = forecast(random, came, asked, biased=k % 3 == 0)
    answer = pour_check.check(plan, told, asked, days=1, only=asked)
    options = {say(o.protection, HERE): o for o in answer.options}
    outdoor = truly(came, random)
    mix = priors.draw(plan.mixture, 16, int(random.integers(1 << 30)))
    alone: dict[str, Any] = {
        name: of[:1] for name, of in vars(mix).items() if isinstance(of, np.ndarray)
    }
    one = replace(mix, **alone)
    z = float(random.standard_normal())
    froze, safe = {}, {}
    for way in protection.options(plan):
        name = say(way.message, HERE)
        if name in options:
            froze[name], safe[name] = came_of(plan, way, one, outdoor, _water_C(options[name]), z)
    passing = [o for o in answer.options if o.passes]
    return Replay(
        station,
        asked,
        float(came.air_C[72:144].min()),
        {words: o.passes for words, o in options.items()},
        froze,
        safe,
        say(passing[0].protection, HERE) if passing else "",
    )


def _water_C(option: PourOption) -> float:
    """The water the answer asked for, as the maker reads it."""
    told = [one.values["water_C"] for one in option.cautions if one.code == "mixing_water"]
    return float(f"{told[0]:.0f}") if told else float("nan")
