"""One caution for each step and product, before the hints of the trade: never a litany."""

from collections.abc import Callable
from dataclasses import replace

from models.facts.hazards import GENERAL, MILD, OF_CHEMISTRY, OF_STEP
from models.message import Message
from models.results import StepWindow
from models.steps import registry

PREFIX = "hazard_"


def hazard_of(step: str, chemistry: str | None) -> Message | None:
    """What of a step hurts people, as a message; None of a step that has no hazard of its own.

    chemistry : of the product of a coat; None: not told, and what is said of all coats stays
    Source: HSE_CIS26, OSHA_SILICA, HSE_ISOCYANATES, HSE_RCD, UN_GHS; facts.hazards has each.
    """
    coat = registry.coat_number(step) is not None or step == "reseal"
    key = OF_CHEMISTRY.get(chemistry or "") if coat else OF_STEP.get(step)
    return None if key is None else Message(PREFIX + key.replace("-", "_"))


def one_caution(
    steps: tuple[StepWindow, ...], chemistry_of: Callable[[int], str | None]
) -> tuple[StepWindow, ...]:
    """Steps with the hazard of each first, in the place of what is said of all such steps.

    chemistry_of : of the product that the coat of a number is of; None: no sealer is told
    Source: OWN_JUDGEMENT: who reads five cautions minds none.
    """
    out = []
    for step in steps:
        number = registry.coat_number(step.step)
        chemistry = chemistry_of(number or 1)
        hazard = hazard_of(step.step, chemistry)
        kept = step.cautions
        if hazard is not None or (number is not None and chemistry in MILD):
            kept = tuple(one for one in kept if one.code not in GENERAL)
        first = () if hazard is None or step.state in ("done", "past") else (hazard,)
        out.append(replace(step, cautions=(*first, *kept)))
    return tuple(out)
