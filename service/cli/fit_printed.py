"""A fit as text for a terminal of 100 columns, and as JSON."""

import json
import math
import textwrap
from pathlib import Path
from typing import Any

from models.concrete.fit import Fit, RateLines
from models.concrete.mix_fit import MixFit
from models.errors import Unknown
from service.cli import fit_file, fit_plot
from service.words import Reader, say

WIDTH = 100
UNITS = ("MPa", "per_h", "h")
SHOWN_UNIT = {"per_h": "1/h"}
READER = Reader("UTC")  # a fit tells no instants


def answer(tests: Path, kind: str, plot: Path | None, *, as_json: bool) -> str:
    """What `castclock fit` prints for a file of tests; `plot` is drawn besides."""
    found = fit_file.fitted(tests, kind)
    if plot is not None:
        fit_plot.write(found, plot)
    return json.dumps(content(found), indent=2, allow_nan=False) if as_json else told(found)


def told(found: MixFit) -> str:
    """Energy, curve, results with residuals, [mix]."""
    lines = [*_wrapped(_energy(found), ""), "", *_curves(found), "", *_results(found)]
    if found.cautions:
        lines += ["", "Cautions"]
        lines += [line for text in found.cautions for line in _wrapped(text, "  - ", "    ")]
    lines += ["", "For a scenario file:", "", found.as_mixture_toml().rstrip()]
    return "\n".join(lines)


def content(found: MixFit) -> dict[str, Any]:
    """The fit for JSON; null where a standard error cannot be told."""
    return {
        "class": found.kind,
        "energy": _energy_json(found.energy),
        "activation_energy_used_kJ_mol": round(found.activation_energy_kJ_mol, 3),
        "curve": _fit_json(found.curve) | {"dormant_h": round(found.dormant_h, 4)},
        "other_forms": {form.form: _fit_json(form) for form in found.forms},
        "temperatures": [
            {
                "temperature_C": round(cure.temperature_C, 2),
                "results": len(cure.rows),
                "hyperbolic": None if cure.curve is None else _fit_json(cure.curve),
                "missing": cure.missing,
            }
            for cure in found.cures
        ],
        "results": [
            {
                "temperature_C": row.temperature_C,
                "age_h": row.age_h,
                "MPa": row.MPa,
                "equivalent_age_h": round(float(age), 3),
                "residual_MPa": round(float(residual), 3),
                "in_curve": k in found.curve_rows,
            }
            for k, (row, age, residual) in enumerate(
                zip(found.results, found.equivalent_age_h, found.residuals_MPa, strict=True)
            )
        ],
        "label": [vars(point) for point in found.label()],
        "cautions": list(found.cautions),
        "mix_toml": found.as_mixture_toml(),
    }


def _energy(found: MixFit) -> str:
    energy = found.energy
    if isinstance(energy, Unknown):
        used = f"The class's {found.activation_energy_kJ_mol:g} kJ/mol makes the ages equivalent."
        return f"Not fitted: {say(energy.message, READER)}. {used}"
    return (
        f"Activation energy {energy.activation_energy_kJ_mol:.1f} kJ/mol, standard error "
        f"{energy.energy_error_kJ_mol:.1f} (Q {energy.quotient_K:.0f} K); datum temperature "
        f"{energy.datum_C:.1f} degC, standard error {energy.datum_error_K:.1f} K; "
        f"from {len(energy.temperatures_C)} temperatures."
    )


def _curves(found: MixFit) -> list[str]:
    lines = ["Strength curve, hours at 20 degC", *_wrapped(_fit(found.curve), "  ")]
    lines += [f"  {form.form}: RMSE {form.rmse_MPa:.2f} MPa" for form in found.forms]
    for cure in found.cures:
        lines.append(f"Hyperbolic at {cure.words}, {len(cure.rows)} results")
        lines += _wrapped(_fit(cure.curve) if cure.curve else f"no curve: {cure.missing}", "  ")
    return lines


def _fit(curve: Fit) -> str:
    parts = []
    for name in curve.names:
        words, unit = _words(name)
        error = curve.error(name)
        doubt = f" +- {error:.2g}" if math.isfinite(error) else ""
        parts.append(f"{words} {curve[name]:.4g}{doubt}{unit}")
    return f"{', '.join(parts)}; RMSE {curve.rmse_MPa:.2f} MPa"


def _words(name: str) -> tuple[str, str]:
    for unit in UNITS:
        if name.endswith(f"_{unit}"):
            shown = SHOWN_UNIT.get(unit, unit)
            return name.removesuffix(f"_{unit}").replace("_", " "), f" {shown}"
    return name.replace("_", " "), ""


def _results(found: MixFit) -> list[str]:
    head = f"{'degC':>6} {'age h':>9} {'h at 20':>9} {'MPa':>7} {'curve':>7} {'residual':>9}"
    lines = [head, "-" * len(head)]
    for k, row in enumerate(found.results):
        age, residual = float(found.equivalent_age_h[k]), float(found.residuals_MPa[k])
        beside = "" if k in found.curve_rows else "  not in the curve"
        lines.append(
            f"{row.temperature_C:>6.1f} {row.age_h:>9.1f} {age:>9.1f} {row.MPa:>7.2f} "
            f"{row.MPa - residual:>7.2f} {residual:>+9.2f}{beside}"
        )
    return lines


def _fit_json(curve: Fit) -> dict[str, Any]:
    return {
        **{name: float(f"{curve[name]:.6g}") for name in curve.names},
        "standard_errors": {name: _finite(curve.error(name)) for name in curve.names},
        "rmse_MPa": round(curve.rmse_MPa, 4),
    }


def _energy_json(energy: RateLines | Unknown) -> dict[str, Any]:
    if isinstance(energy, Unknown):
        missing = {name: say(told, READER) for name, told in vars(energy).items()}
        return {"unknown": missing}
    return {
        "activation_energy_kJ_mol": round(energy.activation_energy_kJ_mol, 3),
        "standard_error_kJ_mol": _finite(energy.energy_error_kJ_mol),
        "quotient_K": round(energy.quotient_K, 1),
        "datum_C": round(energy.datum_C, 3),
        "datum_standard_error_K": _finite(energy.datum_error_K),
    }


def _finite(value: float) -> float | None:
    return float(f"{value:.4g}") if math.isfinite(value) else None


def _wrapped(text: str, first: str, then: str | None = None) -> list[str]:
    return textwrap.wrap(
        text, WIDTH, initial_indent=first, subsequent_indent=first if then is None else then
    )
