"""Readings inside a heated tent are of the tent: a cold one says that its heat was off."""

from dataclasses import replace

from models.concrete.section import Covering
from models.facts.rooms import COOLER_K
from models.message import Message, Value
from models.simulation.scenario import Observation, Scenario

OF_THE_TENT = ("air", "air-min-max")
SPEAKS_H = 3.0  # so far around it a reading speaks, where no other is nearer, OWN_JUDGEMENT


def as_read(scenario: Scenario) -> tuple[Scenario, tuple[Message, ...]]:
    """The scenario with its heated tents as warm as they were read; and what is said of it.

    A warm reading says that the tent is warm, as is known, and nothing of the place around it.
    """
    tents = [covering for covering in scenario.coverings if covering.heats]
    inside = [
        one
        for one in scenario.observations
        if one.kind in OF_THE_TENT
        and any(g.from_h <= scenario.hour(one.at) < g.until_h for g in tents)
    ]
    if not inside:
        return scenario, ()
    spells = _spells([(scenario.hour(one.at), one) for one in inside])
    coverings: list[Covering] = []
    notes: list[Message] = []
    for covering in scenario.coverings:
        kept_C = covering.setpoint_C
        cold = [s for s in spells if kept_C is not None and s[2].value < kept_C - COOLER_K]
        coverings += _cooled(covering, [(low, high, one.value) for low, high, one in cold])
        for _, _, one in cold[-1:]:
            values: dict[str, Value] = {"cover": covering.kind, "read_C": one.value, "at": one.at}
            notes.append(Message("heat_was_off", values | {"setpoint_C": kept_C}))
    left = tuple(one for one in scenario.observations if one not in inside)
    return replace(scenario, coverings=tuple(coverings), observations=left), tuple(notes)


def _spells(read: list[tuple[float, Observation]]) -> list[tuple[float, float, Observation]]:
    """Each reading with the hours it speaks for: to half way to its neighbours, three at most; a
    lowest temperature for all the hours it was the lowest of."""
    read = sorted(read, key=lambda one: one[0])
    hours = [hour for hour, _ in read]
    out = []
    for k, (hour, one) in enumerate(read):
        before = 0.5 * (hour - hours[k - 1]) if k else SPEAKS_H
        after = 0.5 * (hours[k + 1] - hour) if k + 1 < len(read) else SPEAKS_H
        low, high = hour - min(before, SPEAKS_H), hour + min(after, SPEAKS_H)
        if one.kind == "air-min-max":
            low, high = hour - one.span_h, hour
        out.append((low, high, one))
    return out


def _cooled(covering: Covering, cold: list[tuple[float, float, float]]) -> list[Covering]:
    """A tent cut where it was colder than it is kept; the lowest counts where two speak."""
    cuts = sorted({covering.from_h, covering.until_h, *(h for a, b, _ in cold for h in (a, b))})
    cuts = [h for h in cuts if covering.from_h <= h <= covering.until_h]
    out = []
    for low, high in zip(cuts, cuts[1:], strict=False):
        values = [value for a, b, value in cold if a <= low and high <= b]
        part = replace(covering, from_h=low, to_h=None if high == float("inf") else high)
        if values:
            part = replace(part, read_C=min(values))
        out.append(part)
    return out
