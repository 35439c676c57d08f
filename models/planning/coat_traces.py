"""What the log holds of the coats: dew, cold, damp, rain, and the wait between them."""

from collections.abc import Iterator
from itertools import pairwise

import numpy as np

from models.facts.faults import TRACES
from models.facts.sealers import Sheet
from models.message import Value
from models.planning.found import Found
from models.simulation.physics import Simulation
from models.simulation.scenario import Scenario
from models.steps import registry
from models.units import Array


def of_coats(scenario: Scenario, simulation: Simulation, until_h: float) -> dict[str, Found]:
    """By cause the loudest trace of all coats that were on before an hour [h]; none of no coat.

    Source: limits of the sheets, facts.sealers.
    """
    done = sorted(
        (number, hour)
        for step, hour in scenario.done_h.items()
        if (number := registry.coat_number(step)) is not None and hour <= until_h
    )
    loudest: dict[str, Found] = {}
    finish = scenario.resolved()
    for number, hour in done:
        sheet = finish.product_of(number).sheet
        for cause, found in _of_coat(scenario, simulation, sheet, number, hour, until_h):
            _keep(loudest, cause, found)
    for (under, under_h), (number, _) in pairwise(done):
        if finish.product_of(under) is not finish.product_of(number):
            continue
        for cause, found in _between(scenario, finish.product_of(number).sheet, number, under_h):
            _keep(loudest, cause, found)
    return loudest


def _keep(loudest: dict[str, Found], cause: str, found: Found) -> None:
    row = TRACES[cause]
    sign = np.sign(row.loud - row.quiet)
    if cause not in loudest or sign * found.number > sign * loudest[cause].number:
        loudest[cause] = found


def _of_coat(
    scenario: Scenario,
    simulation: Simulation,
    sheet: Sheet,
    number: int,
    hour: float,
    until_h: float,
) -> Iterator[tuple[str, Found]]:
    trajectory, dried = simulation.trajectory, simulation.drying
    about: dict[str, Value] = {"coat": float(number), "at": scenario.instant(hour)}

    def after(values: Array, hours: float) -> Array:
        last = min(hour + hours, until_h)
        some = (trajectory.hour >= np.floor(hour)) & (trajectory.hour <= last)
        return values[some] if some.any() else values[-1:]

    over_K = (after(trajectory.top_C - trajectory.dew_point_C, sheet.hold_h)).min(axis=0)
    margin_K = trajectory.quantile(over_K, 0.5)
    limit: dict[str, Value] = {"margin_K": margin_K, "limit_K": sheet.dew_margin_K}
    yield "coat-dew", Found(margin_K, about | limit)

    low_C = trajectory.quantile(after(trajectory.top_C, sheet.hold_h).min(axis=0), 0.5)
    cold: dict[str, Value] = {"low_C": low_C, "least_C": sheet.min_C}
    yield "coat-cold", Found(low_C - sheet.min_C, about | cold)

    rain_mm = trajectory.quantile(after(trajectory.rain_mm, sheet.rain_free_h).sum(axis=0), 0.5)
    rain: dict[str, Value] = {"rain_mm": rain_mm, "rain_free_h": sheet.rain_free_h}
    yield "coat-rain", Found(rain_mm, about | rain)

    if dried is not None and number == 1:
        row = int(np.searchsorted(dried.dried.hour, hour, side="right")) - 1
        pore_rh = trajectory.quantile(dried.dried.probe_rh[max(row, 0)], 0.5)
        damp: dict[str, Value] = {"pore_rh": pore_rh, "dry_rh": sheet.dry_rh_fraction}
        yield "coat-damp", Found(pore_rh - sheet.dry_rh_fraction, about | damp)


def _between(
    scenario: Scenario, sheet: Sheet, number: int, under_h: float
) -> Iterator[tuple[str, Found]]:
    """How long a coat waited for the one on it."""
    waited_h = scenario.done_h[f"coat-{number}"] - under_h
    about: dict[str, Value] = {"coat": float(number), "waited_h": waited_h}
    least: dict[str, Value] = {"least_h": sheet.recoat_min_h}
    yield "coat-soon", Found(waited_h / sheet.recoat_min_h, about | least)
    if sheet.recoat_max_h is not None:
        most: dict[str, Value] = {"most_h": sheet.recoat_max_h}
        yield "coat-late", Found(waited_h / sheet.recoat_max_h, about | most)
