"""A mix from the maker's own tests: its strength curve, and how it answers to temperature.

What the tests do not carry is refused, with how many more are needed and which.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from models.concrete import fit, maturity, strength, tests_to_add
from models.concrete.fit import LEAST_SPAN_K, LEAST_TEMPERATURES, Fit, RateLines
from models.concrete.mixture import LabelStrength, Mixture
from models.concrete.tests_to_add import LEAST_AGE_FACTOR, LEAST_AGES
from models.errors import InputError, Unknown
from models.facts.cements import CLASS_ENERGY_SD, CLASSES, COLD_KJ_PER_K
from models.message import Message, Value
from models.units import Array, number_within, one_of

SAME_TEMPERATURE_K = 2.0  # results within it are one cure
LABEL_AGES_H = (24.0, 72.0, 168.0, 672.0)
REACH = 1.25  # a curve is read this factor beyond its results, no further
ENERGY_KJ_MOL, DATUM_C = (20.0, 80.0), (-15.0, 5.0)  # what a Mixture takes
WORST_RATE_FRACTION = 0.5  # standard error of a rate constant, as a fraction of it
ODD_FRACTION = 0.10  # of the largest strength: a result that far off is named
END_FRACTION = 0.05  # of the curve: a cure that ends that far off is named
DORMANT_AGES, DORMANT_BEFORE_H = 6, 24.0  # results from which a dormant time can be seen
WHAT = Message("energy_of_a_mix")
EACH = Message("ages_each", {"least": LEAST_AGES, "factor": LEAST_AGE_FACTOR})


@dataclass(frozen=True)
class Result:
    """One strength of one specimen, or the mean of a set; the temperature is the specimen's."""

    temperature_C: float
    age_h: float
    MPa: float

    def __post_init__(self) -> None:
        number_within("temperature_C", self.temperature_C, 0.0, 60.0, "degC")
        number_within("age_h", self.age_h, 0.25, 20000.0, "h")
        number_within("MPa", self.MPa, 0.2, 200.0, "MPa")


@dataclass(frozen=True, eq=False)
class Cure:
    """The results of one temperature and the curve through them, where they carry one."""

    temperature_C: float
    rows: tuple[int, ...]  # places in MixFit.results
    curve: Fit | None
    ages_to_add_h: tuple[float, ...]  # what to test besides; empty where it carries a curve

    @property
    def named(self) -> Message:
        return Message("cure_at", {"temperature_C": self.temperature_C})

    @property
    def missing(self) -> Message | None:
        """What to test besides, where it carries no curve."""
        if not self.ages_to_add_h:
            return None
        ages = tuple(Message("test_age", {"age_h": age}) for age in self.ages_to_add_h)
        return Message("ages_missing", {"count": len(ages), "ages": ages, "each": EACH})


