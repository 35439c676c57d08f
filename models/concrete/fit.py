"""Curves fitted to a maker's own strength tests; datum and activation energy from their rates."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import scipy
from numpy.typing import ArrayLike

from models.concrete import strength
from models.errors import InputError
from models.units import GAS_J_MOLK, KELVIN, Array, within

SOFT_FRACTION = 0.03  # of the largest strength: a residual over it counts less than by its square
ODD = 4.0  # times the soft residual
EARLIEST_DORMANT_H = -100.0  # a fitted dormant time may be negative, a real one may not
RATES_PER_H = (1e-6, 100.0)
LEAST_TEMPERATURES = 3
LEAST_SPAN_K = 15.0

Curve = Callable[..., Array]


@dataclass(frozen=True, eq=False)
class Fit:
    """One curve through strengths; the unit of a parameter is in its name.

    standard_errors : NaN where the results do not tell (as many parameters as results, or a
        parameter at the edge of its range)
    residuals_MPa : measured less curve, in the order of the results
    """

    form: str
    names: tuple[str, ...]
    values: Array
    standard_errors: Array
    residuals_MPa: Array

    def __getitem__(self, name: str) -> float:
        return float(self.values[self.names.index(name)])

    def error(self, name: str) -> float:
        """Standard error of a parameter, in its unit."""
        return float(self.standard_errors[self.names.index(name)])

    @property
    def rmse_MPa(self) -> float:
        return float(np.sqrt(np.mean(self.residuals_MPa**2)))


@dataclass(frozen=True, eq=False)
class RateLines:
    """What rate constants at several temperatures say: where they end, and how they rise."""

    datum_C: float
    datum_error_K: float
    quotient_K: float  # Q = Ea / R
    quotient_error_K: float
    temperatures_C: Array
    rates_per_h: Array

    @property
    def activation_energy_kJ_mol(self) -> float:
        return self.quotient_K * GAS_J_MOLK / 1e3

    @property
    def energy_error_kJ_mol(self) -> float:
        return self.quotient_error_K * GAS_J_MOLK / 1e3


def hyperbolic(
    age_h: ArrayLike, ultimate_MPa: ArrayLike, rate_per_h: ArrayLike, dormant_h: ArrayLike
) -> Array:
    """Strength at an age [MPa]: Su k (t - t0) / (1 + k (t - t0)); 0 before t0.

    age_h : any shape [h], 0 or more
    ultimate_MPa : broadcastable [MPa], 0.1 to 1000
    rate_per_h : broadcastable [1/h], 1e-6 to 100
    dormant_h : broadcastable [h], -100 to 1000

    Raises InputError outside the ranges.
    Source: ASTM_C1074, annex on datum temperature and activation energy.

    >>> float(hyperbolic(48.0, 40.0, 0.02, -2.0))
    20.0
    """
    t = within("age_h", age_h, 0.0, 1e7, "h")
    Su = within("ultimate_MPa", ultimate_MPa, 0.1, 1000.0, "MPa")
    k = within("rate_per_h", rate_per_h, *RATES_PER_H, "1/h")
    grown = k * np.maximum(t - within("dormant_h", dormant_h, EARLIEST_DORMANT_H, 1000.0, "h"), 0)
    return np.asarray(Su * grown / (1 + grown))


def exponential(
    age_h: ArrayLike, ultimate_MPa: ArrayLike, time_constant_h: ArrayLike, exponent: ArrayLike
) -> Array:
    """Strength at an age [MPa]: Su exp[-(tau / t)^a].

    age_h : any shape [h], 0 or more
    ultimate_MPa : broadcastable [MPa], 0.1 to 1000
    time_constant_h : broadcastable [h], 0.01 to 10000
    exponent : broadcastable, dimensionless, 0.1 to 3

    Raises InputError outside the ranges.
    Source: FHP_1977, three-parameter form.

    >>> float(exponential(24.0, 40.0, 24.0, 0.5).round(3))
    14.715
    """
    t = np.maximum(within("age_h", age_h, 0.0, 1e7, "h"), 1e-9)
    Su = within("ultimate_MPa", ultimate_MPa, 0.1, 1000.0, "MPa")
    tau = within("time_constant_h", time_constant_h, 0.01, 1e4, "h")
    a = within("exponent", exponent, 0.1, 3.0)
    return np.asarray(Su * np.exp(-np.minimum((tau / t) ** a, 700.0)))


def logarithmic(maturity: ArrayLike, intercept_MPa: ArrayLike, slope_MPa: ArrayLike) -> Array:
    """Strength at a maturity [MPa]: a + b log10 M, straight on a logarithmic scale, no end.

    maturity : any shape, above 0; [h] of equivalent age or [degC h], the same as in the fit
    intercept_MPa, slope_MPa : broadcastable [MPa], -1000 to 1000

    Raises InputError outside the ranges.
    Source: COMMON_PRACTICE, Plowman's form; good between its results only.

    >>> float(logarithmic(100.0, 5.0, 10.0))
    25.0
    """
    M = within("maturity", maturity, 1e-6, 1e9)
    a = within("intercept_MPa", intercept_MPa, -1000.0, 1000.0, "MPa")
    return a + within("slope_MPa", slope_MPa, -1000.0, 1000.0, "MPa") * np.log10(M)


def fit_hyperbolic(
    age_h: ArrayLike, MPa: ArrayLike, *, dormant_h: float | None = None, plain: bool = False
) -> Fit:
    """Parameters of `hyperbolic` [MPa, 1/h, h] with residuals and standard errors.

    age_h, MPa : (results,) [h] above 0 and [MPa] above 0, 3 or more; 2 with a told dormant time
    dormant_h : [h], -100 to 1000, taken as told; None fits it
    plain : least squares; otherwise one odd result pulls by its size only (soft L1)

    Raises InputError outside the ranges or for too few results.
    Source: ASTM_C1074, annex; OWN_JUDGEMENT for the soft loss.
    """
    t, S = _results(age_h, MPa, 3 if dormant_h is None else 2)
    latest = 0.95 * float(t.min())
    dormants = [dormant_h] if dormant_h is not None else [0.8 * latest, 0.0, -0.5 * latest]
    rates = np.clip(np.geomspace(0.05 / t.max(), 20.0 / t.min(), 13), *RATES_PER_H)
    tries = [(float(k), float(t0)) for k in rates for t0 in dormants]
    starts = _starts(S, lambda Su, k, t0: hyperbolic(t, Su, k, t0), tries)
    names = ("ultimate_MPa", "rate_per_h", "dormant_h")
    low = [0.1, RATES_PER_H[0], EARLIEST_DORMANT_H]
    high = [1000.0, RATES_PER_H[1], latest]
    if dormant_h is None:
        curve: Curve = lambda *p: hyperbolic(t, *p)  # noqa: E731
        return _solved("hyperbolic", names, curve, S, starts, low, high, plain)
    fixed_h = float(dormant_h)
    curve = lambda Su, k: hyperbolic(t, Su, k, fixed_h)  # noqa: E731
    return _solved("hyperbolic", names[:2], curve, S, [starts[0][:2]], low[:2], high[:2], plain)


def fit_exponential(age_h: ArrayLike, MPa: ArrayLike, *, plain: bool = False) -> Fit:
    """Parameters of `exponential` [MPa, h, dimensionless] with residuals and standard errors.

    age_h, MPa : (results,) [h] above 0 and [MPa] above 0, 3 or more
    plain : least squares instead of the soft loss

    Raises InputError outside the ranges or for too few results.
    Source: FHP_1977; OWN_JUDGEMENT for the soft loss.
    """
    t, S = _results(age_h, MPa, 3)
    tries = [(float(tau), a) for tau in np.geomspace(0.1, 1000.0, 15) for a in (0.3, 0.5, 0.8, 1.2)]
    curve: Curve = lambda *p: exponential(t, *p)  # noqa: E731
    starts = _starts(S, curve, tries)
    return _solved(
        "exponential",
        ("ultimate_MPa", "time_constant_h", "exponent"),
        curve,
        S,
        starts,
        [0.1, 0.01, 0.1],
        [1000.0, 1e4, 3.0],
        plain,
    )


def fit_logarithmic(maturity: ArrayLike, MPa: ArrayLike, *, plain: bool = False) -> Fit:
    """Parameters of `logarithmic` [MPa] with residuals and standard errors.

    maturity, MPa : (results,), above 0 and [MPa] above 0, 2 or more
    plain : least squares instead of the soft loss

    Raises InputError outside the ranges or for too few results.
    Source: COMMON_PRACTICE, Plowman's form; OWN_JUDGEMENT for the soft loss.
    """
    M, S = _results(maturity, MPa, 2)
    slope, intercept = np.polyfit(np.log10(M), S, 1)
    curve: Curve = lambda *p: logarithmic(M, *p)  # noqa: E731
    names, edge = ("intercept_MPa", "slope_MPa"), [1000.0, 1000.0]
    start = np.clip([intercept, slope], -999.0, 999.0)
    return _solved("logarithmic", names, curve, S, [start], [-e for e in edge], edge, plain)


def fit_strength(
    equivalent_age_h: ArrayLike, MPa: ArrayLike, *, dormant: bool = False, plain: bool = False
) -> Fit:
    """Parameters of strength.strength [MPa, h, dimensionless, h] with residuals and errors.

    equivalent_age_h, MPa : (results,) [h] at 20 degC and [MPa], 3 or more; 4 with the dormant time
    dormant : fit the dormant time too; else it is 0, as early results alone can show it
    plain : least squares instead of the soft loss

    Raises InputError outside the ranges or for too few results.
    Source: FHP_1977, anchored at 28 days; OWN_JUDGEMENT for the soft loss.
    """
    t, S = _results(equivalent_age_h, MPa, 4 if dormant else 3)

    def curve(S28: float, ts: float, a: float, t0: float = 0.0) -> Array:
        return strength.strength(
            t, strength_28d_MPa=S28, rate_constant_h=ts, exponent=a, dormant_h=t0
        )

    tries = [(float(ts), a) for ts in np.geomspace(0.05, 900.0, 15) for a in (0.3, 0.5, 0.8, 1.2)]
    starts = _starts(S, curve, tries)
    names = ("strength_28d_MPa", "rate_constant_h", "exponent", "dormant_h")
    low, high = [0.1, 0.01, 0.2, 0.0], [300.0, 1000.0, 2.0, min(0.95 * float(t.min()), 100.0)]
    if dormant:
        starts = [np.append(start, 0.2 * high[3]) for start in starts]
    n = len(starts[0])
    return _solved("anchored", names[:n], curve, S, starts, low[:n], high[:n], plain)


def datum_and_activation_energy(
    temperatures_C: ArrayLike, rate_constants: ArrayLike, rate_errors: ArrayLike | None = None
) -> RateLines:
    """Datum temperature [degC] and Q = Ea / R [K] from rate constants, with standard errors.

    The straight line of k on T meets zero at T0; that of ln k on 1/T falls by Q. Both unweighted.

    temperatures_C : (temperatures,) [degC], -10 to 80, 3 or more over 15 K or more
    rate_constants : (temperatures,) [1/h], above 0
    rate_errors : (temperatures,) [1/h], their standard errors. The errors told are these carried
        over, or those of the scatter about the line, whichever are larger.

    Raises InputError outside the ranges, or where the rates do not rise with temperature.
    Source: ASTM_C1074, annex.
    """
    T = np.atleast_1d(within("temperatures_C", temperatures_C, -10.0, 80.0, "degC"))
    k = np.atleast_1d(within("rate_constants", rate_constants, 1e-9, 1e4, "1/h"))
    if T.shape != k.shape or len(T) < LEAST_TEMPERATURES or np.ptp(T) < LEAST_SPAN_K:
        raise InputError(
            "temperatures_C",
            T.tolist(),
            "no line is sure through these",
            f"{LEAST_TEMPERATURES} or more over {LEAST_SPAN_K:g} K or more, one rate each",
        )
    errors = None
    if rate_errors is not None:
        errors = np.broadcast_to(within("rate_errors", rate_errors, 0.0, 1e4, "1/h"), k.shape)
    slope, slope_error, mean_error = _line(T, k, errors)
    fall, fall_error, _ = _line(1 / (T + KELVIN), np.log(k), None if errors is None else errors / k)
    if slope <= 0 or fall >= 0:
        raise InputError(
            "rate_constants",
            k.tolist(),
            "the rates do not rise with temperature",
            "a higher rate where it is warmer",
        )
    behind = float(k.mean()) / slope  # K from the mean temperature down to the datum
    return RateLines(
        datum_C=float(T.mean()) - behind,
        datum_error_K=float(np.hypot(mean_error, behind * slope_error) / slope),
        quotient_K=-fall,
        quotient_error_K=fall_error,
        temperatures_C=T,
        rates_per_h=k,
    )


def _line(x: Array, y: Array, errors: Array | None) -> tuple[float, float, float]:
    """Slope of the unweighted line, its standard error, and that of the mean of y."""
    off = x - x.mean()
    lever = off / np.sum(off**2)
    slope = float(np.sum(lever * y))
    miss = y - y.mean() - slope * off
    spread = np.full(len(x), np.sqrt(np.sum(miss**2) / (len(x) - 2)))
    each = [spread] if errors is None else [spread, errors]
    slope_error = max(float(np.sqrt(np.sum((lever * one) ** 2))) for one in each)
    mean_error = max(float(np.sqrt(np.sum(one**2))) / len(x) for one in each)
    return slope, slope_error, mean_error


def _results(age_h: ArrayLike, MPa: ArrayLike, least: int) -> tuple[Array, Array]:
    t = np.atleast_1d(within("age_h", age_h, 1e-3, 1e7, "h"))
    S = np.atleast_1d(within("MPa", MPa, 1e-3, 300.0, "MPa"))
    if t.shape != S.shape or t.ndim != 1:
        raise InputError("MPa", S.shape, "not as many as ages", "one strength an age")
    ages = np.unique(t)
    if len(ages) < least:
        allowed = f"{least} or more different ages"
        raise InputError("age_h", ages.tolist(), "too few ages for this curve", allowed)
    return t, S


def _starts(S: Array, curve: Curve, tries: Sequence[tuple[float, float]]) -> list[Array]:
    """For each value of the last parameter the try that comes nearest, the nearest of all first.

    Each try has its best ultimate strength, since the curves scale by it.
    """
    best: dict[float, tuple[float, Array]] = {}
    for rest in tries:
        shape = curve(1.0, *rest)
        scale = float(np.clip(np.sum(shape * S) / max(np.sum(shape**2), 1e-12), 0.11, 290.0))
        miss = float(np.sum(np.abs(S - scale * shape)))
        if rest[-1] not in best or miss < best[rest[-1]][0]:
            best[rest[-1]] = (miss, np.array([scale, *rest]))
    return [start for _, start in sorted(best.values(), key=lambda one: one[0])]


def _solved(
    form: str,
    names: tuple[str, ...],
    curve: Curve,
    S: Array,
    starts: list[Array],
    low: list[float],
    high: list[float],
    plain: bool,
) -> Fit:
    """The best fit; where the first leaves an odd result, other starts may find another odd."""
    soft = SOFT_FRACTION * float(S.max())

    def solve(start: Array) -> Any:
        inside = np.clip(start, np.array(low) + 1e-9, np.array(high) - 1e-9)
        return scipy.optimize.least_squares(
            lambda p: curve(*p) - S,
            inside,
            bounds=(low, high),
            method="trf",
            jac="3-point",
            x_scale=np.maximum(np.abs(inside), 1e-3),
            loss="linear" if plain else "soft_l1",
            f_scale=soft,
            xtol=1e-10,
            ftol=1e-10,
            gtol=1e-10,
            max_nfev=500,
        )

    solved = solve(starts[0])
    if np.abs(curve(*solved.x) - S).max() > ODD * soft:
        solved = min([solved, *map(solve, starts[1:])], key=lambda one: one.cost)
    edges = np.where(solved.active_mask < 0, low, high)
    at = np.where(solved.active_mask == 0, solved.x, edges)
    residuals = S - curve(*at)
    bend = 1 + (0.0 if plain else 1.0) * (residuals / soft) ** 2
    free = solved.active_mask == 0
    errors = np.full(len(names), np.nan)
    errors[free] = _errors(curve, at, free, residuals, bend, (low, high))
    return Fit(form, names, at, errors, residuals)


def _errors(
    curve: Curve,
    at: Array,
    free: Array,
    residuals: Array,
    bend: Array,
    span: tuple[list[float], list[float]],
) -> Array:
    """Standard errors from the Jacobian; with a soft loss those of Huber for M-estimates."""
    over = len(residuals) - int(free.sum())
    if over < 1:
        return np.full(int(free.sum()), np.nan)
    columns = []
    for k in np.flatnonzero(free):
        step = np.zeros(len(at))
        step[k] = 1e-5 * max(abs(at[k]), 1e-3)
        up, down = np.minimum(at + step, span[1]), np.maximum(at - step, span[0])
        columns.append((curve(*up) - curve(*down)) / (up[k] - down[k]))
    J = np.stack(columns, axis=1)
    width = np.linalg.norm(J, axis=0)
    if not (width > 0).all():
        return np.full(int(free.sum()), np.nan)
    spread = np.sum(residuals**2 / bend) / over / np.mean(bend**-1.5) ** 2
    inverse = np.linalg.pinv((J / width).T @ (J / width), rcond=1e-14)
    return np.asarray(np.sqrt(spread * np.diag(inverse)) / width)
