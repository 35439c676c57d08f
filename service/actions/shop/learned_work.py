"""How long a shop takes for its work, by the minutes it logged."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace

from sqlmodel import Session

from models.concrete.mixture import Mixture
from models.errors import InputError
from models.message import Message
from models.piece.shape import Shape
from models.planning.courses import Works, work_on
from models.planning.learned_work import LAST, STEPS, Pace, Took, at_pace, paces
from models.records import Pour, StepDone
from models.simulation.scenario import Scenario
from service.actions.windows import scenario_rows
from service.queries.observed import timed
from service.queries.poured import named_by, poured

ACT_OF = {step: act for act, steps in STEPS.items() for step in steps}


@dataclass(frozen=True)
class Learned:
    """By act the pace of the shop; of what nobody timed as is usual."""

    of: Mapping[str, Pace] = field(default_factory=dict)

    def work_on(self, shape: Shape, mixture: Mixture) -> Works:
        return at_pace(work_on(shape, mixture), self.of)

    def work_of(self, scenario: Scenario, done: Iterable[StepDone]) -> Works:
        """That of a pour: what was timed of it by its own minutes."""
        works = self.work_on(scenario.shape, scenario.mixture)
        own: dict[str, float] = {}
        for one in done:
            if one.took_min is not None and one.step in ACT_OF:
                act = ACT_OF[one.step]
                own[act] = own.get(act, 0.0) + one.took_min
        timed = {act: replace(getattr(works, act), minutes=each) for act, each in own.items()}
        return replace(works, **timed)

    def told(self) -> tuple[Message, ...]:
        """Which minutes are the shop's own."""
        return tuple(
            Message(f"learned_{act}", {"times": round(one.times, 2), "told": one.told})
            for act, one in self.of.items()
        )


def learned(session: Session) -> Learned:
    """From the last steps that somebody timed, against what is usual for their pieces."""
    rows = timed(session, tuple(ACT_OF), LAST * len(ACT_OF))
    held = named_by(session, [pour for pour, _ in rows])  # else each is asked for once a pour
    found = Learned(paces(_took(session, rows)))
    del held
    return found


def _took(session: Session, rows: list[tuple[Pour, StepDone]]) -> Iterator[Took]:
    """Of each pour the minutes of each act, all its steps together."""
    sums: dict[tuple[int, str], float] = {}
    pours: dict[int, Pour] = {}
    for pour, done in rows:
        key = (pour.id, ACT_OF[done.step])
        sums[key] = sums.get(key, 0.0) + float(done.took_min or 0)
        pours[pour.id] = pour
    for (pour_id, act), minutes in sums.items():
        try:
            of = poured(session, pours[pour_id])
            usual = work_on(scenario_rows.shape_of(of.piece), scenario_rows.mixture_of(of.mix))
        except InputError:
            continue  # a row of long ago that no rule takes any more
        yield Took(act, minutes, getattr(usual, act).minutes)