@dataclass(frozen=True, eq=False)
class MixFit:
    """What a set of tests says; h at 20 degC, MPa, kJ/mol.

    energy : the fitted lines, or what is missing for them
    activation_energy_kJ_mol : by which ages were made equivalent; the class's where energy is
        Unknown
    curve : fit.fit_strength through the rows `curve_rows` of results
    forms : other curves through the same rows, for comparison
    """

    kind: str
    results: tuple[Result, ...]
    cures: tuple[Cure, ...]
    energy: RateLines | Unknown
    activation_energy_kJ_mol: float
    equivalent_age_h: Array
    curve: Fit
    curve_rows: tuple[int, ...]
    forms: tuple[Fit, ...]
    cautions: tuple[Message, ...]

    @property
    def strength_28d_MPa(self) -> float:
        return self.curve["strength_28d_MPa"]

    @property
    def rate_constant_h(self) -> float:
        return self.curve["rate_constant_h"]

    @property
    def exponent(self) -> float:
        return self.curve["exponent"]

    @property
    def dormant_h(self) -> float:
        return self.curve["dormant_h"] if "dormant_h" in self.curve.names else 0.0

    def strength_at(self, equivalent_age_h: ArrayLike) -> Array:
        """The fitted strength [MPa] at (...) equivalent ages [h]."""
        return strength.strength(
            equivalent_age_h,
            strength_28d_MPa=self.strength_28d_MPa,
            rate_constant_h=self.rate_constant_h,
            exponent=self.exponent,
            dormant_h=self.dormant_h,
        )

    @property
    def residuals_MPa(self) -> Array:
        """Every result less the curve, also of the cures the curve was not fitted to."""
        return np.array([row.MPa for row in self.results]) - self.strength_at(self.equivalent_age_h)

    def label(self) -> tuple[LabelStrength, ...]:
        """Strengths of the curve at 1, 3, 7 and 28 d and the oldest, as far as the tests reach.

        A class takes a cube to run warmer than its room, so the room is told that much cooler.
        """
        tested = self.equivalent_age_h[list(self.curve_rows)]
        ages = [age for age in LABEL_AGES_H if tested.min() / REACH <= age <= tested.max() * REACH]
        oldest = round(float(tested.max()), 1)
        if not ages or oldest > tests_to_add.SAME_AGE * ages[-1] and ages[-1] < LABEL_AGES_H[-1]:
            ages.append(oldest)
        room = 20.0 - CLASSES[self.kind].cube_warms_K
        found = [(age, float(self.strength_at(age))) for age in ages]
        return tuple(LabelStrength(age, round(MPa, 2), room) for age, MPa in found if MPa >= 0.2)

    def usable_energy(self) -> tuple[float | None, float | None]:
        """Activation energy and datum for the mix; None where the class knows better."""
        if isinstance(self.energy, Unknown):
            return None, None
        if not self.energy.energy_error_kJ_mol <= CLASS_ENERGY_SD:
            return None, None
        low, high = DATUM_C
        datum = round(self.energy.datum_C, 1)
        energy = round(self.energy.activation_energy_kJ_mol, 1)
        return energy, datum if low <= datum <= high else None

    def as_mixture(self) -> Mixture:
        """The mix as a scenario takes it."""
        energy, datum = self.usable_energy()
        error = None
        if energy is not None and isinstance(self.energy, RateLines):
            error = round(self.energy.energy_error_kJ_mol, 2)
        return Mixture(
            self.kind,
            label=self.label(),
            activation_energy_kJ_mol=energy,
            datum_C=datum,
            activation_energy_error_kJ_mol=error,
        )


def fit_mix(results: Sequence[Result], kind: str = "general-purpose") -> MixFit:
    """Strength curve [MPa at h of 20 degC], and datum [degC] and activation energy [kJ/mol].

    One temperature gives the curve. Two give one curve by the energy of the class. Three or more
    over 15 K or more give datum and energy, and the curve is that of the cure nearest to 20 degC,
    since hot cures end lower.

    results : any order, replicates welcome
    kind : class of the mix, a key of facts.cements.CLASSES

    Raises InputError, saying how many more and at which ages, under 4 ages over a factor of 8, or
    where the strengths do not grow.
    Source: ASTM_C1074, annex; OWN_JUDGEMENT for the least numbers and the soft loss.
    """
    one_of("class", kind, CLASSES)
    rows = tuple(results)
    if not rows:
        raise InputError(
            "results",
            0,
            "no results",
            f"{LEAST_AGES} or more ages over a factor of {LEAST_AGE_FACTOR:g}",
        )
    cures = tuple(_cure(rows, members) for members in _together(rows))
    energy = _energy(cures)
    Ea, rise = CLASSES[kind].activation_energy_kJ_mol, COLD_KJ_PER_K
    if isinstance(energy, RateLines):
        Ea, rise = energy.activation_energy_kJ_mol, 0.0
    te = np.array([row.age_h * _pace(row.temperature_C, Ea, rise) for row in rows])
    usable = [cure for cure in cures if cure.curve is not None]
    nearest = min(usable or cures, key=lambda cure: abs(cure.temperature_C - 20.0))
    chosen = nearest.rows if isinstance(energy, RateLines) else tuple(range(len(rows)))
    pace = _pace(nearest.temperature_C, Ea, rise)
    ages = te[list(chosen)]
    add = tests_to_add.ages_to_add(ages / pace, pace)
    if add:
        tested = [round(float(age), 1) for age in tests_to_add.different_ages(ages / pace)]
        named = ", ".join(f"{h:.3g} h" if h < 48.0 else f"{h / 24.0:.3g} d" for h in add)
        raise InputError(
            "age_h",
            tested,
            f"{len(tested)} age{'s' * (len(tested) != 1)} at {nearest.temperature_C:.3g} degC, "
            "too few for a curve",
            f"{len(add)} more age{'s' * (len(add) > 1)}, as {named}: {LEAST_AGES} or more ages "
            f"over a factor of {LEAST_AGE_FACTOR:g}",
        )
    MPa = np.array([rows[k].MPa for k in chosen])
    _check_growth(ages, MPa)
    dormant = (
        len(tests_to_add.different_ages(ages)) >= DORMANT_AGES
        and float(ages.min()) <= DORMANT_BEFORE_H
    )
    found = MixFit(
        kind,
        rows,
        cures,
        energy,
        Ea,
        te,
        curve=fit.fit_strength(ages, MPa, dormant=dormant),
        curve_rows=chosen,
        forms=(
            fit.fit_hyperbolic(ages, MPa),
            fit.fit_exponential(ages, MPa),
            fit.fit_logarithmic(ages, MPa),
        ),
        cautions=(),
    )
    return MixFit(**{**vars(found), "cautions": _cautions(found)})


