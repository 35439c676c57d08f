"""What a projection says, and the JSON shape in which it is told (contract of the command line)."""

from dataclasses import asdict, dataclass
from datetime import datetime
from typing import Any

import numpy as np

from models.steps.opening import Need
from models.units import Array

STATES = ("not yet", "open", "closing", "past", "done", "blocked", "frozen")


@dataclass(frozen=True)
class Reason:
    """Why a step waits, for programs: a code, and the values that go with it."""

    code: str
    values: dict[str, Any]


@dataclass(frozen=True)
class StepWindow:
    """One step: when it opens (even odds, and sure enough), when it closes, and why."""

    step: str
    state: str
    p50: datetime | None
    p90: datetime | None
    latest: datetime | None
    need: Need
    because: str
    earlier_if: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    sources: tuple[str, ...] = ()
    missed: str = ""  # what to do when the window is past
    done_at: datetime | None = None
    confidence: float | None = None  # chance now that the need is met
    after: str = ""  # the step that comes first and is not marked done
    by_check: bool = False  # the hand decides: its window is told from even odds on
    reason: Reason | None = None  # why it waits, where that is no matter of time alone


@dataclass(frozen=True)
class Bands:
    """10, 50 and 90 % of the members at each time."""

    p10: Array
    p50: Array
    p90: Array

    def as_json(self) -> dict[str, list[float | None]]:
        return {name: _numbers(getattr(self, name)) for name in ("p10", "p50", "p90")}


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
class Alert:
    """What the coming weather may do, and the last instant at which the remedy still is enough.

    kind : frost | rain | wind
    chance, after : 0 to 1, as it is and with the remedy (None: not known)
    """

    kind: str
    chance: float
    at: datetime
    act_by: datetime
    remedy: str
    after: float | None
    text: str


@dataclass(frozen=True)
class FrostWatch:
    """A piece that cannot be sure to bear a frost: until when, its chance to freeze, its coldest
    place in the next three days at 90 % [degC]."""

    until: datetime | None
    chance: float
    lowest_C: float | None


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
    why: str
    done_at: datetime | None = None


@dataclass(frozen=True)
class CoatPlan:
    """The coats as one plan on the clock; chance: share of the members in which all of it holds.

    net_l, litres_l : sealer for the coats left, without and with waste
    """

    coats: tuple[PlannedCoat, ...]
    chance: float
    sure: bool
    area_m2: float
    net_l: float
    litres_l: float
    says: tuple[str, ...]
    sealer: str

    def as_json(self) -> dict[str, Any]:
        times = ("at", "until", "hold_until", "touch_dry", "done_at")
        return {
            "coats": [
                {
                    **asdict(one),
                    **{name: _iso(getattr(one, name)) for name in times},
                    "sealer_l": round(one.sealer_l, 3),
                    "water_l": round(one.water_l, 3),
                    "chance": round(one.chance, 3),
                }
                for one in self.coats
            ],
            "chance": round(self.chance, 3),
            "sure": self.sure,
            "area_m2": round(self.area_m2, 3),
            "net_l": round(self.net_l, 3),
            "litres_l": round(self.litres_l, 3),
            "says": list(self.says),
            "sealer": self.sealer,
        }


@dataclass(frozen=True)
class Projection:
    """Everything a door shows about one pour."""

    pour: dict[str, Any]
    concrete: ConcreteHistory | None
    steps: tuple[StepWindow, ...]
    warnings: tuple[str, ...]
    evidence: str = ""  # the reading that would help most
    alerts: tuple[Alert, ...] = ()
    frost_watch: FrostWatch | None = None
    coat_plan: CoatPlan | None = None

    def as_json(self) -> dict[str, Any]:
        concrete: dict[str, Any] | None = None
        if self.concrete is not None:
            history = self.concrete
            concrete = {"time": [_iso(at) for at in history.times]}
            for name in (
                "mean_C",
                "coldest_C",
                "air_C",
                "equivalent_age_h",
                "ttf_C_h",
                "strength_MPa",
                "pore_rh",
            ):
                concrete[name] = getattr(history, name).as_json()
        return {
            "pour": self.pour,
            "concrete": concrete,
            "steps": [_step_json(step) for step in self.steps],
            "warnings": list(self.warnings),
            "evidence": self.evidence,
            "alerts": [_alert_json(alert) for alert in self.alerts],
            "frost_watch": None if self.frost_watch is None else _watch_json(self.frost_watch),
            "coat_plan": None if self.coat_plan is None else self.coat_plan.as_json(),
        }


