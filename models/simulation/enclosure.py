"""Readings inside a heated tent are of the tent: a cold one says that its heat was off."""

from dataclasses import replace

from models.concrete.section import Guard
from models.message import Message, Value
from models.simulation.scenario import Observation, Scenario

OF_THE_TENT = ("air", "air-min-max")
COOLER_K = 2.0  # a tent so much cooler than it is kept has lost its heat, OWN_JUDGEMENT
SPEAKS_H = 3.0  # so far around it a reading speaks, where no other is nearer, OWN_JUDGEMENT


def as_read(scenario: Scenario) -> tuple[Scenario, tuple[Message, ...]]:
    """The scenario with its heated tents as warm as they were read; and what is said of it.

    A warm reading says that the tent is warm, as is known, and nothing of the place around it.
    """
    tents = [guard for guard in scenario.guards if guard.heats]
    inside = [
        one
        for one in scenario.observations
        if one.kind in OF_THE_TENT
        and any(g.from_h <= scenario.hour(one.at) < g.until_h for g in tents)
    ]
    if not inside:
        return scenario, ()
    spells = _spells([(scenario.hour(one.at), one) for one in inside])
    guards: list[Guard] = []
    notes: list[Message] = []
    for guard in scenario.guards:
        kept_C = guard.setpoint_C
        cold = [s for s in spells if kept_C is not None and s[2].value < kept_C - COOLER_K]
        guards += _cooled(guard, [(low, high, one.value) for low, high, one in cold])
        for _, _, one in cold[-1:]:
            values: dict[str, Value] = {"cover": guard.kind, "read_C": one.value, "at": one.at}
            notes.append(Message("heat_was_off", values | {"setpoint_C": kept_C}))
    left = tuple(one for one in scenario.observations if one not in inside)
    return replace(scenario, guards=tuple(guards), observations=left), tuple(notes)


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


def _cooled(guard: Guard, cold: list[tuple[float, float, float]]) -> list[Guard]:
    """A tent cut where it was colder than it is kept; the lowest counts where two speak."""
    cuts = sorted({guard.from_h, guard.until_h, *(h for a, b, _ in cold for h in (a, b))})
    cuts = [h for h in cuts if guard.from_h <= h <= guard.until_h]
    out = []
    for low, high in zip(cuts, cuts[1:], strict=False):
        values = [value for a, b, value in cold if a <= low and high <= b]
        part = replace(guard, from_h=low, to_h=None if high == float("inf") else high)
        if values:
            part = replace(part, read_C=min(values))
        out.append(part)
    return out
