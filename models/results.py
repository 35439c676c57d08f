"""What an answer is: codes, numbers and instants. Sentences are made of it in service/words."""

from dataclasses import dataclass
from datetime import datetime

from models.message import Message, Sentence
from models.units import Array

ALERTS = ("fumes", "frost", "rain", "wind")  # kinds
STATES = ("not yet", "open", "closing", "past", "done", "blocked", "frozen")


@dataclass(frozen=True)
class Need:
    """What a step asks for: `value` of a quantity in `unit`."""

    quantity: Message
    value: float
    unit: str


@dataclass(frozen=True)
class Earliest:
    """When a step opens: at even odds, at 90 %, and at its level of certainty."""

    p50: datetime | None
    p90: datetime | None
    safe: datetime | None


@dataclass(frozen=True)
class StepWindow:
    """One step: when it opens (even odds, 90 %, its level), when it closes, and why."""

    step: str
    state: str
    p50: datetime | None
    p90: datetime | None
    safe: datetime | None
    latest: datetime | None
    need: Need
    because: Sentence
    earlier_if: tuple[Message, ...] = ()
    cautions: tuple[Message, ...] = ()
    sources: tuple[str, ...] = ()  # keys of models.sources
    missed: Message | None = None  # what to do when the window is past
    done_at: datetime | None = None
    confidence: float | None = None  # chance now that the need is met
    after: str = ""  # the step that comes first and is not marked done
    by_check: bool = False  # the hand decides: its window is told from even odds on
    reason: Message | None = None  # why it waits, where that is no matter of time alone
    level: float | None = None  # chance at which it is called safe; None: it has no hour

    @property
    def earliest(self) -> Earliest:
        """Its opening instants."""
        return Earliest(self.p50, self.p90, self.safe)


@dataclass(frozen=True)
class Bands:
    """10, 50 and 90 % of the members at each time."""

    p10: Array
    p50: Array
    p90: Array


@dataclass(frozen=True)
class ConcreteHistory:
    """Hourly from placing on; empty when there is no weather."""

    times: tuple[datetime, ...]
    mean_C: Bands
    coldest_C: Bands
    air_C: Bands
    equivalent_age_h: Bands
    ttf_C_h: Bands
    strength_MPa: Bands
    pore_rh: Bands  # at the test depth, dimensionless


@dataclass(frozen=True)
class Surely:
    """Strength [MPa] that is reached at a chance, hourly from placing on: where it is slowest, and
    of the section. level : dimensionless, 0 to 1"""

    level: float
    slowest_MPa: Array
    section_MPa: Array


@dataclass(frozen=True)
class Drawn:
    """What a picture draws beside the bands: no answer hangs on it.

    surely : at even odds, at the shop's confidence, and at that of a lost piece
    rain_chance : of rain on the piece in each hour, dimensionless, 0 to 1
    forecast_until : where the weather that is known ends
    """

    surely: tuple[Surely, ...]
    rain_chance: Array
    forecast_until: datetime


@dataclass(frozen=True)
class Alert:
    """What the coming weather may do, and the last instant at which the remedy still is enough.

    kind : one of ALERTS
    chance, after : 0 to 1, as it is and with the remedy (None: not known)
    """

    kind: str
    chance: float
    at: datetime
    act_by: datetime
    remedy: Message | None
    after: float | None
    text: Message


@dataclass(frozen=True)
class FrostWatch:
    """A piece that cannot be sure to bear a frost: until when, its chance to freeze, its coldest
    place in the next three days at 90 % [degC]; the strength that bears one [MPa]."""

    until: datetime | None
    chance: float
    lowest_C: float | None
    need_MPa: float = 3.5
    young_after: Message | None = None  # it bears none yet when those days end


@dataclass(frozen=True)
class FrostBranch:
    """A piece that ice harmed while it was young: told apart from the windows, which are those of
    one that it did not.

    chance, came : that it does, and what of it lies behind, 0 to 1; at : when, at even odds
    depth_mm, strength_left : how deep [mm], and the fraction kept there, at even odds
    strip, turn : when they would be safe; None: not within the answer
    text : all of it with what settles it
    """

    chance: float
    came: float
    at: datetime | None
    depth_mm: float
    strength_left: float
    strip: datetime | None
    turn: datetime | None
    text: Message


@dataclass(frozen=True)
class PlannedCoat:
    """One coat: begun at, at the latest until; the air must hold, and it is dry to the touch.

    chance : share of the members in which it and the coats before it hold
    """

    step: str
    at: datetime | None
    until: datetime | None
    hold_until: datetime | None
    touch_dry: datetime | None
    sealer_l: float
    water_l: float
    chance: float
    why: Sentence
    done_at: datetime | None = None


@dataclass(frozen=True)
class CoatWay:
    """The next coat done in one way: as the piece stands, or with acts more in its plan.

    p50, p90, safe : when it opens, as of a step; because : what governs that
    asks : what the way itself asks for, as people to carry the piece
    """

    way: Message
    step: str
    p50: datetime | None
    p90: datetime | None
    safe: datetime | None
    because: Sentence
    asks: Sentence = ()
    acts: tuple["PlanEntry", ...] = ()


@dataclass(frozen=True)
class PlannedProduct:
    """One product of a finish: its coats, litres for those left without and with waste.

    dwell_min : how long a coat stays wet [min]; wipe_at : when what is left of each is wiped off
    """

    sealer: Message
    coats: tuple[str, ...]
    net_l: float
    litres_l: float
    dwell_min: float | None
    wipe_at: tuple[datetime | None, ...]


