"""Pours whose truth comes from outside: what came of them, and what the program is told of them.

The mix is a tested one of the half that judges (measured_mix.judging_mixes), its heat a measured
isothermal curve, its law of temperature the times to equal heat of a measured paste, the fields
those of tests/support/enthalpy.py in the air of 2013; forecasts miss that air as they were measured
to. Of the program nothing makes the truth but two hours of its plan: when the mould is struck and
when the cover comes off, as its maker would do.

What flatters or harms either: the slowest place is a corner 10 mm cube, solved in three dimensions,
where the program looks at its point; boards have resistance and no mass; strength of cubes at
22 degC is taken for that of the piece at equal age; rain is left out. Pours that froze are left
out: their windows are told apart.
"""

from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from functools import cached_property

import numpy as np

from models.air.place import Site
from models.air.series import HOUR, AirSeries
from models.concrete.mixture import LabelStrength, Mixture
from models.concrete.section import Covering
from models.facts.protection import COVERS
from models.piece.shape import Shape
from models.simulation.scenario import Observation, Placement, Scenario, StrengthTest
from models.units import Array
from tests.replays import record_2013 as record
from tests.support import enthalpy
from tests.support.enthalpy import Casting, Hardening, Surroundings
from tests.support.frost_air import (
    ABSORPTANCE,
    EMISSIVITY,
    WIND_MOST_M_S,
    cloud_by_swing,
    film_W_m2K,
    sky_loss_W_m2,
    sun_W_m2,
    told_of,
    vapour_pressure_kPa,
)
from tests.support.frost_pours import (
    CELL_M,
    DEPTH_M,
    MELAMINE_R,
    Yard,
    drawn_yard,
    ice_while_young,
    in_turn,
)
from tests.support.measured_mix import (
    BATCH_SD,
    QUICK,
    STRENGTH_C,
    USUAL,
    TestedMix,
    hardening,
    judging_mixes,
    runs,
)

BANDS = ("under 5", "5 to 20", "over 20")  # mean of the true air to the strip [degC]
KNOWN = ("28 days", "early and 28", "early", "none", "probe", "cube")
LABELS: dict[str, tuple[int, ...]] = {
    "early": (3,),
    "early and 28": (3, 28),
    "none": (),
}  # days; of all others 28
# Gruyaert 2011: 10 against 20 degC 1.57 to 1.81 times as long, 20 against 35 degC 1.64 to 1.84
COLD_KJ_MOL, WARM_KJ_MOL = (31.1, 41.0), (24.8, 30.5)
BEFORE_H, FORECAST_H, LIVES_H = 72, 240, 700
AIR_C = {"under 5": (-2.0, 5.0), "5 to 20": (5.0, 20.0), "over 20": (20.0, 40.0)}
LEAST_AIR_C = -6.0  # colder nights are no pour of a yard
FILM_H, BLANKET_H = 5.0, 1.0
PROBED_H, PROBED_BY_H = (0, 6, 12, 18, 24), 24
PROBE_ALL_K, PROBE_OWN_K = 0.4, 0.3  # alike in all readings, and of each; OWN_JUDGEMENT
SET_W_C = (
    0.15,
    0.26,
)  # degree of hydration over w/c, initial to final set; Schindler, Folliard 2005
EARLY_SHARE, EARLY_HEAT = 0.45, 0.30  # strength of day one over 28; heat of 12 h over 48
CUBE_H, CUBE_SD = 48, 0.08  # of the logarithm, mean of two; from memory


@dataclass(frozen=True)
class Lived:
    """What came of a pour, hourly: strength at the slowest corner and of the section [MPa], the
    middle of it [degC]; the largest share of ice while young."""

    corner_MPa: Array
    mean_MPa: Array
    middle_C: Array
    ice: float

    def first(self, need_MPa: float) -> float:
        """Hour at which the slowest corner bears it; infinite: not in LIVES_H."""
        if self.corner_MPa[-1] < need_MPa:
            return float(np.inf)
        return float(np.interp(need_MPa, self.corner_MPa, np.arange(len(self.corner_MPa))))


