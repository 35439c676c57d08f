"""Heat that burns into a closed place: told first wherever it is told of, and never proposed."""

from collections.abc import Iterable

import numpy as np

from models.concrete.section import Guard
from models.message import Message
from models.simulation.scenario import Scenario

BURNING = "unvented"
FUMES, HEAT_UNTOLD = Message("fumes"), Message("heat_untold")
HEATS = ELECTRIC, VENTED = Message("heat_electric"), Message("heat_vented")


def from_h(scenario: Scenario, now_h: float) -> float:
    """Hour from placing at which a heater burns into the place of the piece, not before now;
    infinite: none does any more."""
    if scenario.site.heater == BURNING:
        return now_h
    off_h = scenario.done_h.get("uncover", np.inf)
    burning = [
        max(guard.from_h, now_h)
        for guard in scenario.guards
        if guard.heater == BURNING and now_h < min(guard.until_h, off_h)
    ]
    return min(burning, default=np.inf)


def warnings(scenario: Scenario, now_h: float) -> list[Message]:
    """What is said of the heat about a piece."""
    if np.isfinite(from_h(scenario, now_h)):
        return [FUMES]
    untold = (g for g in scenario.guards if g.kind == "heated enclosure" and g.heater is None)
    return [HEAT_UNTOLD] if any(now_h < guard.until_h for guard in untold) else []


def cautions(scenario: Scenario) -> list[Message]:
    """What is said first to whoever may pour: also of what the shop owns and has not chosen yet."""
    rules = scenario.rules
    heated = (*scenario.guards, *rules.owned, scenario.site, rules.indoors)
    burns = any(one is not None and one.heater == BURNING for one in heated)
    return [FUMES] if burns else []


def proposed(owned: Iterable[Guard]) -> list[Guard]:
    """The covers that may be proposed: none with a heater that burns inside it."""
    return [guard for guard in owned if guard.heater != BURNING]


def cover(guard: Guard, *apart: Message) -> Message:
    """A cover, the kind of its heat, and what tells it from its like.

    Heat whose kind was not told is proposed as electric.
    """
    heat = (VENTED if guard.heater == "vented" else ELECTRIC,) if guard.heats else ()
    if not apart and not heat:
        return Message("cover", {"cover": guard.kind})
    return Message("cover_with", {"cover": guard.kind, "with": (*apart, *heat)})
