"""What is not known for sure about a mix, as members: rate law, heat, set, strength, batch."""

from dataclasses import dataclass, fields, replace
from functools import lru_cache
from typing import Any

import numpy as np

from models.concrete import _strength_kernel, heat_prior, maturity, strength
from models.concrete.mixture import LabelStrength, Mixture
from models.draws import Draws, beside
from models.facts import cements
from models.rng import ROOT
from models.units import Array, Index, Mask

SET_SD = 0.18
# a mix that sets late also warms and hardens late: one clinker, one fineness (OWN_JUDGEMENT)
SET_AND_HEAT, SET_AND_STRENGTH = 0.7, 0.5
CLASS_STRENGTH_SD = 0.22
FRACTILE_5 = 1.645  # standard deviations under the mean that 5 % of all lie under
LABEL_SD = 0.07  # how well a curve meets a bag's own numbers
FULL_AGE_H = 500.0  # from here on a label number counts as the 28-day strength
EARLY_LABEL_SD = 0.6  # how far the 28-day strength of a bag lies from its class, OWN_JUDGEMENT
MEETINGS = 4  # of a 28-day strength and the pace that goes with it, until they agree
CANDIDATES = 256  # strength curves tried for each member
WIDE, MISSES_SD = 4.0, 1.0  # drawn so much wider where the best misses the label by so much
REFERENCE_C = 20.0
CANDIDATE = ("rate", "exponent", "strength", "supplement")  # what a curve is drawn by
EARLY_H = 24.0  # by their strength at this age at 20 degC the candidates are put in order


@dataclass(frozen=True)
class Prior:
    """Members of a mix, (members,) each: MPa, h at 20 degC, kJ/mol, kJ/kg; weight sums to 1."""

    strength_28d_MPa: Array
    rate_constant_h: Array
    exponent: Array
    dormant_h: Array
    day_one_h: Array  # up to here strength follows the heat; 0: of a mix of its own kind
    day_one_tau_h: Array  # of that heat, with all that is known of the set
    begins: Array  # degree of hydration over the last one at which strength begins
    initial_set_h: Array
    final_set_h: Array
    activation_energy_kJ_mol: Array
    rise_kJ_mol_K: Array
    heat_kJ_kg: Array
    tau_h: Array
    beta: Array
    batch: Array
    hot_loss_per_K: Array
    as_told_C: float  # what grows up to here is as strong as the label or the class says
    cement_kg_m3: float
    named_28d_MPa: float  # what the label (or the class) calls the 28-day strength
    specified_28d_MPa: float  # which 95 % of batches reach
    others: tuple["Prior", ...] = ()  # of other mixes in the piece: the weakest of all speaks

    @property
    def members(self) -> int:
        return len(self.batch)

    def only(self, some: Mask | Index) -> "Prior":
        """Some of the members, by a mask (members,) or by their places, as often as named."""
        columns: dict[str, Any] = {f.name: getattr(self, f.name) for f in fields(self)}
        chosen = {k: v[some] for k, v in columns.items() if isinstance(v, np.ndarray)}
        return Prior(**(columns | chosen | {"others": tuple(o.only(some) for o in self.others)}))

    @property
    def curve(self) -> dict[str, Array]:
        """What concrete.strength asks of each member's curve."""
        names = ("strength_28d_MPa", "rate_constant_h", "exponent", "dormant_h")
        return {name: getattr(self, name) for name in names}

    @property
    def first_day(self) -> dict[str, Array]:
        """What concrete.strength asks of each member's first day."""
        names = ("day_one_h", "begins", "beta")
        return {name: getattr(self, name) for name in names} | {"tau_h": self.day_one_tau_h}

    def strength_at(self, equivalent_age_h: Array) -> Array:
        """Strength of each member's batch [MPa] at (..., members) equivalent ages [h]."""
        curve = self.curve | self.first_day
        own: Array = self.batch * strength.strength_from_set(
            equivalent_age_h, cements.LATEST_GAIN_H, **curve
        )
        for other in self.others:
            own = np.minimum(own, other.strength_at(equivalent_age_h))
        return own

    def grown(self, equivalent_age_h: Array, temperature_C: Array) -> Array:
        """Strength of each member's batch along a history, row by row (rows, members) [MPa]; what
        grows warmer than its label's cubes ends weaker.

        equivalent_age_h [h], temperature_C [degC] : (rows, members) from placing on
        """
        cool = replace(self, others=()).strength_at(equivalent_age_h)
        warm_C = np.ascontiguousarray(temperature_C)
        told = self.as_told_C, cements.HOT_LOSS_MOST_K
        _strength_kernel.weaken(cool, warm_C, self.hot_loss_per_K, *told)
        for other in self.others:
            cool = np.minimum(cool, other.grown(equivalent_age_h, temperature_C))
        return cool

    def age_at(self, strength_MPa: float) -> Array:
        """Equivalent age at which each member's batch has a strength [h], (members,) for [MPa]."""
        each_MPa = strength_MPa / self.batch
        age_h = strength.age_for_strength(each_MPa, **self.curve)
        young = age_h < self.day_one_h
        if young.any():
            of_young = {name: value[young] for name, value in self.first_day.items()}
            curve = {name: value[young] for name, value in self.curve.items()}
            whole_MPa = strength.strength(of_young["day_one_h"], **curve)
            age_h[young] = strength.first_day_age(each_MPa[young] / whole_MPa, **of_young)
        age_h = np.where(age_h <= cements.LATEST_GAIN_H, age_h, np.inf)
        for other in self.others:
            age_h = np.maximum(age_h, other.age_at(strength_MPa))
        return age_h

    def with_others(self, others: tuple["Prior", ...]) -> "Prior":
        """The mix beside other mixes in one piece, on its own age: the weakest speaks for strength,
        the latest for the final set; heat and drying stay those of this one."""
        final_h = np.max([self.final_set_h, *(one.final_set_h for one in others)], axis=0)
        named = min(self.named_28d_MPa, *(one.named_28d_MPa for one in others))
        specified = min(self.specified_28d_MPa, *(one.specified_28d_MPa for one in others))
        return replace(
            self,
            others=others,
            final_set_h=final_h,
            named_28d_MPa=named,
            specified_28d_MPa=specified,
        )


