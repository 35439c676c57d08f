"""Readings and results change what is believed; a contradiction is told, and the colder counts."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime

import numpy as np

from models.air import members, place, sun
from models.air.series import HOUR, AirSeries
from models.concrete import maturity, strength
from models.concrete.heat import Histories
from models.concrete.prior import Prior
from models.facts.forecast import HOURLY_MEMORY
from models.facts.instruments import AIR_SD_K, BAR_SD, READING_SD_K, SEEN_SET_SD, TEST_SD
from models.facts.rooms import HEATED_MEMORY, HEATED_SD_K, HEATING_OFF_H, LASTS_H, SETPOINT_SD_K
from models.message import Message, Value
from models.rng import Seed, stream
from models.simulation import conditioning, humidity, looks, outage
from models.simulation.conditioning import Series, Trust
from models.simulation.scenario import SET_KINDS, Observation, Scenario, StrengthTest
from models.steps.opening import Trajectory, added_up, between
from models.units import Array

AT_PIECE_C = (-80.0, 80.0)  # as far as a reading may pull the air of another hour
CONCRETE_MEMORY = 0.95  # from hour to hour, of what the section is warmer than predicted
LEAST_EFFECTIVE = 32
SIGMAS = 4.0  # beyond this the loss of a tile contradicts
STRAY_CHANCE, STRAY_DENSITY = 0.02, 0.1  # a result that tells nothing of the piece: how often,
# and how likely any value is then, as a fraction of the peak of one that does


@dataclass(frozen=True)
class Contradiction:
    """A reading far from what was predicted; settled once a second reading took either side."""

    what: str
    at: datetime
    value_C: float
    predicted_C: float
    settled: bool

    @property
    def apart_K(self) -> float:
        return abs(self.value_C - self.predicted_C)

    @property
    def message(self) -> Message:
        """What is said of it beside the windows."""
        code = "reading_warmer" if self.value_C > self.predicted_C else "reading_colder"
        values: dict[str, Value] = {"reading": self.what, "at": self.at}
        values |= {"read_C": self.value_C, "foreseen_C": self.predicted_C}
        return Message("reading_settled" if self.settled else code, values)


def messages(odd: Sequence[Contradiction]) -> tuple[Message, ...]:
    """What is not settled, and the farthest of what is."""
    settled = sorted((one for one in odd if one.settled), key=lambda one: -one.apart_K)
    shown = [one for one in odd if not one.settled] + settled[:1]
    return tuple(one.message for one in shown)


def air_at_piece(
    site: place.Site,
    observations: Sequence[Observation],
    series: AirSeries,
    count: int,
    known: int | None = None,
    faces: str = sun.LYING,
) -> tuple[members.AirMembers, place.AtPiece, tuple[Contradiction, ...]]:
    """Members outdoors; air and moisture at the piece after all read beside it; what contradicts.

    series : hourly, without gaps; known : its hours that are weather; faces : as of at_piece
    """
    outdoor = members.draw(series, count, beyond_from=known)
    local = place.at_piece(site, outdoor, faces=faces)
    local, odd = _after_air_readings(site, observations, local, stream("air readings"))
    local = humidity.after_readings(site, observations, local, stream("humidity readings"))
    return outdoor, local, odd


def _after_air_readings(
    site: place.Site, observations: Sequence[Observation], local: place.AtPiece, seed: Seed
) -> tuple[place.AtPiece, tuple[Contradiction, ...]]:
    """Air at the piece after air and min-max readings beside it; what contradicts the weather."""
    read, readings = _air_series(observations, local)
    if not len(read):
        return local, ()
    trust = _trust_in_air(site, local)
    shift, left = conditioning.moved(local.air_C, read, trust, seed)
    rows = len(local.air_C)
    if local.heated is None:
        shift += conditioning.carried(read, left, rows, LASTS_H, stream("lasting", seed))
    else:
        shift += outage.lower(local.air_C, read, left, local.heated, stream("outage", seed))
        shift += conditioning.carried(
            read, np.maximum(left, 0.0), rows, LASTS_H, stream("lasting", seed)
        )
    air = np.clip(local.air_C + shift, *AT_PIECE_C)
    odd = _contradictions(read, local.air_C, trust, local.start, readings)
    dew_C = np.minimum(local.dew_point_C, air)
    return replace(local, air_C=air, dew_point_C=dew_C, site_K=None), odd


def _trust_in_air(site: place.Site, local: place.AtPiece) -> Trust:
    if local.heated is not None:
        own = np.full(len(local.error_sd_K), np.hypot(HEATED_SD_K, SETPOINT_SD_K))
        return Trust(own, HEATED_MEMORY, 0.0, AIR_SD_K)
    site_sd = max(site.own_sd_K, site.resolved().offset_sd_K)
    return Trust(local.error_sd_K, HOURLY_MEMORY, site_sd, AIR_SD_K)


def _air_series(
    observations: Sequence[Observation], local: place.AtPiece
) -> tuple[Series, list[Observation]]:
    """Readings of the air by row, none outside the record; and those they were made of."""
    mean, rows = local.air_C.mean(axis=1), len(local.air_C)
    points: list[tuple[float, float]] = []
    extremes: list[conditioning.Extreme] = []
    readings: list[Observation] = []
    for reading in observations:
        at = (reading.at - local.start) / HOUR
        if reading.kind == "air" and 0 <= at <= rows - 1:
            points.append((at, reading.value))
            readings.append(reading)
        if reading.kind != "air-min-max":
            continue
        low, high = max(0, int(np.ceil(at - reading.span_h))), min(rows - 1, int(np.floor(at)))
        if high <= low:
            continue
        assert reading.value_max is not None
        window = mean[low : high + 1]
        for row, value in (
            (low + int(np.argmin(window)), reading.value),
            (low + int(np.argmax(window)), reading.value_max),
        ):
            extremes.append((float(row), value, float(high - low), float(high)))
        readings.append(reading)
    return conditioning.series(points, extremes), readings


def _contradictions(
    read: Series, predicted: Array, trust: Trust, start: datetime, readings: Sequence[Observation]
) -> tuple[Contradiction, ...]:
    odd, settled = conditioning.disagree(read, predicted, trust)
    expected = between(predicted, read.row).mean(axis=1)
    hours = np.array([(one.at - start) / HOUR for one in readings])
    out: list[Contradiction] = []
    for k in np.flatnonzero(odd):
        which = readings[int(np.argmin(np.abs(hours - read.ends[k])))]
        out.append(
            Contradiction(
                which.kind,
                start + float(read.row[k]) * HOUR,
                float(read.value[k]),
                float(expected[k]),
                bool(settled[k]),
            )
        )
    return tuple(out)


def after_concrete_readings(
    scenario: Scenario, simulation: Histories, prior: Prior, seed: Seed
) -> tuple[Histories, tuple[Contradiction, ...]]:
    """Histories after probe and surface readings; what contradicts the model.

    A probe moves the mean of the section, an infrared reading its face; the other places follow
    as far as the members' own temperatures go together. Ages follow by the rate law.
    """
    heated = scenario.site.kind == "heated room"
    lasts_h = HEATING_OFF_H if heated else LASTS_H
    mean, top, cold = simulation.mean_C, simulation.top_C, simulation.coldest_C
    odd: tuple[Contradiction, ...] = ()
    for kind, sd_K in READING_SD_K.items():
        found = scenario.readings(simulation.hour[-1], kind)
        if not found:
            continue
        read = conditioning.series([(hour, reading.value) for hour, reading in found])
        readings = [reading for _, reading in found]
        place_C = mean if kind == "concrete" else top
        trust = Trust(np.maximum(place_C.std(axis=1), 0.05), CONCRETE_MEMORY, 0.0, sd_K)
        shift, left = conditioning.moved(place_C, read, trust, stream(kind, seed))
        shift += conditioning.carried(read, left, len(place_C), lasts_h, stream("lasting", seed))
        odd += _contradictions(read, place_C, trust, scenario.placement.at, readings)
        mean, top, cold = (one + _follows(one, place_C) * shift for one in (mean, top, cold))
    if mean is simulation.mean_C:
        return simulation, odd
    return simulation._replace(
        mean_C=mean,
        coldest_C=cold,
        top_C=top,
        te_mean_h=_aged(simulation.te_mean_h, simulation.mean_C, mean, prior),
        te_cold_h=_aged(simulation.te_cold_h, simulation.coldest_C, cold, prior),
    ), odd


def _follows(one: Array, other: Array) -> Array:
    """How far a place of the section goes with another at each hour, (rows, 1), 0 to 1.

    Source: regression of the members' temperatures on each other.
    """
    apart = other - other.mean(axis=1, keepdims=True)
    spread = np.sum(apart**2, axis=1, keepdims=True)
    together = np.sum(apart * (one - one.mean(axis=1, keepdims=True)), axis=1, keepdims=True)
    fraction = np.where(spread > 1e-9, together / np.maximum(spread, 1e-9), 1.0)
    return np.clip(fraction, 0.0, 1.0)


def _aged(te_h: Array, before_C: Array, after_C: Array, prior: Prior) -> Array:
    """Equivalent ages after the temperatures moved [h]; they never fall."""

    def pace(temperature: Array) -> Array:
        return maturity.rate(
            np.clip(temperature, -40, 100),
            activation_energy_kJ_mol=prior.activation_energy_kJ_mol,
            rise_kJ_mol_K=prior.rise_kJ_mol_K,
        )

    more = added_up(pace(after_C) - pace(before_C))
    return np.maximum.accumulate(np.maximum(te_h + more, 0.0), axis=0)


def weighing_until_h(scenario: Scenario, *kinds: str) -> float:
    """Hour from placing of the last that was seen of some kinds, or broken, and may weigh members
    instead of moving them [h]; minus infinite: there is none."""
    seen = [scenario.hour(one.at) for one in scenario.observations if one.kind in kinds]
    broken = [scenario.hour(test.at) for test in scenario.tests]
    return max((hour for hour in (*seen, *broken) if hour >= 0), default=-np.inf)


def weights(scenario: Scenario, trajectory: Trajectory) -> tuple[Array, Array, tuple[Message, ...]]:
    """Weight of each member after sets, strength tests and looks at the corner, sum 1, at least 32
    members' worth; and the chance that ice harmed it by each row, (rows, members), after them.

    A result has a small chance to say nothing of the piece, so that one far from every member
    weighs none of them. A cube of a piece that may have frozen fits a member whole, or harmed.
    """
    harm, log_weight = looks.after_looks(scenario, trajectory)
    _, kept = looks.strength_left(trajectory.frost_depth)
    notes: list[Message] = []
    for reading in scenario.observations:
        hour = scenario.hour(reading.at)
        if reading.kind not in SET_KINDS or not 0 < hour <= trajectory.hour[-1]:
            continue
        log_likelihood, outlier = _robust(set_missed(trajectory, reading, hour) / SEEN_SET_SD)
        if outlier:
            notes.append(Message("set_contradicts", {"reading": reading.kind, "after_h": hour}))
        log_weight += log_likelihood
    for test in scenario.tests:
        hour = scenario.hour(test.at)
        if not 0 <= hour <= trajectory.hour[-1]:
            continue
        missed, modelled = strength_missed(trajectory, test, hour)
        sd = BAR_SD if test.kind == "bar" else TEST_SD
        log_likelihood, outlier = _robust(missed / sd)
        if harm[int(hour)].any():
            log_sound, log_harmed, outlier = _robust_pair(
                missed / sd, (missed - np.log(kept)) / sd, harm[int(hour)]
            )
            harm, likely = looks.settled(harm, int(hour), np.exp(log_harmed), np.exp(log_sound))
            log_likelihood = np.log(np.maximum(likely, 1e-300))
        if outlier:
            predicted = {"foreseen_MPa": float(np.median(modelled))}
            values: dict[str, Value] = {"test": test.kind, "result_MPa": test.MPa, **predicted}
            notes.append(Message("test_contradicts", values))
        log_weight += log_likelihood
    return tempered(log_weight), harm, tuple(notes)


def set_missed(trajectory: Trajectory, reading: Observation, hour: float) -> Array:
    """Logarithm of each member's age at a set seen over the age at which it is due, (members,)."""
    age_h = np.maximum(trajectory.at(trajectory.te_mean_h, hour), 1e-3)
    return np.log(age_h / trajectory.set_h(reading.kind))