def _pace(temperature_C: float, energy_kJ_mol: float, rise_kJ_mol_K: float) -> float:
    return float(
        maturity.rate(
            temperature_C, activation_energy_kJ_mol=energy_kJ_mol, rise_kJ_mol_K=rise_kJ_mol_K
        )
    )


def _together(rows: tuple[Result, ...]) -> list[tuple[int, ...]]:
    """Results of one temperature; a cure begins where the next is over 2 K above its coldest."""
    cures: list[list[int]] = []
    for k in sorted(range(len(rows)), key=lambda k: rows[k].temperature_C):
        T = rows[k].temperature_C
        if not cures or T - rows[cures[-1][0]].temperature_C > SAME_TEMPERATURE_K:
            cures.append([])
        cures[-1].append(k)
    return [tuple(sorted(cure)) for cure in cures]


def _cure(rows: tuple[Result, ...], members: tuple[int, ...]) -> Cure:
    T = float(np.mean([rows[k].temperature_C for k in members]))
    ages = np.array([rows[k].age_h for k in members])
    add = tests_to_add.ages_to_add(
        ages, _pace(T, CLASSES["general-purpose"].activation_energy_kJ_mol, COLD_KJ_PER_K)
    )
    curve = None if add else fit.fit_hyperbolic(ages, np.array([rows[k].MPa for k in members]))
    return Cure(T, members, curve, tuple(add))


def _energy(cures: tuple[Cure, ...]) -> RateLines | Unknown:
    usable = [cure for cure in cures if cure.curve is not None]
    temperatures = [cure.temperature_C for cure in usable]
    all_of_them = [cure.temperature_C for cure in cures]
    if len(cures) < LEAST_TEMPERATURES or np.ptp(all_of_them) < LEAST_SPAN_K:
        more = tests_to_add.temperatures_to_add(all_of_them)
        least = {"least": LEAST_TEMPERATURES, "span_K": LEAST_SPAN_K}
        tested = tuple(cure.named for cure in cures)
        return Unknown(
            WHAT,
            Message("temperatures_too_few", {"tested": tested, **least}),
            Message(
                "test_temperatures",
                {"count": len(more), "temperatures_C": tuple(more), "each": EACH},
            ),
        )
    if len(usable) < LEAST_TEMPERATURES or np.ptp(temperatures) < LEAST_SPAN_K:
        short = [cure for cure in cures if cure.curve is None]
        tests = [Message("test_ages_at", {"cure": c.named, "ages": c.missing}) for c in short]
        return Unknown(
            WHAT,
            Message("ages_too_few", {"cures": tuple(cure.named for cure in short)}),
            Message("test_ages", {"tests": tuple(tests)}),
        )
    return _lines([(cure, cure.curve) for cure in usable if cure.curve is not None])