@dataclass(frozen=True)
class Pour:
    """One pour as it came, and the noise of what is told of it."""

    at: datetime
    band: str
    site: Site
    shape: Shape
    told_C: float  # the mix as placed, and what was measured of it
    placed_C: float
    cover: Covering
    came: AirSeries  # from BEFORE_H before placing
    cloud: Array
    yard: Yard
    tested: TestedMix
    mix: Hardening
    casting: Casting
    seed: int

    @cached_property
    def air_C(self) -> Array:
        """True air about the piece from placing on, (LIVES_H + 1,) [degC]."""
        return self.came.air_C[BEFORE_H : BEFORE_H + LIVES_H + 1] + self.yard.offset_K

    def lived(
        self,
        strip_h: float,
        bare_h: float,
        need_MPa: float,
        pace: float = 1.0,
        last_h: int = LIVES_H,
    ) -> Lived:
        """What comes of it, stripped and uncovered at some hours [h], until all of it bears a need.

        pace : of the mix, 0.7: it hardens 30 % slower; last_h : looked at no further [h]
        """
        hours = np.arange(last_h + 1)
        rows = slice(BEFORE_H, BEFORE_H + last_h + 1)
        air_C, sky = self.air_C[: last_h + 1], self.cloud[rows]
        open_yard = self.site.kind == "open yard"
        wind = self.came.wind_m_s[rows] * self.yard.wind_part * (1.0 if open_yard else 0.5)
        film, low = film_W_m2K(wind, air_C), film_W_m2K(wind / 2, air_C)
        radiated = np.zeros_like(air_C)
        if open_yard:
            times = [self.at + k * HOUR for k in range(last_h + 1)]
            assert self.site.latitude is not None
            assert self.site.longitude is not None
            sun = sun_W_m2(times, self.site.latitude, self.site.longitude, sky)
            loss = self.yard.sky_view * EMISSIVITY * sky_loss_W_m2(air_C, sky)
            radiated = (ABSORPTANCE * self.yard.sunny * sun - loss) / film
        covered = (hours >= self.cover.from_h) & (hours < bare_h)
        R = np.where(covered, COVERS[self.cover.kind].R_m2K_W * self.yard.laid, 0.0)
        board = np.where(hours < strip_h, MELAMINE_R, 0.0)
        dew_C = self.came.dew_point_C[rows]
        rh = np.minimum(vapour_pressure_kPa(dew_C) / vapour_pressure_kPa(air_C), 1.0)
        felt = Surroundings(
            air_C + radiated,
            air_C,
            air_C,
            film,
            low,
            film,
            R,
            np.full_like(R, MELAMINE_R),
            R + board,
            np.where(hours < self.cover.from_h, 1.0, 0.0),
            np.asarray(rh * np.maximum(air_C + 18.0, 0.0) ** 2.5),
            wind,
        )
        mix = self.mix if pace == 1.0 else replace(self.mix, age_h=self.mix.age_h / pace)
        solved = enthalpy.solve(self.casting, mix, felt, self.placed_C, need_MPa)
        corners = [
            np.interp(solved.mean(solved.age_h, DEPTH_M, top=top), mix.age_h, mix.strength_MPa)
            for top in (True, False)
        ]
        middle = solved.age_h[:, :, -1, -1].mean(axis=1)
        return Lived(
            np.maximum.accumulate(np.minimum(*corners)),
            np.interp(middle, mix.age_h, mix.strength_MPa),
            solved.temperature_C[:, :, -1, -1].mean(axis=1),
            ice_while_young(solved, mix),
        )

    def asked(self, known: str) -> tuple[Scenario, AirSeries, datetime]:
        """What a maker who knows so much tells, the weather as it is told then, and when."""
        label = tuple(
            LabelStrength(24.0 * day, round(self.tested.strength_MPa[day], 1), STRENGTH_C)
            for day in LABELS.get(known, (28,))
        )
        now_h = 0
        observations: tuple[Observation, ...] = ()
        tests: tuple[StrengthTest, ...] = ()
        random = np.random.default_rng((self.seed, 1))
        if known == "probe":
            now_h, observations = PROBED_BY_H, self._probed(random)
        if known == "cube":
            now_h, tests = CUBE_H, self._broken(random)
        now = self.at + now_h * HOUR
        scenario = Scenario(
            "outside",
            self.site,
            Mixture(self.tested.kind, label),
            self.shape,
            Placement(self.at, self.told_C),
            coverings=(self.cover,),
            observations=observations,
            tests=tests,
        )
        near = _until(self.came, now)
        return scenario, told_of(random, near, self.cloud[: near.hours], now), now

    def _probed(self, random: np.random.Generator) -> tuple[Observation, ...]:
        """Readings in the middle of the section, mould and cover on."""
        middle_C = self.lived(np.inf, np.inf, np.inf, last_h=PROBED_BY_H).middle_C
        alike = PROBE_ALL_K * random.standard_normal()
        return tuple(
            Observation(
                self.at + h * HOUR,
                "concrete",
                round(float(middle_C[h] + alike + PROBE_OWN_K * random.standard_normal()), 1),
            )
            for h in PROBED_H
        )

    def _broken(self, random: np.random.Generator) -> tuple[StrengthTest, ...]:
        """Cubes that lay beside the piece."""
        MPa = float(self.lived(np.inf, np.inf, np.inf, last_h=CUBE_H).mean_MPa[-1])
        MPa *= float(np.exp(CUBE_SD * random.standard_normal()))
        at = self.at + CUBE_H * HOUR
        return (StrengthTest(at, "cube", round(MPa, 1)),) if MPa > 0.2 else ()


