"""A mix from the maker's own tests: its strength curve, and how it answers to temperature.

What the tests do not carry is refused, with how many more are needed and which.
"""

import textwrap
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from models.concrete import fit, maturity, strength, tests_to_add
from models.concrete.fit import LEAST_SPAN_K, LEAST_TEMPERATURES, Fit, RateLines
from models.concrete.mixture import LabelStrength, Mixture
from models.concrete.prior import CLASS_ENERGY_SD
from models.concrete.tests_to_add import age_in_words
from models.errors import InputError, Unknown
from models.facts.cements import CLASSES
from models.message import text
from models.units import Array, number_within, one_of

SAME_TEMPERATURE_K = 2.0  # results within it are one cure
LABEL_AGES_H = (24.0, 72.0, 168.0, 672.0)
REACH = 1.25  # a curve is read this factor beyond its results, no further
ENERGY_KJ_MOL, DATUM_C = (20.0, 80.0), (-15.0, 5.0)  # what a Mixture takes
WORST_RATE_SHARE = 0.5  # standard error of a rate constant, as a share of it
ODD_SHARE = 0.10  # of the largest strength: a result that far off is named
END_SHARE = 0.05  # of the curve: a cure that ends that far off is named
DORMANT_AGES, DORMANT_BEFORE_H = 6, 24.0  # results from which a dormant time can be seen
WHAT = text("datum temperature and activation energy")


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
    missing: str  # "" or what to test besides

    @property
    def words(self) -> str:
        return f"{self.temperature_C:.3g} degC"


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
    cautions: tuple[str, ...]

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

    def told_energy(self) -> tuple[float | None, float | None]:
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
        energy, datum = self.told_energy()
        return Mixture(
            self.kind,
            label=self.label(),
            activation_energy_kJ_mol=energy,
            datum_C=datum,
            activation_energy_error_kJ_mol=None if energy is None else self._energy_error(),
        )

    def _energy_error(self) -> float:
        """Standard error of the told energy [kJ/mol]."""
        assert not isinstance(self.energy, Unknown)
        return round(self.energy.energy_error_kJ_mol, 2)

    def as_mixture_toml(self) -> str:
        """The [mix] of a scenario file; its comments say what was left out and why."""
        energy, datum = self.told_energy()
        lines = ["[mix]", f'class = "{self.kind}"']
        if isinstance(self.energy, Unknown):
            lines += textwrap.wrap(
                _plain(self.energy), 96, initial_indent="# ", subsequent_indent="# "
            )
        else:
            said = f"{self.energy.activation_energy_kJ_mol:.1f} kJ/mol"
            said += f" with a standard error of {self.energy.energy_error_kJ_mol:.1f}"
            if energy is None:
                lines.append(f"# fitted {said}: the class knows better than {CLASS_ENERGY_SD:g}")
            else:
                lines.append(f"activation_energy_kJ_mol = {energy:g}  # {said}")
                lines.append(f"activation_energy_error_kJ_mol = {self._energy_error():g}")
        if datum is not None:
            lines.append(f"datum_C = {datum:g}")
        for point in self.label():
            lines += ["", "[[mix.strength]]", f"age_h = {point.age_h:g}", f"MPa = {point.MPa:g}"]
            lines.append(f"temperature_C = {point.temperature_C:g}  # of the room: cube at 20 degC")
        return "\n".join(lines) + "\n"


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
        raise InputError("results", 0, "no results", f"results at {tests_to_add.EACH}")
    cures = tuple(_cure(rows, members) for members in _together(rows))
    energy = _energy(cures)
    Ea = CLASSES[kind].activation_energy_kJ_mol
    if isinstance(energy, RateLines):
        Ea = energy.activation_energy_kJ_mol
    te = np.array([row.age_h * _pace(row.temperature_C, Ea) for row in rows])
    usable = [cure for cure in cures if not cure.missing]
    nearest = min(usable or cures, key=lambda cure: abs(cure.temperature_C - 20.0))
    chosen = nearest.rows if isinstance(energy, RateLines) else tuple(range(len(rows)))
    pace = _pace(nearest.temperature_C, Ea)
    ages = te[list(chosen)]
    missing = tests_to_add.ages_missing(ages / pace, pace)
    if missing:
        told = [round(float(age), 1) for age in tests_to_add.different_ages(ages / pace)]
        wrong = f"{len(told)} age{'s' * (len(told) != 1)} at {nearest.words}, too few for a curve"
        raise InputError("age_h", told, wrong, missing)
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


def _pace(temperature_C: float, energy_kJ_mol: float) -> float:
    return float(maturity.rate(temperature_C, activation_energy_kJ_mol=energy_kJ_mol))


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
    missing = tests_to_add.ages_missing(ages, _pace(T, 40.0))
    curve = None if missing else fit.fit_hyperbolic(ages, np.array([rows[k].MPa for k in members]))
    return Cure(T, members, curve, missing)


