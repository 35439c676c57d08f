"""A cube, cylinder or bar that was broken."""

from datetime import datetime

from models.records.fields import Instant
from models.records.strength_test import StrengthTestBase
from models.simulation.scenario import TEST_KINDS
from service.nouns.base import RequestBody, Stored
from service.nouns.controls import Controls, listed
from service.vocabulary import TestKind

TEST_WORDS = {"cube": "cube, crushed", "cylinder": "cylinder, crushed", "bar": "bar, bent"}


class StrengthTestWords(StrengthTestBase):
    kind: TestKind


class StrengthTestCreate(StrengthTestWords, RequestBody):
    at: Instant | None = None


class StrengthTestRead(StrengthTestWords, Stored):
    pour_id: int
    at: datetime


_kinds = listed({kind: TEST_WORDS[kind] for kind in TEST_KINDS})
_test = Controls(StrengthTestCreate)
CONTROLS = [
    _test("kind", "What was broken", "radio", options=_kinds, default="cube", needed=True),
    _test("MPa", "Strength", hint="12.5 MPa or 1800 psi", needed=True),
    _test("at", "When (empty: now)"),
    _test("note", "Note"),
]
