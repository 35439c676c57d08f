"""The one door through which an answer becomes JSON: codes and numbers, and sentences for a reader.

Keys are a contract that others script against; sentences are made here, codes stand beside them.
"""

from collections.abc import Iterable
from dataclasses import asdict
from datetime import datetime
from typing import Any

import numpy as np

from models.message import Message, Value
from models.results import (
    Alert,
    Bands,
    CoatPlan,
    ConcreteHistory,
    FrostWatch,
    PlannedCoat,
    PourAnswer,
    PourOption,
    PourSummary,
    Projection,
    Risk,
    StepWindow,
)
from models.sources import SOURCES
from models.units import Array
from service.words import Reader, say, say_all, sentence

HISTORY = (
    "mean_C",
    "coldest_C",
    "air_C",
    "equivalent_age_h",
    "ttf_C_h",
    "strength_MPa",
    "pore_rh",
)


def projection_json(told: Projection, reader: Reader) -> dict[str, Any]:
    """A projection as `castclock timeline --json` tells it."""
    plan, watch = told.coat_plan, told.frost_watch
    return {
        "pour": _pour(told.pour, reader),
        "concrete": None if told.concrete is None else concrete_json(told.concrete),
        "steps": [step_json(step, reader) for step in told.steps],
        "warnings": say_all(told.warnings, reader),
        "warning_codes": codes(told.warnings),
        "evidence": _one(told.evidence, reader),
        "evidence_code": message_json(told.evidence),
        "alerts": [alert_json(alert, reader) for alert in told.alerts],
        "frost_watch": None if watch is None else _watch(watch),
        "coat_plan": None if plan is None else _coat_plan(plan, reader),
    }


def pour_answer_json(told: PourAnswer, reader: Reader) -> dict[str, Any]:
    """An answer as `castclock pour-check --json` tells it."""
    return {
        "answer": say(told.answer, reader),
        "answer_code": message_json(told.answer),
        "wait_until": _iso(told.wait_until),
        "because": sentence(told.because, reader),
        "reasons": codes(told.because),
        "options": [_option(option, reader) for option in told.options],
        "cautions": _sentences(told.cautions, reader),
        "caution_codes": codes(told.cautions),
        "sources": sources_told(told.sources),
    }


def concrete_json(history: ConcreteHistory) -> dict[str, Any]:
    """The hourly bands to three decimals; None where there is no number."""
    bands = {name: _bands(getattr(history, name)) for name in HISTORY}
    return {"time": [_iso(at) for at in history.times], **bands}


def message_json(message: Message | None) -> dict[str, Any] | None:
    """A code and its values."""
    if message is None:
        return None
    values = {key: _value(value) for key, value in message.values.items()}
    return {"code": message.code, "values": values}


def codes(messages: Iterable[Message]) -> list[dict[str, Any] | None]:
    """Codes beside the sentences that were made of them, in the same order."""
    return [message_json(message) for message in messages]


def sources_told(keys: Iterable[str]) -> list[str]:
    """`KEY: title` of each source, once."""
    return [f"{key}: {SOURCES[key].title}" for key in dict.fromkeys(keys)]


def _value(value: Value) -> Any:
    if isinstance(value, Message):
        return message_json(value)
    if isinstance(value, datetime):
        return _iso(value)
    if isinstance(value, tuple):
        return [_value(one) for one in value]
    if isinstance(value, dict):
        return {key: _value(one) for key, one in value.items()}
    return value


def _pour(pour: PourSummary, reader: Reader) -> dict[str, Any]:
    bags = {"bags_net": pour.bags_net, "bags": pour.bags} if pour.bags_net is not None else {}
    return {
        "name": pour.name,
        "at": _iso(pour.at),
        "piece": say(pour.piece, reader),
        "mix": say(pour.mix, reader),
        "place": pour.place,
        "volume_l": pour.volume_l,
        "mass_kg": pour.mass_kg,
        "caution": say(pour.caution, reader),
        **bags,
    }