def _energy(cures: tuple[Cure, ...]) -> RateLines | Unknown:
    tested = ", ".join(cure.words for cure in cures)
    usable = [cure for cure in cures if not cure.missing]
    temperatures = [cure.temperature_C for cure in usable]
    all_of_them = [cure.temperature_C for cure in cures]
    if len(cures) < LEAST_TEMPERATURES or np.ptp(all_of_them) < LEAST_SPAN_K:
        more = tests_to_add.temperatures_to_add(all_of_them)
        named = " and ".join(f"{T:g} degC" for T in more)
        s = "s" * (len(more) > 1)
        return Unknown(
            WHAT,
            text(
                f"tests at {tested} only; {LEAST_TEMPERATURES} temperatures over "
                f"{LEAST_SPAN_K:g} K are the least"
            ),
            text(f"test {len(more)} more temperature{s}, as {named}, each at {tests_to_add.EACH}"),
        )
    if len(usable) < LEAST_TEMPERATURES or np.ptp(temperatures) < LEAST_SPAN_K:
        short = [cure for cure in cures if cure.missing]
        return Unknown(
            WHAT,
            text(f"too few ages at {', '.join(cure.words for cure in short)}"),
            text("test " + "; ".join(f"at {cure.words} {cure.missing}" for cure in short)),
        )
    return _lines([(cure, cure.curve) for cure in usable if cure.curve is not None])


def _lines(usable: list[tuple[Cure, Fit]]) -> RateLines | Unknown:
    k = np.array([curve["rate_per_h"] for _, curve in usable])
    errors = np.array([curve.error("rate_per_h") for _, curve in usable])
    loose = [
        c.words
        for (c, _), one, its in zip(usable, k, errors, strict=True)
        if not its <= WORST_RATE_SHARE * one
    ]
    if loose:
        return Unknown(
            WHAT,
            text(f"the rate constant at {', '.join(loose)} is not known to {WORST_RATE_SHARE:.0%}"),
            text(
                f"test there 2 more ages while the strength is under half of its end, "
                f"or once more at each of the {len(usable)} temperatures"
            ),
        )
    check = text("look for results under the wrong temperature, and for cubes that dried or froze")
    try:
        lines = fit.datum_and_activation_energy(
            [cure.temperature_C for cure, _ in usable], k, errors
        )
    except InputError as error:
        return Unknown(WHAT, text(error.wrong), check)
    if not ENERGY_KJ_MOL[0] <= lines.activation_energy_kJ_mol <= ENERGY_KJ_MOL[1]:
        why = f"{lines.activation_energy_kJ_mol:.0f} kJ/mol fitted, outside what concrete shows"
        why += f" ({ENERGY_KJ_MOL[0]:g} to {ENERGY_KJ_MOL[1]:g})"
        return Unknown(WHAT, text(why), check)
    return lines


def _plain(energy: Unknown) -> str:
    what, why, how = (told.values["text"] for told in vars(energy).values())
    return f"{what}: {why}; {how}"


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


def _cautions(found: MixFit) -> tuple[str, ...]:
    said: list[str] = []
    tested = found.equivalent_age_h[list(found.curve_rows)]
    if tested.min() > 48.0:
        said.append(
            f"Nothing was tested before {age_in_words(tested.min())}: the curve says little about "
            "stripping; break one or two at 1 d."
        )
    if tested.max() * REACH < strength.AGE_28_H:
        said.append(f"The 28-day strength is carried on from {age_in_words(tested.max())}.")
    largest = max(row.MPa for row in found.results)
    for k in found.curve_rows:
        off, row = found.residuals_MPa[k], found.results[k]
        if abs(off) > ODD_SHARE * largest:
            side = "above" if off > 0 else "below"
            said.append(
                f"{row.MPa:g} MPa at {age_in_words(row.age_h)} lies {abs(off):.1f} MPa {side} the "
                "curve and was given little weight: look it up."
            )
    for cure in found.cures:
        last = max(cure.rows, key=lambda k: found.results[k].age_h)
        off = found.residuals_MPa[last]
        if last not in found.curve_rows and abs(off) > END_SHARE * found.results[last].MPa:
            side = "above" if off > 0 else "below"
            said.append(
                f"At {cure.words} the strength ended {abs(off):.1f} MPa {side} the curve: "
                "the hotter the first days, the lower the end."
            )
    left = [cure for cure in found.cures if cure.missing]
    if left and isinstance(found.energy, RateLines):
        said += [f"{c.words} was left out of the energy: {c.missing}." for c in left]
    if isinstance(found.energy, RateLines):
        if not found.energy.energy_error_kJ_mol <= CLASS_ENERGY_SD:
            said.append(
                f"The activation energy is known to {found.energy.energy_error_kJ_mol:.1f} kJ/mol "
                f"only, worse than the class ({CLASS_ENERGY_SD:g}): the mix keeps the class's."
            )
        elif found.told_energy()[1] is None:
            said.append(
                f"A datum of {found.energy.datum_C:.1f} degC is outside "
                f"{DATUM_C[0]:g} to {DATUM_C[1]:g} degC and is left out."
            )
    return tuple(said)