def _alert_json(alert: Alert) -> dict[str, Any]:
    return asdict(alert) | {"at": _iso(alert.at), "act_by": _iso(alert.act_by)}


def _watch_json(watch: FrostWatch) -> dict[str, Any]:
    return asdict(watch) | {"until": _iso(watch.until)}


@dataclass(frozen=True)
class Risk:
    """One danger of one start under one cover: its probability, or its value against a limit."""

    risk: str
    probability: float
    value: float
    limit: float
    unit: str


@dataclass(frozen=True)
class PourOption:
    """One start hour under one protection.

    risks : what forbids it first, the worse harm before the lesser, then the likelier
    excess : chance over what the shop allows, summed over its risks; 0 where it passes
    frost_chance, lowest_C : 0 to 1, and the coldest corner until it bears a frost, at 10 % [degC];
        None for a mix too cold to place, which is not watched further
    """

    start: datetime
    protection: str
    passes: bool
    risks: tuple[Risk, ...]
    strip_p90: datetime | None
    turn_p90: datetime | None
    effort: float  # order of what it costs the maker
    cautions: tuple[str, ...] = ()  # what does not stop the pour: a float in the dark, warm water
    indoors: bool = False  # in the shop's own room instead of the place asked about
    excess: float = 0.0
    frost_chance: float | None = None
    lowest_C: float | None = None


@dataclass(frozen=True)
class PourAnswer:
    """pour | pour with <protection> | wait, with the table behind it."""

    answer: str
    wait_until: datetime | None
    because: str
    options: tuple[PourOption, ...]
    cautions: tuple[str, ...]
    sources: tuple[str, ...]

    def as_json(self) -> dict[str, Any]:
        def option(o: PourOption) -> dict[str, Any]:
            return {
                "start": _iso(o.start),
                "protection": o.protection,
                "passes": o.passes,
                "risks": [dict(vars(risk)) for risk in o.risks],
                "strip_p90": _iso(o.strip_p90),
                "turn_p90": _iso(o.turn_p90),
                "effort": o.effort,
                "cautions": list(o.cautions),
                "indoors": o.indoors,
                "excess": o.excess,
                "frost_chance": o.frost_chance,
                "lowest_C": o.lowest_C,
            }

        return {
            "answer": self.answer,
            "wait_until": _iso(self.wait_until),
            "because": self.because,
            "options": [option(o) for o in self.options],
            "cautions": list(self.cautions),
            "sources": list(self.sources),
        }


def _step_json(step: StepWindow) -> dict[str, Any]:
    return {
        "step": step.step,
        "state": step.state,
        "earliest": {"p50": _iso(step.p50), "p90": _iso(step.p90)},
        "latest": _iso(step.latest),
        "need": asdict(step.need),
        "because": step.because,
        "earlier_if": list(step.earlier_if),
        "cautions": list(step.cautions),
        "sources": list(step.sources),
        "missed": step.missed,
        "done_at": _iso(step.done_at),
        "confidence": step.confidence,
        "after": step.after,
        "by_check": step.by_check,
        "reason": None if step.reason is None else asdict(step.reason),
    }


def _iso(at: datetime | None) -> str | None:
    return None if at is None else at.isoformat(timespec="seconds")


def _numbers(values: Array) -> list[float | None]:
    return [float(v) if np.isfinite(v) else None for v in np.round(values, 3)]