def draw(mixture: Mixture, members: int, seed: int = ROOT, *, water_factor: float = 1.0) -> Prior:
    """Members of a mix: drawn from its class, then from what its label says.

    mixture : class, label and whatever is told; members : 2 to 4096
    water_factor : fraction of strength left after added water, dimensionless, 0 to 1

    Label strengths pick, for each member, one of 256 candidate curves by their likelihood.
    Source: classes of facts.cements; EN_1992_1_1 for the curve; ACI_214R for the batch.
    """
    kind = cements.CLASSES[mixture.kind]
    draws = Draws(members, seed)
    energy, set_z, beta_z = (draws.normal(name) for name in ("energy", "set", "beta"))
    heat = heat_prior.hydration(mixture)
    given = mixture.activation_energy_kJ_mol is not None
    Ea = heat.energy_kJ_mol + heat.energy_sd * energy
    rise = (0.0 if given else 2.0 * cements.COLD_KJ_PER_K) * draws.even("law")

    initial = mixture.initial_set_h or _beside(mixture.final_set_h, kind, first=True)
    final = mixture.final_set_h or _beside(mixture.initial_set_h, kind, first=False)
    set_shift, tau_shift = _admixed(mixture, set_z)
    slow = np.exp(SET_SD * set_z) * set_shift * mixture.set_factor
    tau_z = beside(set_z, draws.normal("tau"), SET_AND_HEAT)
    cured_C = mixture.label[-1].temperature_C if mixture.label else REFERENCE_C
    dormant = cements.DORMANT_FRACTION * initial * slow
    S28, ts, a, named = _curves(mixture, Ea, rise, dormant, draws)
    heat_kJ_kg = heat.heat_kJ_kg * np.exp(heat.heat_sd * draws.normal("heat"))
    tau_h = heat.tau_h * np.exp(heat.tau_sd * tau_z)
    beta = heat.beta * np.exp(heat.beta_sd * beta_z)
    of_set = set_shift * mixture.set_factor * initial / kind.initial_set_h
    day_one_h = _day_one(mixture, Ea, rise)
    return Prior(
        strength_28d_MPa=S28 * (water_factor * mixture.strength_factor),
        rate_constant_h=ts,
        exponent=a,
        dormant_h=dormant,
        day_one_h=day_one_h,
        day_one_tau_h=tau_h * of_set,
        begins=_begins(mixture, heat_kJ_kg, day_one_h, tau_h * of_set, beta, draws),
        initial_set_h=initial * slow,
        final_set_h=final * slow,
        activation_energy_kJ_mol=np.clip(Ea, 20.0, 80.0),
        rise_kJ_mol_K=rise,
        heat_kJ_kg=heat_kJ_kg,
        tau_h=tau_h * tau_shift,
        beta=beta,
        batch=np.exp(cements.BATCH_SD * draws.normal("batch")),
        hot_loss_per_K=cements.HOT_LOSS_PER_K
        * np.exp(cements.HOT_LOSS_SPREAD * draws.normal("hot loss")),
        as_told_C=max(REFERENCE_C, cured_C) + kind.cube_warms_K,
        cement_kg_m3=mixture.resolved().cement_kg_m3,
        named_28d_MPa=named,
        specified_28d_MPa=specified_MPa(named, told=bool(mixture.label)),
    )


