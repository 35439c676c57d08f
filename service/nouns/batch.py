"""One batch of a pour, as it was mixed."""

from collections.abc import Sequence
from datetime import datetime

from models.records.batch import BatchBase
from models.records.fields import Instant
from models.simulation.batch import LAYERS
from service.nouns.base import RequestBody, Stored
from service.nouns.controls import Controls
from service.nouns.form import Control
from service.vocabulary import LayerKind
from service.words import word

LAYER_OPTIONS = tuple((name, word("layer", name)) for name in LAYERS)


class BatchCreate(BatchBase, RequestBody):
    layer: LayerKind | None = None
    at: Instant | None = None


class BatchRead(BatchBase, Stored):
    pour_id: int
    at: datetime


_batch = Controls(BatchCreate)


def controls(mixes: Sequence[tuple[str, str]] = ()) -> list[Control]:
    """mixes : those of the shop, of which a layer may be"""
    return [
        _batch("bags", "Bags", hint="3 or 2 1/2"),
        _batch("water_l", "Water", hint="6 l or 6.3 qt"),
        _batch("concrete_C", "Its temperature", hint="18 C or 64 F"),
        _batch("at", "When (empty: now)"),
        _batch("thickness_mm", "How thick it lies", hint="3 mm or 1/8 in; empty: by its bags"),
        _batch("layer", "Layer", "choice", options=(("", "the piece has none"), *LAYER_OPTIONS)),
        _batch("mix_id", "Its mix", "key", options=(("", "that of the pour"), *mixes)),
        _batch("note", "Note"),
    ]
