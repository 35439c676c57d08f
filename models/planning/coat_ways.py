"""The ways of the next coat: as the piece stands, under a roof, in a room, in a tent, with electric
heat or a fan. Each is the plan with some acts more, on the same members."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from models import results
from models.facts.sealers import HEATED_C, Sheet
from models.message import Message, Sentence
from models.piece import quantities
from models.piece.handling import hands_for
from models.planning import coat_reasons, fumes
from models.planning.compare import Acts, Asked, compare
from models.simulation import stays
from models.simulation.meant import INDOORS
from models.simulation.physics import Simulation
from models.simulation.plan import PlanEntry
from models.simulation.scenario import Scenario
from models.steps import registry, seal
from models.steps.opening import Span, StepOpening, Trajectory

AHEAD_H = 24.0  # of forecast after the damp cure, else no way can be told apart
FOLLOWS_H = 24.0  # a coat within a day of its last condition waits for that, not for the air
HERE = Message("coat_way_here")
Openings = Sequence[tuple[StepOpening, Span]]


@dataclass(frozen=True)
class CoatChange:
    """What is done for a coat beside the plan, and what it asks for."""

    way: Message
    acts: Acts
    asks: Sentence = ()


def told(
    scenario: Scenario,
    simulation: Simulation,
    plan: results.CoatPlan,
    listed: Openings,
    now_h: float,
) -> tuple[results.CoatWay, ...]:
    """Every way that the maker has for the next coat; none before the forecast reaches it.

    plan, listed : the coats as the piece stands, and its steps with their spans
    """
    step = next((one.step for one in plan.coats if one.done_at is None), None)
    from_h = _from_h(simulation, now_h)
    if step is None or not from_h + AHEAD_H <= simulation.known_h:
        return ()
    changes = list(_changes(scenario, simulation, from_h, step))
    if not changes:
        return ()
    here = CoatChange(HERE, ())
    out = [_told(scenario, simulation.trajectory, here, plan, _of(listed, step), now_h)]
    ways = (one.acts for one in changes)
    table = compare(scenario, simulation, ways, now_h, Asked(coats=True))
    for change, row in zip(changes, table, strict=True):
        assert row.coated is not None
        assert row.dried is not None
        found = _of(row.coated.openings, step)
        out.append(_told(scenario, row.dried.trajectory, change, row.coated.plan, found, now_h))
    return tuple(out)


def _of(listed: Openings, step: str) -> tuple[StepOpening, Span]:
    return next(one for one in listed if one[0].step == step)


def _from_h(simulation: Simulation, now_h: float) -> float:
    """From when a piece may be moved and dried for its coats [h]: the damp cure has ended."""
    plan = simulation.plan
    return max(now_h, plan.hour("strip"), plan.hour("end-wet-cure"))


def _changes(
    scenario: Scenario, simulation: Simulation, from_h: float, step: str
) -> Iterator[CoatChange]:
    """The ways of a maker: a roof over a yard, the shop's own room, its tent, electric heat and a
    fan where walls are. Heat that burns in a closed place is never one."""
    moved = stays.of_plan(scenario, simulation.plan)
    site = moved[-1].site if moved else scenario.site
    heat_on = PlanEntry("heat-on", from_h, heat=HEATED_C)
    fan_on = PlanEntry("fan-on", from_h)
    later = step != "coat-1"  # what dries the piece is no fan, what dries a coat is
    values = {"setpoint_C": HEATED_C}
    if site.is_room:
        if site.kind == "unheated room":
            yield CoatChange(Message("coat_way_heat", values), (heat_on,), (fumes.ELECTRIC_ONLY,))
        if later and not (moved and moved[-1].fan):
            yield CoatChange(Message("coat_way_fan"), (fan_on,))
        return
    if site.kind == "open yard":
        roof = PlanEntry("carry-in", from_h, place="covered")
        yield CoatChange(Message("coat_way_roof"), (roof,))
    room = scenario.rules.indoors
    if room is not None and room.heater != fumes.BURNING and not scenario.on_ground:
        kg = quantities.mass_kg(scenario.shape.volume_l, scenario.mixture.density_kg_m3)
        carried = PlanEntry("carry-in", from_h, place=INDOORS)
        hands = (hands_for(kg),)
        yield CoatChange(Message("coat_way_indoors"), (carried,), hands)
        if room.kind == "unheated room":
            way = Message("coat_way_indoors_heat", values)
            yield CoatChange(way, (carried, heat_on), (*hands, fumes.ELECTRIC_ONLY))
        if later:
            yield CoatChange(Message("coat_way_indoors_fan"), (carried, fan_on), hands)
    for cover in fumes.proposed(scenario.resolved().covers):
        if cover.setpoint_C is not None:
            way = Message("coat_way_tent", {"setpoint_C": cover.setpoint_C})
            tent = PlanEntry("carry-in", from_h, place="heated room", heat=cover.setpoint_C)
            yield CoatChange(way, (tent,), (fumes.ELECTRIC_ONLY,))


def _told(
    scenario: Scenario,
    trajectory: Trajectory,
    change: CoatChange,
    plan: results.CoatPlan,
    found: tuple[StepOpening, Span],
    now_h: float,
) -> results.CoatWay:
    opening, when = found
    acts = tuple(
        results.PlanEntry(
            one.step, scenario.instant(one.at_h), "default", None, one.heat, one.place
        )
        for one in change.acts
    )
    return results.CoatWay(
        change.way,
        opening.step,
        scenario.clock(when.p50),
        scenario.clock(when.p90),
        scenario.clock(when.safe),
        _governs(scenario, trajectory, opening, when, plan, now_h),
        change.asks,
        acts,
    )


def _governs(
    scenario: Scenario,
    trajectory: Trajectory,
    opening: StepOpening,
    when: Span,
    plan: results.CoatPlan,
    now_h: float,
) -> Sentence:
    """What opens last at even odds: a condition of the piece, the coat under it, or the air."""
    hours = [trajectory.hour_by(one.opens_h, 0.5) for one in opening.conditions]
    last = int(np.argmax(hours)) if hours else None
    ready_h = now_h if last is None else max(hours[last], now_h)
    if not np.isfinite(when.p50):
        if last is not None and hours[last] >= trajectory.forecast_rows - 1:
            return (_comes(scenario, opening, last, hours[last]),)
        return plan.says[:1]
    if when.p50 - ready_h > FOLLOWS_H:
        number = registry.coat_number(opening.step) or 1
        sheet = scenario.resolved().product_of(number).sheet
        air = _in_the_air(sheet, trajectory, ready_h, when.p50)
        if air is not None:
            return (air,)
    if last is not None and hours[last] > now_h:
        return (_comes(scenario, opening, last, hours[last]),)
    number = registry.coat_number(opening.step) or 1
    return plan.coats[number - 1].why or (Message("coat_way_ready"),)


def _comes(scenario: Scenario, opening: StepOpening, last: int, hour: float) -> Message:
    says = opening.conditions[last].says
    at = (Message("comes_at", {"at": scenario.clock(hour)}),) if np.isfinite(hour) else ()
    return replace(says, values={**says.values, "comes": at})


def _in_the_air(sheet: Sheet, trajectory: Trajectory, from_h: float, to_h: float) -> Message | None:
    """What of the air fails in most of the hours that it waits through; None: nothing does."""
    local = seal.local_conditions(trajectory, np.arange(np.ceil(from_h), to_h))
    named = {**seal.conditions(local, sheet), "rain": seal.dry(local)}
    bad = {name: int((mask @ trajectory.weight < 0.5).sum()) for name, mask in named.items()}
    worst = max(coat_reasons.ORDER, key=lambda name: bad[name])
    return coat_reasons.limit(sheet, worst) if bad[worst] else None