def specified_MPa(named_28d_MPa: float, *, told: bool) -> float:
    """Strength that codes take their fractions of: the one that 5 % of all batches miss [MPa].

    named_28d_MPa : [MPa] in the mean of batches; told : whether a label names it, else its class

    Source: EN_206 for the fractile; ACI_214R for the batch.

    >>> round(specified_MPa(35.0, told=True), 1), round(specified_MPa(28.0, told=False), 1)
    (27.8, 18.5)
    """
    sd = np.hypot(LABEL_SD if told else CLASS_STRENGTH_SD, cements.BATCH_SD)
    return float(named_28d_MPa * np.exp(-FRACTILE_5 * sd))


def _admixed(mixture: Mixture, z: Array) -> tuple[Array, Array]:
    """Factors on set and hydration time; 1 for what the maker has told, admixture and all."""
    row = None if mixture.admixture is None else cements.ADMIXTURES[mixture.admixture]
    if row is None:
        return np.ones_like(z), np.ones_like(z)
    given = mixture.initial_set_h is not None or mixture.final_set_h is not None
    spread = np.exp(row.spread * z)
    set_shift = np.ones_like(z) if given else row.set_factor * spread
    tau_shift = np.ones_like(z) if mixture.hydration_tau_h else row.tau_factor * spread
    return set_shift, tau_shift


def _beside(known: float | None, kind: cements.MixClass, *, first: bool) -> float:
    """The missing one of initial and final set, in the proportion of the class [h]."""
    initial, final = kind.initial_set_h, kind.final_set_h
    if known is None:
        return initial if first else final
    return known * (initial / final if first else final / initial)


def _cured_h(mixture: Mixture, point: LabelStrength, Ea: Array, rise: Array) -> Array:
    """Age of a label's cubes at 20 degC, (members,) [h]."""
    degrees = point.temperature_C + cements.CLASSES[mixture.kind].cube_warms_K
    energy = np.clip(Ea, 20, 80)
    pace = maturity.rate(degrees, activation_energy_kJ_mol=energy, rise_kJ_mol_K=rise)
    return point.age_h * pace


def _day_one(mixture: Mixture, Ea: Array, rise: Array) -> Array:
    """Age at 20 degC up to which strength follows the heat [h]: a day, or to the first number of
    the label; 0 for a mix of its own kind, whose curve begins by itself."""
    if cements.CLASSES[mixture.kind].gain.fixed:
        return np.zeros_like(Ea)
    if not mixture.label:
        return np.full_like(Ea, EARLY_H)
    return np.minimum(EARLY_H, _cured_h(mixture, mixture.label[0], Ea, rise))


