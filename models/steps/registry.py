"""Every step of a pour, in the order of the trade: the one list that all others ask.

A step is its entry here, its criterion in this folder, its words (service/words), and its tests.

Stages, in the order in which a pour goes through them:

    fresh    finish, cover                        while the face can be worked; frost counts later
    mould    knock-out, core, strip, turn         the mould goes
    cure     end-wet-cure, uncover                protection ends
    face     sand, hone                           never under a film or on the mould
    repair   patch
    dry      dry-to-seal                          where no sealer is told, it ends here
    coat     coat-1 ... coat-n                    planned as a chain in planning/coat_plan.py
    use      rain-safe ... fire-2 ... reseal      after the last coat, likely and sure plan alike
    place    carry-in ... dry-off                 of a plan alone: where it stands, in what heat

What is done later in the stages fresh, mould, face and coat cannot have come before the steps
above it: they were done too, or nobody needs them any more.
"""

from collections.abc import Callable, Collection, Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

import numpy as np

from models.steps import cure, deliver, finish, heat, patch, protect, sand, strip, turn, use
from models.steps.case import Case, Setup
from models.steps.opening import Harm, StepOpening, level

Stage = Literal["fresh", "mould", "cure", "face", "repair", "dry", "coat", "use", "place"]
PROVES_EARLIER: tuple[Stage, ...] = ("fresh", "mould", "face", "coat")
OVERTAKEN: tuple[Stage, ...] = ("fresh", "mould", "dry", "coat")
COAT = "coat-"
CARRIES = ("carry-in", "carry-out")
OF_PLACE = (*CARRIES, "heat-on", "heat-off", "fan-on", "fan-off", "dry-on", "dry-off")
REPEATED = ("sand", "hone", "patch")  # a plan may have these again, as `sand-2`


@dataclass(frozen=True)
class Step:
    """One step.

    criterion : when its members open and close; None where planning.timeline finds it: of coats,
        which are planned as a chain, and of what comes before them
    listed : whether a pour as it is set up has this step
    follows : the steps that are never done after it; marking them in another order is refused
    """

    key: str
    stage: Stage
    criterion: Callable[[Case], StepOpening] | None
    follows: tuple[str, ...] = ()
    listed: Callable[[Setup], bool] = lambda setup: True
    by_moisture: bool = False  # cannot be judged without the moisture of the air
    need_drawn: bool = False  # the strength it needs is a line in the picture
    ends_covers: bool = False  # who marks it takes every cover off
    lasting: bool = False  # owed long after the pour is finished
    harm: Harm = "blemish"  # what is at stake when it is done too early

    @property
    def by_warmth(self) -> bool:
        """Whether it hangs on how warm the concrete was, and so on readings that agree."""
        return self.stage not in ("dry", "coat", "use", "place")


def _sealed(setup: Setup) -> bool:
    return setup.sealed


def _after_fire(under: str) -> Callable[[Setup], bool]:
    """A later fire is told once the one before it has burned."""
    return lambda setup: under in setup.done


