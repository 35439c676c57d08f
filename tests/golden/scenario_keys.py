"""Writes the keys of a scenario file from the nouns: python tests/golden/scenario_keys.py."""

import json
import sys
from pathlib import Path

from pydantic import BaseModel

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))

from service.nouns.amounts import AmountsChoices  # noqa: E402
from service.nouns.base import keys_of  # noqa: E402
from service.nouns.batch import BatchCreate  # noqa: E402
from service.nouns.cover import Cover  # noqa: E402
from service.nouns.mix import Cement, LabelStrength, MixCreate, RecipePart  # noqa: E402
from service.nouns.mould import MouldCreate  # noqa: E402
from service.nouns.piece import FaceTold, Insert, Opening, PieceCreate  # noqa: E402
from service.nouns.place import PlaceCreate  # noqa: E402
from service.nouns.pour import PourCreate  # noqa: E402
from service.nouns.reading import ReadingCreate  # noqa: E402
from service.nouns.sealer import SealerCreate  # noqa: E402
from service.nouns.strength_test import StrengthTestCreate  # noqa: E402

FILE = ROOT / "service" / "scenario_keys.json"
REGISTER = ("name", "piece_id", "alike_id")  # of the shop
# by table of a file its noun, and what of it is told otherwise there or not at all
NOUNS: dict[str, tuple[type[BaseModel], tuple[str, ...]]] = {
    "place": (PlaceCreate, ("name", "altitude_m")),
    "mix": (MixCreate, ()),
    "cement": (Cement, ()),
    "strength": (LabelStrength, ()),
    "part": (RecipePart, ()),
    "amounts": (AmountsChoices, ()),
    "piece": (PieceCreate, ("name", "exposed_to_frost", "confirm")),
    "opening": (Opening, ()),
    "face": (FaceTold, ()),
    "insert": (Insert, ()),
    "mould": (MouldCreate, REGISTER),
    "pour": (PourCreate, ("placed_at", "note", "confirm", "mould_held", "series_of")),
    "cover": (Cover, ("count",)),  # how many there are a file of orders tells
    "batch": (BatchCreate, ("note",)),
    "reading": (ReadingCreate, ("value_C", "value_max_C", "note", "confirm")),
    "strength_test": (StrengthTestCreate, ("note",)),
    "sealer": (SealerCreate, ("name", "price_l")),
}


def written() -> str:
    """The file: in the order of the nouns, in which a refusal lists what is allowed."""
    found = {name: keys_of(noun, *but) for name, (noun, but) in NOUNS.items()}
    return json.dumps(found, indent=2) + "\n"


if __name__ == "__main__":
    FILE.write_text(written(), encoding="utf-8")
