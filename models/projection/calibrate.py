"""Readings and test results change what is believed; contradictions are kept, told and not used."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from models.air import members, place
from models.air.series import HOUR
from models.concrete import maturity, strength
from models.concrete.belief import Belief
from models.concrete.heat import Histories
from models.gates.gate import Course, between
from models.projection.clock import on_the_clock
from models.projection.scenario import SET_KINDS, Observation, Scenario
from models.units import Array

AT_PIECE_C = (-80.0, 80.0)  # as far as a reading may pull the air of another hour
AIR_SD_K = 0.7  # a thermometer beside the piece, and what it stands for
# probe in the concrete, infrared on the face: the part all readings share, and each one's own
SHARED_SD_K = (0.6, 1.5)  # together 1 K for a probe
OWN_SD_K = (0.8, 1.5)
REACH_H = 96.0  # a reading says nothing about temperatures a week away
SET_SEEN_SD = 0.12  # of the logarithm: when a thumb or a nail says that it has set
LEAST_EFFECTIVE = 32
TEST_SD = 0.10  # of the logarithm: spread of a cube result
BAR_SD = 0.20
SIGMAS = 4.0  # beyond this a reading contradicts
UNKNOWN_ROOM_SD_K = 2.0


def after_air_readings(
    site: place.Site, observations: Sequence[Observation], here: place.AtPiece, seed: int
) -> tuple[place.AtPiece, tuple[str, ...]]:
    """Air at the piece after air and min-max readings beside it; notes on what was not used."""
    told = site.offset_K is not None or not site.kind.endswith("room")
    site_sd = members.SITE_SD_K if told else UNKNOWN_ROOM_SD_K
    if site.offset_sd_K is not None:
        site_sd = max(members.SITE_SD_K, site.offset_sd_K)
    mean = here.air_C.mean(axis=1)
    points: list[tuple[int, float]] = []
    notes: list[str] = []
    for reading in observations:
        for index, value in _points(reading, here, mean):
            doubt = np.sqrt(here.error_sd_K[index] ** 2 + site_sd**2 + AIR_SD_K**2)
            if abs(value - mean[index]) > SIGMAS * doubt:
                notes.append(
                    f"the air reading of {value:z.1f} C at"
                    f" {on_the_clock(reading.at, site.timezone)} contradicts the weather"
                    f" ({mean[index]:z.1f} C): kept, not used"
                )
                continue
            points.append((index, value))
    if not points:
        return here, tuple(notes)
    rows, values = np.array([p[0] for p in points]), np.array([p[1] for p in points])
    air = members.conditioned(here.air_C, here.error_sd_K, rows, values, AIR_SD_K, seed, site_sd)
    air = np.clip(air, *AT_PIECE_C)
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


def after_concrete_readings(
    scenario: Scenario, lived: Histories, belief: Belief, seed: int
) -> tuple[Histories, tuple[str, ...]]:
    """Histories after probe and surface readings; notes on what was not used.

    Every member moves by the covariance of the members' own temperatures times what it missed
    (conditional simulation), so the members stay as many as they are. Readings of one kind share
    a part of their error: seventy of them are not seventy witnesses. Ages follow by the rate law.

    Source: Gaussian conditioning (Matheron's rule) with the covariance of the members.
    """
    kept, notes = _usable_readings(scenario, lived)
    if not kept:
        return lived, notes
    hour = np.array([h for h, _ in kept])
    value = np.array([r.value for _, r in kept])
    inside = np.array([r.kind == "concrete" for _, r in kept])
    foreseen = np.where(inside[:, None], between(lived.mean_C, hour), between(lived.top_C, hour))
    members = foreseen.shape[1]
    shared_sd, own_sd = (np.where(inside, a, b) for a, b in (SHARED_SD_K, OWN_SD_K))
    z = np.random.default_rng(seed).standard_normal((len(kept) + 2, members))
    noise = shared_sd[:, None] * z[inside.astype(int)] + own_sd[:, None] * z[2:]
    error = np.outer(shared_sd, shared_sd) * (inside[:, None] == inside) + np.diag(own_sd**2)
    off = foreseen - foreseen.mean(axis=1, keepdims=True)
    pull = np.linalg.solve(off @ off.T / (members - 1) + error, value[:, None] + noise - foreseen)
    near = np.exp(-0.5 * ((lived.hour[:, None] - hour) / REACH_H) ** 2)

    def moved(temperature: Array) -> Array:
        apart = temperature - temperature.mean(axis=1, keepdims=True)
        shifted: Array = temperature + (near * (apart @ off.T / (members - 1))) @ pull
        return shifted

    mean, cold = moved(lived.mean_C), moved(lived.coldest_C)
    return replace(
        lived, mean_C=mean, coldest_C=cold, top_C=moved(lived.top_C),
        te_mean_h=_aged(lived.te_mean_h, lived.mean_C, mean, belief),
        te_cold_h=_aged(lived.te_cold_h, lived.coldest_C, cold, belief),
    ), notes  # fmt: skip


def _usable_readings(
    scenario: Scenario, lived: Histories
) -> tuple[list[tuple[float, Observation]], tuple[str, ...]]:
    kept: list[tuple[float, Observation]] = []
    notes: list[str] = []
    for reading in scenario.observations:
        hour = (reading.at - scenario.placement.at) / HOUR
        if reading.kind not in ("concrete", "surface") or not 0 <= hour <= lived.hour[-1]:
            continue
        inside = reading.kind == "concrete"
        history = lived.mean_C if inside else lived.top_C
        foreseen = between(history, np.array([hour]))[0]
        pick = 0 if inside else 1
        doubt = np.sqrt(foreseen.var() + SHARED_SD_K[pick] ** 2 + OWN_SD_K[pick] ** 2)
        if abs(reading.value - float(foreseen.mean())) > SIGMAS * doubt:
            notes.append(
                f"the {reading.kind} reading of {reading.value:z.1f} C at"
                f" {on_the_clock(reading.at, scenario.site.timezone)} contradicts the model"
                f" ({foreseen.mean():z.1f} C): kept, not used"
            )
            continue
        kept.append((hour, reading))
    return kept, tuple(notes)


def _aged(te_h: Array, before_C: Array, after_C: Array, belief: Belief) -> Array:
    """Equivalent ages after the temperatures moved [h]; they never fall."""

    def pace(temperature: Array) -> Array:
        return maturity.rate(
            np.clip(temperature, -40, 100),
            activation_energy_kJ_mol=belief.activation_energy_kJ_mol,
            rise_kJ_mol_K=belief.rise_kJ_mol_K,
        )

    gain = pace(after_C) - pace(before_C)
    more = np.concatenate((0 * te_h[:1], np.cumsum(0.5 * (gain[1:] + gain[:-1]), axis=0)))
    return np.maximum.accumulate(np.maximum(te_h + more, 0.0), axis=0)


def weights(scenario: Scenario, course: Course) -> tuple[Array, tuple[str, ...]]:
    """Weight of each member after set and strength tests, sum 1; at least 32 members' worth."""
    log_weight = np.zeros(course.members)
    notes: list[str] = []
    begin = scenario.placement.at
    for seen in scenario.observations:
        hour = (seen.at - begin) / HOUR
        if seen.kind not in SET_KINDS or not 0 < hour <= course.hour[-1]:
            continue
        due = course.initial_set_h if seen.kind == "initial-set" else course.final_set_h
        late = np.log(np.maximum(course.at(course.te_mean_h, hour), 1e-3) / due)
        if abs(float(late.mean())) > SIGMAS * np.hypot(float(late.std()), SET_SEEN_SD):
            notes.append(
                f"the {seen.kind.replace('-', ' ')} seen after {hour:.1f} h contradicts the mix:"
                " kept, not used"
            )
            continue
        log_weight -= 0.5 * (late / SET_SEEN_SD) ** 2
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
    return tempered(log_weight), tuple(notes)


def tempered(log_weight: Array) -> Array:
    """Weights, flattened until at least LEAST_EFFECTIVE members speak (1 / sum of squares)."""
    for power in np.geomspace(1.0, 0.01, 40):
        weight = np.exp(power * (log_weight - log_weight.max()))
        weight /= weight.sum()
        if 1 / np.sum(weight**2) >= min(LEAST_EFFECTIVE, len(weight) / 2):
            break
    return np.asarray(weight)