def _until(came: AirSeries, now: datetime) -> AirSeries:
    """The record as far as a forecast reaches."""
    return came.between(came.start, now + FORECAST_H * HOUR)


def drawn(random: np.random.Generator, band: str) -> Pour | None:
    """One pour; None where the record has a gap or the air is of another band."""
    station = str(random.choice(record.STATIONS))
    at = datetime(2013, 1, 5, tzinfo=UTC) + timedelta(
        days=int(random.integers(0, 325)), hours=int(random.integers(13, 22))
    )
    begin = at - BEFORE_H * HOUR
    came, _ = record.series_2013(station, begin, at + (LIVES_H + 2) * HOUR).bridged()
    if not (np.isfinite(came.air_C).all() and np.isfinite(came.dew_point_C).all()):
        return None
    first = came.air_C[BEFORE_H : BEFORE_H + 72]
    low, high = AIR_C[band]
    if not (low <= first.mean() < high) or first.min() < LEAST_AIR_C:
        return None
    calm = np.minimum(np.where(np.isnan(came.wind_m_s), 3.0, came.wind_m_s), WIND_MOST_M_S)
    sky = cloud_by_swing(came.air_C, np.nan_to_num(came.rain_mm))
    came = replace(came, wind_m_s=calm, rain_mm=0.0 * calm)
    blended = random.random() < 0.5
    mixes = [mix for mix in judging_mixes() if (mix.kind == "blended") == blended]
    tested = mixes[random.integers(len(mixes))]
    section = float(random.choice([35.0, 45.0, 60.0, 90.0]))
    shape = Shape("panel", 1500.0, 420.0, section)
    casting = Casting(
        section / 1e3,
        min(shape.width_mm / 2, 4 * section) / 1e3,
        float(np.clip(random.normal(2.0, 0.2), 1.4, 2.6)),
        2300.0 * float(np.clip(random.normal(1000.0, 50.0), 850.0, 1150.0)),
        cell_m=CELL_M,
        half_length_m=min(shape.length_mm / 2, 4 * section) / 1e3,
    )
    placed_C = float(np.clip(first[0] + random.normal(3.0, 3.0), 12.0, 33.0))
    position = record.position(station)
    cold = band == "under 5"
    return Pour(
        at,
        band,
        Site(str(random.choice(["open yard", "covered"])), *position, "America/New_York"),
        shape,
        round(float(placed_C + random.normal(0.0, 0.5)), 1),
        placed_C,
        Covering(BLANKET_H, None, "blanket", faces="sides")
        if cold
        else Covering(FILM_H, None, "film"),
        came,
        sky,
        drawn_yard(random),
        tested,
        drawn_mix(random, tested),
        casting,
        int(random.integers(2**31)),
    )


def drawn_mix(random: np.random.Generator, tested: TestedMix) -> Hardening:
    """What its maker does not know: heat of its cement, law of temperature, batch.

    A mix that has much of its strength after a day is given a cement that is early with its heat.
    """
    early = tested.strength_MPa[1] >= EARLY_SHARE * tested.strength_MPa[28]
    told = runs()
    names = [one for one in (*QUICK, *USUAL) if _early_heat(told[one[0]]) == early]
    cement = names[random.integers(len(names))]
    run = cement[random.integers(len(cement))]
    part = random.random()
    cold, warm = (1e3 * (low + part * (high - low)) for low, high in (COLD_KJ_MOL, WARM_KJ_MOL))
    factor = float(np.exp(BATCH_SD * random.standard_normal()))
    begins = random.uniform(*SET_W_C)
    mix = hardening(tested, run, warm, -random.uniform(0.5, 1.0), factor, begins)
    return replace(mix, energy_J_mol=cold, warm_energy_J_mol=warm)


def _early_heat(run: dict[str, float]) -> bool:
    return run["q12_J_g"] >= EARLY_HEAT * run["q48_J_g"]


def pours(count: int, seed: int) -> list[Pour]:
    """So many pours, the bands in turn."""
    return in_turn(drawn, BANDS, count, seed)
