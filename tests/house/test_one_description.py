"""A field of a noun is described once: every door and the science have the same fields."""

from collections.abc import Sequence
from dataclasses import fields
from typing import Any

import pytest
from pydantic import BaseModel
from sqlalchemy import inspect

from models import records
from models.air.place import Site
from models.coating.film import SealerSystem
from models.concrete.composition import Composition
from models.concrete.mixture import LabelStrength, Mixture
from models.concrete.recipe import Part
from models.concrete.section import Covering, MouldBoard
from models.facts.conversions import DIMENSIONS
from models.piece.shape import FaceTold, Insert, Opening, Shape
from models.planning.amounts import Choices
from models.simulation.batch import Batch
from models.simulation.scenario import Observation, Placement, StrengthTest
from service import scenario_file
from service.nouns import (
    amounts,
    batch,
    cover,
    mix,
    mould,
    piece,
    place,
    pour,
    reading,
    sealer,
    strength_test,
)
from service.nouns.base import kind_of
from service.nouns.form import Control
from tests.golden import scenario_keys

# the science, what a request may say, keys of a scenario file, what only the science has
NOUNS: list[tuple[type[Any], type[BaseModel], dict[str, str], set[str]]] = [
    (
        Mixture,
        mix.MixCreate,
        scenario_file.MIX,
        {"strength_factor", "set_factor", "water_cement_sd"},
    ),
    (LabelStrength, mix.LabelStrength, scenario_file.STRENGTH, set()),
    (Part, mix.RecipePart, scenario_file.PART, set()),
    (Choices, amounts.AmountsChoices, scenario_file.AMOUNTS, set()),
    (Composition, mix.Cement, scenario_file.CEMENT, set()),
    (Shape, piece.PieceCreate, scenario_file.PIECE, {"kind"}),
    (Opening, piece.Opening, scenario_file.OPENING, set()),
    (FaceTold, piece.FaceTold, scenario_file.FACE, set()),
    (Insert, piece.Insert, scenario_file.INSERT, set()),
    (MouldBoard, mould.MouldCreate, scenario_file.MOULD, set()),
    (
        Site,
        place.PlaceCreate,
        scenario_file.SITE,
        {"heated_hours", "lag_spread", "offset_sd_K"},
    ),
    (SealerSystem, sealer.SealerCreate, scenario_file.SEALER, set()),
    (Placement, pour.PourCreate, scenario_file.POUR, {"at"}),
    (Covering, cover.ProtectionCreate, scenario_file.COVERING, {"from_h", "to_h", "read_C"}),
    (
        Observation,
        reading.ReadingCreate,
        scenario_file.READING,
        {"value", "value_max", "wrong"},
    ),
    (Batch, batch.BatchCreate, scenario_file.BATCH, {"mixture"}),
    (StrengthTest, strength_test.StrengthTestCreate, scenario_file.TEST, set()),
]
PARTS = {"label", "cement", "openings", "recipe", "faces_told", "inserts"}  # tables of their own


@pytest.mark.parametrize(("science", "create", "keys", "own"), NOUNS)
def test_what_the_science_takes_every_door_takes(
    science: type, create: type[BaseModel], keys: dict[str, str], own: set[str]
) -> None:
    told = {one.name for one in fields(science)} - own
    assert told <= set(create.model_fields)
    named = {create.model_fields[name].alias or name for name in told - PARTS}
    assert named <= set(keys)


def test_the_keys_of_a_scenario_file_are_those_of_the_nouns() -> None:
    """`python tests/golden/scenario_keys.py` writes them anew."""
    assert scenario_keys.FILE.read_text(encoding="utf-8") == scenario_keys.written()


@pytest.mark.parametrize(
    ("noun", "controls", "prefix"),
    [
        (mix.MixCreate, mix.controls(), "mix."),
        (mix.Cement, mix.controls(), "mix.cement."),
        (mix.LabelStrength, mix.controls(), "mix.at0."),
        (mix.RecipePart, mix.controls(), "mix.part0."),
        (amounts.AmountsChoices, amounts.controls(), ""),
        (piece.PieceCreate, piece.controls(), "piece."),
        (piece.Opening, piece.controls(), "piece.hole0."),
        (piece.Insert, piece.controls(), "piece.insert0."),
        (mould.MouldCreate, mould.controls(()), "mould."),
        (place.PlaceCreate, place.controls("UTC"), "place."),
        (sealer.SealerCreate, sealer.controls(), "sealer."),
    ],
)
def test_the_phone_shows_every_field_of_a_noun_in_its_own_unit(
    noun: type[BaseModel], controls: Sequence[Control], prefix: str
) -> None:
    shown = {one.name.removeprefix(prefix): one for one in controls}
    wanted = set(noun.model_fields) - PARTS - {"confirm"}
    assert wanted <= set(shown)
    for name in wanted:
        assert shown[name].dimension in ("", "count", kind_of(noun, name).dimension)
        if kind_of(noun, name).dimension:
            assert shown[name].dimension == kind_of(noun, name).dimension


@pytest.mark.parametrize("noun", [create for _, create, _, _ in NOUNS])
def test_every_quantity_has_a_dimension_that_is_known(noun: type[BaseModel]) -> None:
    numbers = [name for name in noun.model_fields if kind_of(noun, name).type is float]
    assert all(kind_of(noun, name).dimension in DIMENSIONS for name in numbers)


def test_no_row_leaves_out_what_its_noun_may_say() -> None:
    for table, create in (
        (records.Mix, mix.MixCreate),
        (records.Piece, piece.PieceCreate),
        (records.Mould, mould.MouldCreate),
        (records.Place, place.PlaceCreate),
        (records.Sealer, sealer.SealerCreate),
        (records.Pour, pour.PourCreate),
        (records.Batch, batch.BatchCreate),
        (records.Reading, reading.ReadingCreate),
        (records.StrengthTest, strength_test.StrengthTestCreate),
    ):
        columns = set(inspect(table).columns.keys())
        answers = {"confirm", "mould_held"}  # to what castclock asks
        assert set(create.model_fields) - {"protections", *answers} <= columns
