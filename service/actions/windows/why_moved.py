"""Why a window moved since the last projection, in words with numbers."""

from datetime import timedelta
from typing import Any

from models.message import Message
from models.records import Projection
from service.answer_hours import air_by_hour
from service.answers import AnswerResponse, ConcreteResponse, read_answer

LEAST_MOVE = timedelta(minutes=30)
WORTH_A_DEGREE_K = 0.5
CHANGED = (
    ("pour", "pour_corrected"),
    ("protections", "cover_changed"),
    ("steps", "step_changed"),
    ("learned", "learned_changed"),
    ("batches", "batches_changed"),
)
COUNTED = (("readings", "readings"), ("strength_tests", "tests"))


def why_moved(
    before: Projection,
    answer: AnswerResponse,
    concrete: ConcreteResponse | None,
    inputs: dict[str, Any],
) -> Message | None:
    """None unless a window moved by more than half an hour, appeared or went."""
    moved = _moves(read_answer(before.answer), answer)
    if not moved:
        return None
    reasons = _air_change(before.concrete, concrete) + _reasons(before.inputs, inputs)
    if not reasons:
        reasons = [Message("as_time_went_on")]
    return Message("moved", {"moves": tuple(moved), "reasons": tuple(reasons)})


def says_the_same(before: AnswerResponse, after: AnswerResponse) -> bool:
    """Whether two answers tell every step the same state, and its hour within the least move."""
    states = [[(step.step, step.state) for step in one.steps] for one in (before, after)]
    return states[0] == states[1] and not _moves(before, after)


def _moves(before: AnswerResponse, after: AnswerResponse) -> list[Message]:
    old = {step.step: step.earliest.safe for step in before.steps}
    out = []
    for step in after.steps:
        name, now_at, was_at = step.step, step.earliest.safe, old.get(step.step)
        if name not in old or now_at == was_at or step.state == "done":
            continue
        if now_at is None:
            out.append(Message("moved_untold", {"key": name}))
        elif was_at is None:
            out.append(Message("moved_told", {"key": name}))
        else:
            by = now_at - was_at
            if abs(by) > LEAST_MOVE:
                code = "moved_later" if by > timedelta(0) else "moved_earlier"
                out.append(Message(code, {"key": name, "by": _span(abs(by))}))
    return out


def _reasons(before: dict[str, Any], after: dict[str, Any]) -> list[Message]:
    out = [Message(code) for key, code in CHANGED if before.get(key) != after.get(key)]
    for key, name in COUNTED:
        fresh = set(after.get(key, ())) - set(before.get(key, ()))
        gone = set(before.get(key, ())) - set(after.get(key, ()))
        if fresh:
            out.append(Message(f"{name}_new", {"count": len(fresh)}))
        if gone:
            out.append(Message(f"{name}_gone", {"count": len(gone)}))
    if before.get("weather_run_id") != after.get("weather_run_id"):
        source = after.get("weather_source")
        new = Message("weather_new", {"source": source}) if source else Message("weather_gone")
        out.append(new)
    return out


def _air_change(before: dict[str, Any] | None, after: ConcreteResponse | None) -> list[Message]:
    """Over how many hours the air is now colder or warmer than was forecast, and by how much."""
    if before is None or after is None:
        return []
    was = air_by_hour(before)
    apart = [
        now_C - was_C
        for at, now_C in zip(after.time, after.air_C.p50, strict=True)
        if now_C is not None and (was_C := was.get(at)) is not None
    ]
    changed = [by for by in apart if abs(by) >= WORTH_A_DEGREE_K]
    if not changed:
        return []
    mean = sum(changed) / len(changed)
    if abs(mean) < WORTH_A_DEGREE_K:  # now warmer, now colder: nothing that a sentence can say
        return []
    code = "air_colder" if mean < 0 else "air_warmer"
    return [Message(code, {"apart_K": abs(mean), "over_h": float(len(changed))})]


def _span(by: timedelta) -> Message:
    minutes = round(by.total_seconds() / 60)
    if minutes < 120:
        return Message("span_min", {"span_min": minutes})
    return Message("span_h", {"span_h": minutes / 60})