def strength_missed(trajectory: Trajectory, test: StrengthTest, hour: float) -> tuple[Array, Array]:
    """Logarithm of a result over each member's strength, and that strength in compression [MPa].

    A bar counts by the compression that goes with its bending.
    """
    modelled = np.maximum(trajectory.at(trajectory.strength_mean_MPa, hour), 1e-3)
    measured_MPa = test.MPa
    if test.kind == "bar":
        measured_MPa = float(strength.strength_for_flexure(min(test.MPa, 20.0)))
    return np.log(measured_MPa / modelled), modelled


def _robust(miss: Array) -> tuple[Array, bool]:
    """Log-likelihood of a result by what each member misses it by, in standard deviations; and
    whether it more likely says nothing of the piece than something.

    It counts by the chance that it does say something, judged by all members together.

    Source: contaminated normal (Tukey 1960, from memory); OWN_JUDGEMENT for the chance.
    """
    sound, _, outlier = _robust_pair(miss, miss, np.zeros(len(miss)))
    return sound, outlier


def _robust_pair(sound: Array, harmed: Array, harm: Array) -> tuple[Array, Array, bool]:
    """The same for members that may be harmed: by what each misses it by if it is sound, and if it
    is harmed, and the chance that it is, (members,) each."""
    fit = (1 - harm) * np.exp(-0.5 * sound**2) + harm * np.exp(-0.5 * harmed**2)
    fits = (1 - STRAY_CHANCE) * float(np.mean(fit))
    counts = fits / (fits + STRAY_CHANCE * STRAY_DENSITY)
    return -0.5 * counts * sound**2, -0.5 * counts * harmed**2, counts < 0.5


def tempered(log_weight: Array) -> Array:
    """Weights, flattened until at least LEAST_EFFECTIVE members speak (1 / sum of squares)."""
    for power in np.geomspace(1.0, 0.01, 40):
        weight = np.exp(power * (log_weight - log_weight.max()))
        weight /= weight.sum()
        if 1 / np.sum(weight**2) >= min(LEAST_EFFECTIVE, len(weight) / 2):
            break
    return np.asarray(weight)