STEPS = (
    Step("finish", "fresh", finish.finish, listed=lambda setup: setup.shape.trowelled),
    Step("cover", "fresh", finish.cover, follows=("finish",), by_moisture=True),
    Step("knock-out", "mould", strip.knock_out, listed=lambda setup: setup.shape.has_knock_outs),
    Step(
        "core",
        "mould",
        strip.core,
        listed=lambda setup: setup.shape.has_core,
        need_drawn=True,
        harm="piece",
    ),
    Step(
        "strip",
        "mould",
        strip.walls,
        follows=("finish",),
        need_drawn=True,
    ),
    Step("turn", "mould", turn.turn, follows=("finish", "strip"), need_drawn=True, harm="person"),
    Step("end-wet-cure", "cure", cure.cure, need_drawn=True),
    Step(
        "uncover",
        "cure",
        protect.uncover,
        listed=lambda setup: setup.covered,
        ends_covers=True,
        harm="piece",
    ),
    Step("sand", "face", sand.sand, follows=("strip",), need_drawn=True),
    Step("hone", "face", sand.hone, follows=("strip", "sand"), need_drawn=True),
    Step("patch", "repair", patch.patch, listed=lambda setup: "patch" in setup.done),
    Step(
        "dry-to-seal",
        "dry",
        None,
        follows=("strip",),
        by_moisture=True,
        listed=lambda setup: not setup.sealed,
    ),
    Step(COAT, "coat", None, follows=("strip",), by_moisture=True),
    Step("rain-safe", "use", use.rain_safe, listed=_sealed),
    Step("light-use", "use", use.light_use, need_drawn=True, listed=_sealed),
    Step("full-use", "use", use.full_use, follows=("light-use",), harm="piece", listed=_sealed),
    Step(
        "load",
        "use",
        deliver.load,
        follows=("strip",),
        need_drawn=True,
        harm="piece",
        listed=lambda setup: setup.delivered,
    ),
    Step(
        "install",
        "use",
        deliver.install,
        follows=("load",),
        harm="piece",
        listed=lambda setup: setup.delivered,
    ),
    Step("first-heating", "use", heat.first_heating, by_moisture=True, harm="person"),
    *(
        Step(
            key,
            "use",
            heat.fire(number),
            follows=(heat.FIRST, *heat.LATER[: number - 2]),
            by_moisture=True,
            harm="person",
            listed=_after_fire((heat.FIRST, *heat.LATER)[number - 2]),
        )
        for number, key in enumerate(heat.LATER, 2)
    ),
    Step(
        "de-icing",
        "use",
        use.de_icing,
        listed=lambda setup: setup.sealed and setup.exposed_to_frost,
    ),
    Step("reseal", "use", use.reseal, lasting=True, listed=_sealed),
    *(Step(key, "place", None, listed=lambda setup: False) for key in OF_PLACE),
)
KEYS = tuple(step.key for step in STEPS if step.key != COAT)
_BY_KEY = {step.key: step for step in STEPS}
_PLACE = {step.key: place for place, step in enumerate(STEPS)}


@lru_cache(maxsize=1024)
def coat_number(key: str) -> int | None:
    """2 of `coat-2`; None of every other step."""
    number = key.removeprefix(COAT)
    return int(number) if key != number and number.isdigit() and int(number) else None


def base_of(key: str) -> str:
    """`sand` of `sand-2`: the step that is done again; every other key as it is."""
    base, _, number = key.rpartition("-")
    return base if base in REPEATED and number.isdigit() and int(number) > 1 else key


@lru_cache(maxsize=1024)
def step_of(key: str) -> Step | None:
    """The entry of a step; of any coat that of the coats; None: there is no such step."""
    return _BY_KEY[COAT] if coat_number(key) else _BY_KEY.get(key if key != COAT else "")


def known(key: str) -> Step:
    """The entry of a step that is one. Raises KeyError for a key that is no step."""
    step = step_of(key)
    if step is None:
        raise KeyError(key)
    return step


def of_pour(setup: Setup) -> Iterator[tuple[str, Step]]:
    """Key and entry of every step that a pour has, in the order of the trade."""
    for step in STEPS:
        if step.stage == "coat":
            for number in range(1, setup.coats + 1):
                yield f"{COAT}{number}", step
        elif step.listed(setup) or (step.stage == "use" and step.key in setup.done):
            yield step.key, step


def level_of(key: str, confidence: float) -> float:
    """Chance at which a step counts as safe, 0 to 1: the shop's, or what its harm asks for."""
    return level(known(key).harm, confidence)


def level_of_opening(opening: StepOpening, confidence: float) -> float:
    """The same of a step as it was judged, which may do more harm than its like, 0 to 1."""
    return level(opening.harm or known(opening.step).harm, confidence)


@lru_cache(maxsize=1024)
def place(key: str) -> tuple[int, int]:
    """Its place in the order of the trade, coats by their number. Raises KeyError."""
    return _PLACE[known(key).key], coat_number(key) or 0


def later(key: str, made: Collection[str]) -> list[str]:
    """Of the steps made, those that cannot have been done before this one."""
    position = place(key)
    return [one for one in made if known(one).stage in PROVES_EARLIER and place(one) > position]


def first_done_h(key: str, done: Mapping[str, float]) -> float:
    """Hour from placing at which a step was done at the latest [h]: its own, or that of the first
    step that cannot have been done before it; infinite: neither was."""
    return min((done[one] for one in (key, *later(key, done)) if one in done), default=np.inf)


def overtaken(key: str, made: Collection[str]) -> bool:
    """Whether a later step was done, so that this one needs no word."""
    return known(key).stage in OVERTAKEN and bool(later(key, made))


def before(key: str) -> set[str]:
    """The steps that are never done after this one."""
    number = coat_number(key) or 1
    return {*known(key).follows, *(f"{COAT}{k}" for k in range(1, number))}