def _begins(
    mixture: Mixture, heat_kJ_kg: Array, day_one_h: Array, tau_h: Array, beta: Array, draws: Draws
) -> Array:
    """Degree of hydration over the last one at which strength begins, between those of initial and
    final set; at most half of what day one has."""
    low, high = cements.SET_DEGREE
    of_water = low + (high - low) * draws.even("exponent")
    at_set = of_water * mixture.resolved().water_cement * cements.WHOLE_HEAT_KJ_KG / heat_kJ_kg
    at_day_one = strength.hydrated(day_one_h, tau_h, beta)
    return np.minimum(at_set, cements.SET_OF_DAY_ONE * at_day_one)


def _curves(
    mixture: Mixture, Ea: Array, rise: Array, dormant: Array, draws: Draws, wide: float = 1.0
) -> tuple[Array, Array, Array, float]:
    """One strength curve a member: 28-day strength, rate constant, exponent; the named strength.

    Of the candidates, in the order of their early strength, a label picks each by its likelihood.
    Where none of the class meets it, they are drawn so many times as wide, each counted by its
    chance in the class over that of having been drawn. The pace goes with the 28-day strength, and
    an early label tells that by the pace: both are found together, and strengths far from what the
    recipe gives are less likely.
    """
    set_z = draws.normal("set")
    if not mixture.label:
        rate_z, exponent_z, strength_z, share_z = (draws.normal(n) for n in CANDIDATE)
        slag, ash = _supplement(mixture, share_z)
        recipe_MPa, sd = _strength_by_recipe(mixture, slag, ash)
        S28 = recipe_MPa * np.exp(sd * strength_z)
        rate_z = beside(set_z, rate_z, SET_AND_STRENGTH)
        ts, a = _gain(mixture, S28, slag + ash, rate_z, exponent_z)
        return S28, ts, a, float(np.median(recipe_MPa))

    rate_z, exponent_z, strength_z, share_z = _candidates(draws.seed)
    rate_z, exponent_z = wide * rate_z, wide * exponent_z
    slag, ash = _supplement(mixture, share_z)
    far = (1 - 1 / wide**2) * (rate_z**2 + exponent_z**2)
    rate_z = beside(set_z, rate_z, SET_AND_STRENGTH)
    ages = [_cured_h(mixture, point, Ea, rise) for point in mixture.label]
    last = mixture.label[-1]
    full = last.age_h > FULL_AGE_H
    own_sd = LABEL_SD if full else _young_sd(mixture)
    S28 = np.full((CANDIDATES, draws.members), last.MPa)
    for _ in range(1 if full else MEETINGS):
        ts, a = _gain(mixture, S28, slag + ash, rate_z, exponent_z)
        shape = {"rate_constant_h": ts, "exponent": a, "dormant_h": dormant}
        reached = strength.strength(ages[-1], strength_28d_MPa=1.0, **shape)
        S28 = last.MPa / np.maximum(reached, 0.02) * np.exp(own_sd * strength_z)
        S28 = np.clip(S28, 0.5, 250.0)
    misfit = np.zeros_like(S28) + far  # the last number is in S28 already
    for point, age in zip(mixture.label[:-1], ages[:-1], strict=True):
        got = strength.strength(age, strength_28d_MPa=S28, **shape)
        misfit += (np.log(np.maximum(got, 1e-3) / point.MPa) / LABEL_SD) ** 2
    if wide == 1.0 and np.median(misfit.min(axis=0)) > MISSES_SD**2:
        return _curves(mixture, Ea, rise, dormant, draws, WIDE)
    if not full:
        recipe_MPa, sd = _strength_by_recipe(mixture, slag, ash)
        misfit += (np.log(S28 / recipe_MPa) / (sd if mixture.water_cement else EARLY_LABEL_SD)) ** 2
    early = strength.strength(EARLY_H, strength_28d_MPa=S28, **shape)
    order = early.argsort(axis=0)
    likely = np.exp(-0.5 * (misfit - misfit.min(axis=0)))
    total = np.cumsum(np.take_along_axis(likely, order, axis=0), axis=0)
    at = np.argmax(total >= draws.even("curve") * total[-1], axis=0)
    chosen = order[at, np.arange(draws.members)]
    pick = (chosen, np.arange(draws.members))
    a = np.broadcast_to(a, ts.shape)
    return S28[pick], ts[pick], a[pick], last.MPa if full else float(np.median(S28[pick]))


