"""Readings and test results change what is believed; contradictions are kept, told and not used."""

from dataclasses import replace

import numpy as np

from models.air import members, place
from models.air.series import HOUR
from models.concrete import strength
from models.gates.gate import Course
from models.projection.scenario import Observation, Scenario
from models.units import Array

AIR_SD_K = 0.7  # a thermometer beside the piece, and what it stands for
CONCRETE_SD_K = 1.2  # probe 1 K, model 0.7 K
SURFACE_SD_K = 2.2  # infrared
TEST_SD = 0.10  # of the logarithm: spread of a cube result
BAR_SD = 0.20
SIGMAS = 4.0  # beyond this a reading contradicts
UNKNOWN_ROOM_SD_K = 2.0


def after_air_readings(
    scenario: Scenario, here: place.AtPiece, seed: int
) -> tuple[place.AtPiece, tuple[str, ...]]:
    """Air at the piece after air and min-max readings beside it; notes on what was not used."""
    told = scenario.site.offset_K is not None or not scenario.site.kind.endswith("room")
    site_sd = members.SITE_SD_K if told else UNKNOWN_ROOM_SD_K
    mean = here.air_C.mean(axis=1)
    points: list[tuple[int, float]] = []
    notes: list[str] = []
    for reading in scenario.observations:
        for index, value in _points(reading, here, mean):
            doubt = np.sqrt(here.error_sd_K[index] ** 2 + site_sd**2 + AIR_SD_K**2)
            if abs(value - mean[index]) > SIGMAS * doubt:
                notes.append(
                    f"the air reading of {value:.1f} C at"
                    f" {reading.at.isoformat(timespec='minutes')} contradicts the weather"
                    f" ({mean[index]:.1f} C): kept, not used"
                )
                continue
            points.append((index, value))
    if not points:
        return here, tuple(notes)
    rows, values = np.array([p[0] for p in points]), np.array([p[1] for p in points])
    air = members.conditioned(here.air_C, here.error_sd_K, rows, values, AIR_SD_K, seed, site_sd)
    return replace(here, air_C=air, dew_point_C=np.minimum(here.dew_point_C, air)), tuple(notes)


def _points(reading: Observation, here: place.AtPiece, mean: Array) -> list[tuple[int, float]]:
    """Hours and temperatures that one reading stands for; none outside the record."""
    at = (reading.at - here.start) / HOUR
    rows = len(mean)
    if reading.kind == "air":
        index = round(at)
        return [(index, reading.value)] if 0 <= index < rows else []
    if reading.kind != "air-min-max":
        return []
    low, high = max(0, int(np.ceil(at - reading.span_h))), min(rows - 1, int(np.floor(at)))
    if high <= low:
        return []
    window = mean[low : high + 1]
    assert reading.value_max is not None
    return [
        (low + int(np.argmin(window)), reading.value),
        (low + int(np.argmax(window)), reading.value_max),
    ]


def weights(scenario: Scenario, course: Course) -> tuple[Array, tuple[str, ...]]:
    """Weight of each member after concrete and surface readings and strength tests, sum 1."""
    log_weight = np.zeros(course.members)
    notes: list[str] = []
    begin = scenario.placement.at
    for reading in scenario.observations:
        if reading.kind not in ("concrete", "surface"):
            continue
        hour = (reading.at - begin) / HOUR
        if not 0 <= hour <= course.hour[-1]:
            continue
        inside = reading.kind == "concrete"
        sd = CONCRETE_SD_K if inside else SURFACE_SD_K
        modelled = course.at(course.mean_C if inside else course.top_C, hour)
        doubt = np.hypot(float(modelled.std()), sd)
        if abs(reading.value - float(modelled.mean())) > SIGMAS * doubt:
            notes.append(
                f"the {reading.kind} reading of {reading.value:.1f} C at"
                f" {reading.at.isoformat(timespec='minutes')} contradicts the model"
                f" ({modelled.mean():.1f} C): kept, not used"
            )
            continue
        log_weight -= 0.5 * ((reading.value - modelled) / sd) ** 2
    for test in scenario.tests:
        hour = (test.at - begin) / HOUR
        if not 0 <= hour <= course.hour[-1]:
            continue
        modelled = np.maximum(course.at(course.strength_mean_MPa, hour), 1e-3)
        bar = test.kind == "bar"
        compression = float(strength.strength_for_flexure(min(test.MPa, 20.0))) if bar else test.MPa
        sd = BAR_SD if bar else TEST_SD
        miss = np.log(compression / modelled)
        if abs(float(miss.mean())) > SIGMAS * np.hypot(float(miss.std()), sd):
            notes.append(
                f"the {test.kind} result of {test.MPa:g} MPa contradicts the model"
                f" ({np.median(modelled):.1f} MPa in compression): kept, not used"
            )
            continue
        log_weight -= 0.5 * (miss / sd) ** 2
    weight = np.exp(log_weight - log_weight.max())
    return weight / weight.sum(), tuple(notes)
