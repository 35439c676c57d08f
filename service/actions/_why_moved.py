"""Why a window moved since the last projection, in words with numbers."""

from datetime import timedelta
from typing import Any

from models.records import Projection
from service.answer_models import AnswerResponse, read_answer

WORTH_TELLING = timedelta(minutes=30)
WORTH_A_DEGREE_K = 0.5


def why_moved(
    before: Projection,
    told: AnswerResponse,
    concrete: dict[str, Any] | None,
    inputs: dict[str, Any],
) -> str:
    """Empty unless a window moved by more than half an hour, appeared or went."""
    moved = _moves(read_answer(before.answer), told)
    if not moved:
        return ""
    reasons = _reasons(before.inputs, inputs)
    colder = _air_change(before.concrete, concrete)
    if colder:
        reasons.insert(0, colder)
    return f"{'; '.join(moved)}: {', '.join(reasons) or 'as time went on'}"


def _moves(before: AnswerResponse, after: AnswerResponse) -> list[str]:
    old = {step.step: step.earliest.p90 for step in before.steps}
    out = []
    for step in after.steps:
        name, now_at, was_at = step.step, step.earliest.p90, old.get(step.step)
        if name not in old or now_at == was_at or step.state == "done":
            continue
        if now_at is None:
            out.append(f"{name} cannot be told any more")
        elif was_at is None:
            out.append(f"{name} can be told now")
        else:
            by = now_at - was_at
            if abs(by) > WORTH_TELLING:
                out.append(f"{name} {_span(abs(by))} {'later' if by > timedelta(0) else 'earlier'}")
    return out


def _reasons(before: dict[str, Any], after: dict[str, Any]) -> list[str]:
    out = []
    for key, words in (
        ("pour", "the pour was corrected"),
        ("protections", "the cover was changed"),
        ("steps", "a step was marked or undone"),
        ("learned", "what had been learned was changed or forgotten"),
    ):
        if before.get(key) != after.get(key):
            out.append(words)
    for key, words in (("readings", "reading"), ("strength_tests", "strength test")):
        fresh = set(after.get(key, ())) - set(before.get(key, ()))
        gone = set(before.get(key, ())) - set(after.get(key, ()))
        if fresh:
            out.append(f"{len(fresh)} new {words}{'s' if len(fresh) > 1 else ''}")
        if gone:
            out.append(f"{len(gone)} {words}{'s' if len(gone) > 1 else ''} removed")
    if before.get("weather_run_id") != after.get("weather_run_id"):
        out.append(f"new weather ({after.get('weather_source') or 'none'})")
    return out


def _air_change(before: dict[str, Any] | None, after: dict[str, Any] | None) -> str:
    """Over how many hours the air is now colder or warmer than was forecast, and by how much."""
    if before is None or after is None:
        return ""
    was = dict(zip(before["time"], before["air_C"]["p50"], strict=True))
    apart = [
        (at, now_C - was_C)
        for at, now_C in zip(after["time"], after["air_C"]["p50"], strict=True)
        if now_C is not None and (was_C := was.get(at)) is not None
    ]
    changed = [(at, by) for at, by in apart if abs(by) >= WORTH_A_DEGREE_K]
    if not changed:
        return ""
    mean = sum(by for _, by in changed) / len(changed)
    words = "colder" if mean < 0 else "warmer"
    return f"air {abs(mean):.1f} K {words} than forecast over {len(changed)} h"


def _span(by: timedelta) -> str:
    minutes = round(by.total_seconds() / 60)
    return f"{minutes} min" if minutes < 120 else f"{minutes / 60:.1f} h"