def _young_sd(mixture: Mixture) -> float:
    """How far a number younger than 28 days lies from the curve of its mix, of the logarithm."""
    if cements.CLASSES[mixture.kind].gain.fixed:
        return LABEL_SD
    age_h = max(mixture.label[-1].age_h, cements.SCATTERED_H)
    return float(LABEL_SD * (strength.AGE_28_H / age_h) ** cements.YOUNG_SCATTER)


def _strength_by_recipe(mixture: Mixture, slag: Array, ash: Array) -> tuple[Array, float]:
    """28-day strength before any label [MPa] and the spread of its logarithm: from the water where
    it is told, else the class."""
    kind = cements.CLASSES[mixture.kind]
    if mixture.water_cement is None or kind.gain.fixed:
        return np.full_like(slag, kind.strength_MPa_28d), CLASS_STRENGTH_SD
    at_none, by_water = cements.STRENGTH_BY_WATER
    of_binder = cements.STRENGTH_OF_SLAG * slag + cements.STRENGTH_OF_FLY_ASH * ash
    plain = kind.supplement == 0.0 and mixture.cement is None
    sd = cements.STRENGTH_BY_WATER_SD if plain else cements.STRENGTH_BY_BINDER_SD
    sd = float(np.hypot(sd, by_water * mixture.water_cement * mixture.water_cement_sd))
    return np.exp(at_none + by_water * mixture.water_cement + of_binder), sd


def _supplement(mixture: Mixture, share_z: Array) -> tuple[Array, Array]:
    """Slag and fly ash, shares of the binder: as told, else drawn, half of it each."""
    if mixture.cement is not None:
        slag, ash = (mixture.cement.fraction(name) for name in ("slag_pct", "fly_ash_pct"))
        return np.full_like(share_z, slag), np.full_like(share_z, ash)
    share = cements.CLASSES[mixture.kind].supplement
    drawn = np.clip(share + share * cements.SUPPLEMENT_SPREAD * share_z, 0.0, 0.9)
    return drawn / 2, drawn / 2


def _gain(
    mixture: Mixture, S28: Array, supplement: Array, rate_z: Array, exponent_z: Array
) -> tuple[Array, Array]:
    """Rate constant [h] and exponent of the curves that go with 28-day strengths [MPa]."""
    gain = cements.CLASSES[mixture.kind].gain
    s0, spread = gain.s, gain.s_spread
    if mixture.cement_class is not None:
        s0, spread = cements.CEMENT_CLASSES[mixture.cement_class], cements.CEMENT_CLASS_SPREAD
    log_s = np.log(s0) + spread * rate_z
    exponent_spread: Array | float = gain.exponent_spread
    if not gain.fixed:
        of_binder = cements.EXPONENT_OF_SUPPLEMENT_SD * supplement
        exponent_spread = np.hypot(exponent_spread, of_binder)
        spreads = np.hypot(spread, cements.GAIN_OF_SUPPLEMENT_SD * supplement)
        of_mix = cements.GAIN_OF_SUPPLEMENT * supplement
        of_mix = of_mix + cements.GAIN_POWER * np.log(S28 / cements.REFERENCE_28D_MPA)
        log_s = np.log(s0) + spreads * rate_z + of_mix
    ts = np.clip(strength.AGE_28_H * np.exp(2 * log_s), 0.05, 900.0)
    return ts, np.clip(gain.exponent + exponent_spread * exponent_z, 0.2, 1.2)


@lru_cache(maxsize=8)
def _candidates(seed: int) -> Array:
    """Numbers of candidate curves, (4, CANDIDATES, 1) dimensionless."""
    draws = Draws(CANDIDATES, seed)
    drawn = np.array([draws.normal(name) for name in CANDIDATE])
    return drawn[..., None]