@dataclass(frozen=True)
class CoatPlan:
    """The coats as one plan on the clock; chance: share of the members in which all of it holds.

    net_l, litres_l : sealer for the coats left, without and with waste
    ways : of the next coat, the way in which the piece stands first; none before they can be told
    products : of a finish of several, or of one that is wiped off
    """

    coats: tuple[PlannedCoat, ...]
    chance: float
    sure: bool
    area_m2: float
    net_l: float
    litres_l: float
    says: tuple[Message, ...]
    sealer: Message
    ways: tuple[CoatWay, ...] = ()
    products: tuple[PlannedProduct, ...] = ()


@dataclass(frozen=True)
class TurningWay:
    """A way of turning the piece or of carrying it flat: bending with the jerk and the strength it
    asks for [MPa], when it has that at even odds and at its level, and who holds it.

    turns : it comes to lie on its other face, or stands; else it is carried
    proposed : the way that the window of the turn is of
    people : None: it takes a hoist; gear : beside hands, what of it the shop has is in `can`
    not_this_way : why not, with another way that works where there is one
    """

    way: str
    stress_MPa: float
    need_MPa: float
    p50: datetime | None
    safe: datetime | None
    turns: bool
    proposed: bool
    people: int | None
    hands: Message
    gear: tuple[str, ...]
    can: bool
    not_this_way: Message | None = None
    level: float | None = None  # chance of `safe`


@dataclass(frozen=True)
class PlanEntry:
    """One act of the plan: a step, or a cover that is laid or taken off.

    set_by : default (by the program) | logged | maker
    cover : what is laid or taken off; None with `uncover`: all that lies there; heat : [degC]
    faces : where a cover that insulates lies: top | sides (the top too) | all
    place : where the piece is carried; None: carry-in to the shop's own room, carry-out back
    """

    step: str
    at: datetime
    set_by: str
    cover: str | None = None
    heat: float | None = None
    place: str | None = None
    faces: str | None = None


@dataclass(frozen=True)
class PourSummary:
    """The pour itself: what was cast, when and where, and how much of it."""

    name: str
    at: datetime
    piece: Message
    mix: Message
    place: str
    volume_l: float
    mass_kg: float
    caution: Message
    bags_net: float | None = None  # None: the yield of a bag is not known
    bags: int | None = None


@dataclass(frozen=True)
class Projection:
    """Everything a door shows about one pour."""

    pour: PourSummary
    concrete: ConcreteHistory | None
    steps: tuple[StepWindow, ...]
    warnings: tuple[Message, ...]
    evidence: Message | None = None  # the reading that would help most
    alerts: tuple[Alert, ...] = ()
    frost_watch: FrostWatch | None = None
    coat_plan: CoatPlan | None = None
    plan: tuple[PlanEntry, ...] = ()  # what was done and is meant, by the clock
    frost: FrostBranch | None = None  # what if it froze
    if_covered: Message | None = None  # the cover not yet confirmed that the windows hang on
    drawn: Drawn | None = None  # None where there is no weather
    ways: tuple[TurningWay, ...] = ()  # of turning it, in the order of their hours; none once done
    fresh_mm: float | None = None  # deepest that pressed its walls at once, by its batches


@dataclass(frozen=True)
class TriedStep:
    """A step under a plan that is tried: its window, and the hour at which it is meant.

    set_by : default | logged | maker; chance : that it is open at the hour meant, 0 to 1
    """

    window: StepWindow
    meant_at: datetime | None
    set_by: str
    chance: float | None


@dataclass(frozen=True)
class Trial:
    """What another plan brings: the next steps; the chance that ice harms the piece in the watched
    hours, 0 to 1, and its coldest corner in them, at 10 % [degC]."""

    steps: tuple[TriedStep, ...]
    frost_chance: float
    lowest_C: float


@dataclass(frozen=True)
class Risk:
    """One danger of one start under one cover: its probability, or its value against a limit.

    allowed : the probability of it that a pour may run, by its harm
    """

    risk: str
    probability: float
    value: float
    limit: float
    unit: str
    allowed: float

    @property
    def forbids(self) -> bool:
        return self.probability > self.allowed


@dataclass(frozen=True)
class PourOption:
    """One start hour under one protection.

    risks : what forbids it first, the worse harm before the lesser, then the likelier
    excess : chance over what the shop allows, summed over its risks; 0 where it passes
    frost_chance, lowest_C : 0 to 1, and the coldest corner until it bears a frost, at 10 % [degC];
        None for a mix too cold to place, which is not watched further
    heat_from : when the heat of a tent begins that stands about the mould before the pour
    """

    start: datetime
    protection: Message
    passes: bool
    risks: tuple[Risk, ...]
    strip_p90: datetime | None
    turn_p90: datetime | None
    effort: float  # order of what it costs the maker
    cautions: tuple[Message, ...] = ()  # what does not stop the pour: a float in the dark
    indoors: bool = False  # in the shop's own room instead of the place asked about
    excess: float = 0.0
    frost_chance: float | None = None
    lowest_C: float | None = None
    heat_from: datetime | None = None


@dataclass(frozen=True)
class PourAnswer:
    """pour | pour with a protection | wait, with the table behind it."""

    answer: Message
    wait_until: datetime | None
    because: Sentence
    options: tuple[PourOption, ...]
    cautions: tuple[Message, ...]
    sources: tuple[str, ...]  # keys of models.sources
