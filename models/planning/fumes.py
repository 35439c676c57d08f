"""Heat that burns into a closed place: told first wherever it is told of, and never proposed."""

from collections.abc import Iterable
from dataclasses import replace

import numpy as np

from models.concrete.section import FACES, Covering
from models.message import Message
from models.simulation.scenario import Scenario

BURNING = "unvented"
FUMES, HEAT_UNTOLD = Message("fumes"), Message("heat_untold")
REACHES = {faces: Message(f"cover_{faces}") for faces in FACES}
HEATS = ELECTRIC, VENTED = Message("heat_electric"), Message("heat_vented")


ELECTRIC_ONLY = Message("heat_electric_only")


def from_h(scenario: Scenario, now_h: float) -> float:
    """Hour from placing at which a heater burns into the place of the piece, not before now;
    infinite: none does any more."""
    if scenario.site.heater == BURNING:
        return now_h
    off_h = scenario.done_h.get("uncover", np.inf)
    burning = [
        max(covering.from_h, now_h)
        for covering in scenario.coverings
        if covering.heater == BURNING and now_h < min(covering.until_h, off_h)
    ]
    return min(burning, default=np.inf)


def warnings(scenario: Scenario, now_h: float) -> list[Message]:
    """What is said of the heat about a piece."""
    if np.isfinite(from_h(scenario, now_h)):
        return [FUMES]
    untold = (g for g in scenario.coverings if g.kind == "heated enclosure" and g.heater is None)
    return [HEAT_UNTOLD] if any(now_h < covering.until_h for covering in untold) else []


def cautions(scenario: Scenario) -> list[Message]:
    """What is said first to whoever may pour: also of what the shop owns and has not chosen yet."""
    rules = scenario.rules
    heated = (*scenario.coverings, *rules.owned, scenario.site, rules.indoors)
    burns = any(one is not None and one.heater == BURNING for one in heated)
    return [FUMES] if burns else []


def proposed(owned: Iterable[Covering]) -> list[Covering]:
    """The covers that may be proposed: none with a heater that burns inside it. One that insulates
    hangs down the sides, unless it is told how far it reaches."""
    return [
        replace(one, faces="sides") if one.faces is None and one.insulates else one
        for one in owned
        if one.heater != BURNING
    ]


def heat_of(covering: Covering) -> Message:
    """The kind of its heat; one that was not told is proposed as electric."""
    return VENTED if covering.heater == "vented" else ELECTRIC


def cover(covering: Covering, *apart: Message) -> Message:
    """A cover, the kind of its heat or where it lies, and what tells it from its like."""
    beside = (heat_of(covering),) if covering.heats else ()
    if covering.insulates:
        beside = (REACHES[covering.reach],)
    if not apart and not beside:
        return Message("cover", {"cover": covering.kind})
    return Message("cover_with", {"cover": covering.kind, "with": (*apart, *beside)})
