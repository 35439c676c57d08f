"""What may be left out of a piece that is told, by whichever door."""

from collections.abc import Mapping
from typing import Any

from models.errors import InputError


def as_circle(told: Mapping[str, Any]) -> dict[str, Any]:
    """What is told of a piece; a round panel of one measure is as wide as it is long."""
    if told.get("shape") == "round-panel" and told.get("width_mm") is None:
        return {**told, "width_mm": told.get("length_mm")}
    return dict(told)


def across(hole: Mapping[str, Any]) -> Any:
    """The second measure of an opening; that of a round one may be left out.

    Raises InputError where a rectangle has one measure.
    """
    told = hole.get("width_mm")
    if told is not None:
        return told
    if hole.get("form") == "round":
        return hole.get("length_mm")
    wrong = "a rectangle has two measures"
    raise InputError("width_mm", None, wrong, 'a length, or form = "round"')
