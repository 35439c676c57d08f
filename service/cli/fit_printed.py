"""A fit as text for a terminal of 100 columns, and as JSON."""

import json
import math
from pathlib import Path
from typing import Any

from models.concrete.fit import Fit, RateLines
from models.concrete.mix_fit import Cure, MixFit
from models.errors import Unknown
from models.facts.cements import CLASS_ENERGY_SD
from models.message import Message
from service.answer_fields import as_json
from service.cli import fit_file, fit_plot
from service.cli.fit_plot import CUBE_C
from service.cli.terminal import listed, plain, wrapped
from service.words import say, say_all
from service.words.reader import PLAIN

UNITS = ("MPa", "per_h", "h")
SHOWN_UNIT = {"per_h": "1/h"}


def answer(tests: Path, kind: str, plot: Path | None, *, as_json: bool) -> str:
    """What `castclock fit` prints for a file of tests; `plot` is drawn besides."""
    found = fit_file.fitted(tests, kind)
    if plot is not None:
        fit_plot.write(found, plot)
    return json.dumps(content(found), indent=2, allow_nan=False) if as_json else as_text(found)


def as_text(found: MixFit) -> str:
    """Energy, curve, results with residuals, [mix]."""
    lines = [*wrapped(_energy(found)), "", *_curves(found), "", *_results(found)]
    lines += listed(plain("fit_cautions"), say_all(found.cautions, PLAIN))
    lines += ["", plain("fit_for_a_file"), "", mixture_toml(found).rstrip()]
    return "\n".join(lines)


def mixture_toml(found: MixFit) -> str:
    """The [mix] of a scenario file; its comments say what was left out and why."""
    mixture = found.as_mixture()
    energy, error = mixture.activation_energy_kJ_mol, mixture.activation_energy_error_kJ_mol
    lines = ["[mix]", f'class = "{found.kind}"']
    if isinstance(found.energy, Unknown):
        lines += wrapped(say(found.energy.message, PLAIN), "# ", width=96)
    elif energy is None or error is None:
        worse = plain("fit_error_worse", fitted=_fitted(found.energy), class_kJ_mol=CLASS_ENERGY_SD)
        lines.append(f"# {worse}")
    else:
        fitted = say(_fitted(found.energy), PLAIN)
        lines.append(f"activation_energy_kJ_mol = {energy:g}  # {fitted}")
        lines.append(f"activation_energy_error_kJ_mol = {error:g}")
    if mixture.datum_C is not None:
        lines.append(f"datum_C = {mixture.datum_C:g}")
    room = plain("fit_of_the_room", cube_C=CUBE_C)
    for point in mixture.label:
        lines += ["", "[[mix.strength]]", f"age_h = {point.age_h:g}", f"MPa = {point.MPa:g}"]
        lines.append(f"temperature_C = {point.temperature_C:g}  # {room}")
    return "\n".join(lines) + "\n"


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
                "missing": _missing(cure),
                "missing_code": as_json(cure.missing),
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
        "cautions": say_all(found.cautions, PLAIN),
        "caution_codes": as_json(found.cautions),
        "mix_toml": mixture_toml(found),
    }


def _missing(cure: Cure) -> str:
    return "" if cure.missing is None else say(cure.missing, PLAIN)


def _fitted(energy: RateLines) -> Message:
    value, error = energy.activation_energy_kJ_mol, energy.energy_error_kJ_mol
    return Message("fit_error", {"energy_kJ_mol": value, "energy_error_kJ_mol": error})


def _energy(found: MixFit) -> str:
    energy = found.energy
    if isinstance(energy, Unknown):
        used = found.activation_energy_kJ_mol
        return plain("fit_no_energy", unknown=energy.message, class_kJ_mol=used)
    return plain(
        "fit_energy",
        energy_kJ_mol=energy.activation_energy_kJ_mol,
        energy_error_kJ_mol=energy.energy_error_kJ_mol,
        quotient_K=energy.quotient_K,
        datum_C=energy.datum_C,
        datum_error_K=energy.datum_error_K,
        count=len(energy.temperatures_C),
    )


def _curves(found: MixFit) -> list[str]:
    lines = [plain("fit_curve", age_C=CUBE_C), *wrapped(_fit(found.curve), "  ")]
    lines += [
        "  " + plain("fit_form", form=form.form, rmse_MPa=form.rmse_MPa) for form in found.forms
    ]
    for cure in found.cures:
        lines.append(plain("fit_hyperbolic", cure=cure.named, count=len(cure.rows)))
        fitted = _fit(cure.curve) if cure.curve else plain("fit_no_curve", missing=cure.missing)
        lines += wrapped(fitted, "  ")
    return lines


def _fit(curve: Fit) -> str:
    parts = []
    for name in curve.names:
        words, unit = _words(name)
        error = curve.error(name)
        doubt = f" +- {error:.2g}" if math.isfinite(error) else ""
        parts.append(f"{words} {curve[name]:.4g}{doubt}{unit}")
    return plain("fit_scatter", parameters=tuple(parts), rmse_MPa=curve.rmse_MPa)


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
        beside = "" if k in found.curve_rows else f"  {plain('fit_not_in_curve')}"
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
        missing = {name: say(message, PLAIN) for name, message in vars(energy).items()}
        return {"unknown": missing, "code": as_json(energy.message)}
    return {
        "activation_energy_kJ_mol": round(energy.activation_energy_kJ_mol, 3),
        "standard_error_kJ_mol": _finite(energy.energy_error_kJ_mol),
        "quotient_K": round(energy.quotient_K, 1),
        "datum_C": round(energy.datum_C, 3),
        "datum_standard_error_K": _finite(energy.datum_error_K),
    }


def _finite(value: float) -> float | None:
    return float(f"{value:.4g}") if math.isfinite(value) else None