def _lines(usable: list[tuple[Cure, Fit]]) -> RateLines | Unknown:
    k = np.array([curve["rate_per_h"] for _, curve in usable])
    errors = np.array([curve.error("rate_per_h") for _, curve in usable])
    loose = [
        cure.named
        for (cure, _), one, its in zip(usable, k, errors, strict=True)
        if not its <= WORST_RATE_FRACTION * one
    ]
    if loose:
        return Unknown(
            WHAT,
            Message("rates_loose", {"cures": tuple(loose), "worst": WORST_RATE_FRACTION}),
            Message("test_rates", {"count": len(usable)}),
        )
    check = Message("check_temperatures")
    try:
        lines = fit.datum_and_activation_energy(
            [cure.temperature_C for cure, _ in usable], k, errors
        )
    except InputError:  # all else that it refuses is ruled out by what is usable
        return Unknown(WHAT, Message("rates_do_not_rise"), check)
    low, high = ENERGY_KJ_MOL
    if not low <= lines.activation_energy_kJ_mol <= high:
        values = {"energy_kJ_mol": lines.activation_energy_kJ_mol}
        span = {"low_kJ_mol": low, "high_kJ_mol": high}
        return Unknown(WHAT, Message("energy_unlike_concrete", values | span), check)
    return lines


def _check_growth(ages: Array, MPa: Array) -> None:
    line = fit.fit_logarithmic(ages, MPa)
    grown = line["slope_MPa"] * np.log10(ages.max() / ages.min())
    if grown < 0.1 * MPa.mean():
        raise InputError(
            "MPa",
            MPa.tolist(),
            "the strengths do not grow with age",
            "results in which later ages are stronger by a tenth or more",
        )


def _cautions(found: MixFit) -> tuple[Message, ...]:
    cautions: list[Message] = []
    tested = found.equivalent_age_h[list(found.curve_rows)]
    if tested.min() > 48.0:
        cautions.append(Message("fit_early_untested", {"first_h": float(tested.min())}))
    if tested.max() * REACH < strength.AGE_28_H:
        cautions.append(Message("fit_carried_on", {"last_h": float(tested.max())}))
    largest = max(row.MPa for row in found.results)
    for k in found.curve_rows:
        off, row = float(found.residuals_MPa[k]), found.results[k]
        if abs(off) > ODD_FRACTION * largest:
            measured = {"measured_MPa": row.MPa, "age_h": row.age_h}
            cautions.append(Message("fit_odd_result", {**measured, **_beside_curve(off)}))
    for cure in found.cures:
        last = max(cure.rows, key=lambda k: found.results[k].age_h)
        off = float(found.residuals_MPa[last])
        if last not in found.curve_rows and abs(off) > END_FRACTION * found.results[last].MPa:
            cautions.append(Message("fit_ended", {"cure": cure.named, **_beside_curve(off)}))
    if isinstance(found.energy, RateLines):
        cautions += [
            Message("fit_left_out", {"cure": cure.named, "missing": cure.missing})
            for cure in found.cures
            if cure.curve is None
        ]
        error, datum = found.energy.energy_error_kJ_mol, found.energy.datum_C
        if not error <= CLASS_ENERGY_SD:
            values = {"error_kJ_mol": error, "class_kJ_mol": CLASS_ENERGY_SD}
            cautions.append(Message("fit_energy_worse", values))
        elif found.usable_energy()[1] is None:
            low, high = DATUM_C
            values = {"datum_C": datum, "low_C": low, "high_C": high}
            cautions.append(Message("fit_datum_outside", values))
    return tuple(cautions)


def _beside_curve(off_MPa: float) -> dict[str, Value]:
    """How far a result lies from the curve [MPa], and on which side of it."""
    return {"apart_MPa": abs(off_MPa), "side": "above" if off_MPa > 0 else "below"}
