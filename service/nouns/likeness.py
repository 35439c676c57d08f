"""A pour beside another: what is told of it."""

from datetime import datetime

from pydantic import BaseModel

Fact = float | str | None


class BesideRead(BaseModel):
    """One fact; `dimension` of a number: temperature_C, time_h, ratio."""

    model_config = {"from_attributes": True}

    what: str
    then: Fact
    now: Fact
    differs: bool
    dimension: str


class LikenessRead(BaseModel):
    """`then` is of the other pour; colours are not judged before `judge_from`."""

    model_config = {"from_attributes": True}

    pour_id: int
    other_id: int
    piece: str
    other: str
    placed_at: datetime
    other_placed_at: datetime
    facts: list[BesideRead]
    judge_from: datetime