def step_json(step: StepWindow, reader: Reader) -> dict[str, Any]:
    """One step of a projection."""
    return {
        "step": step.step,
        "state": step.state,
        "earliest": {"p50": _iso(step.p50), "p90": _iso(step.p90)},
        "latest": _iso(step.latest),
        "need": asdict(step.need) | {"quantity": say(step.need.quantity, reader)},
        "because": sentence(step.because, reader),
        "reasons": codes(step.because),
        "earlier_if": say_all(step.earlier_if, reader),
        "cautions": _sentences(step.cautions, reader),
        "sources": sources_told(step.sources),
        "missed": _one(step.missed, reader),
        "done_at": _iso(step.done_at),
        "confidence": step.confidence,
        "after": step.after,
        "by_check": step.by_check,
        "reason": message_json(step.reason),
    }


def alert_json(alert: Alert, reader: Reader) -> dict[str, Any]:
    """One alert of a projection."""
    return {
        "kind": alert.kind,
        "chance": alert.chance,
        "at": _iso(alert.at),
        "act_by": _iso(alert.act_by),
        "remedy": _one(alert.remedy, reader),
        "after": alert.after,
        "text": say(alert.text, reader),
        "code": message_json(alert.text),
    }


def _watch(watch: FrostWatch) -> dict[str, Any]:
    return {"until": _iso(watch.until), "chance": watch.chance, "lowest_C": watch.lowest_C}


def _coat_plan(plan: CoatPlan, reader: Reader) -> dict[str, Any]:
    return {
        "coats": [_coat(one, reader) for one in plan.coats],
        "chance": round(plan.chance, 3),
        "sure": plan.sure,
        "area_m2": round(plan.area_m2, 3),
        "net_l": round(plan.net_l, 3),
        "litres_l": round(plan.litres_l, 3),
        "says": say_all(plan.says, reader),
        "says_codes": codes(plan.says),
        "sealer": say(plan.sealer, reader),
    }


def _coat(coat: PlannedCoat, reader: Reader) -> dict[str, Any]:
    return {
        "step": coat.step,
        "at": _iso(coat.at),
        "until": _iso(coat.until),
        "hold_until": _iso(coat.hold_until),
        "touch_dry": _iso(coat.touch_dry),
        "sealer_l": round(coat.sealer_l, 3),
        "water_l": round(coat.water_l, 3),
        "chance": round(coat.chance, 3),
        "why": sentence(coat.why, reader),
        "done_at": _iso(coat.done_at),
    }


def _option(option: PourOption, reader: Reader) -> dict[str, Any]:
    return {
        "start": _iso(option.start),
        "protection": say(option.protection, reader),
        "protection_code": message_json(option.protection),
        "passes": option.passes,
        "risks": [_risk(risk, reader) for risk in option.risks],
        "strip_p90": _iso(option.strip_p90),
        "turn_p90": _iso(option.turn_p90),
        "effort": option.effort,
        "cautions": say_all(option.cautions, reader),
        "caution_codes": codes(option.cautions),
        "indoors": option.indoors,
        "excess": option.excess,
        "frost_chance": option.frost_chance,
        "lowest_C": option.lowest_C,
    }


def _risk(risk: Risk, reader: Reader) -> dict[str, Any]:
    return {
        "risk": say(Message("risk", {"risk": risk.risk}), reader),
        "code": risk.risk,
        "probability": risk.probability,
        "value": risk.value,
        "limit": risk.limit,
        "unit": risk.unit,
    }


def _sentences(messages: Iterable[Message], reader: Reader) -> list[str]:
    """Each message as a sentence of its own."""
    return [sentence((message,), reader) for message in messages]


def _bands(bands: Bands) -> dict[str, list[float | None]]:
    return {name: _numbers(band) for name, band in vars(bands).items()}


def _one(message: Message | None, reader: Reader) -> str:
    return "" if message is None else say(message, reader)


def _iso(at: datetime | None) -> str | None:
    return None if at is None else at.isoformat(timespec="seconds")


def _numbers(values: Array) -> list[float | None]:
    return [float(v) if np.isfinite(v) else None for v in np.round(values, 3)]
