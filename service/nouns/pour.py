"""A pour: logged, corrected, closed."""

from datetime import datetime

from pydantic import Field, model_validator

from models.errors import InputError
from models.facts.finishes import MOST_PRODUCTS
from models.facts.measures import MEASURES
from models.records.fields import Instant, Key, Note, Volume, YesNo
from models.records.pour import PourBase, PourDetails
from service.nouns.base import Confirmable, RequestBody, ResponseBody, Stored
from service.nouns.controls import Controls
from service.nouns.cover import ProtectionCreate
from service.nouns.form import Control
from service.nouns.mix import MixPoured
from service.nouns.mould import MouldPoured
from service.nouns.piece import PiecePoured
from service.nouns.place import PlacePoured
from service.nouns.sealer import SealerPoured
from service.vocabulary import MeasureKind, MouldRoom
from service.words import word

MUST_STAY = (
    "mix_id",
    "piece_id",
    "place_id",
    "placed_at",
    "water_added_l",
    "measures",
    "sealer_then",
    "burner_fitted",
    "delivered",
    "note",
)


MOST_THEN = MOST_PRODUCTS - 1
AGAINST_DRYING = "against drying in the first hours"


class MouldHeld(RequestBody):
    """What is answered where the mould holds another pour (409, code mould_held)."""

    pour_id: Key = Field(description="the other pour, as the refusal named it")
    what: MouldRoom
    stripped_at: Instant | None = Field(
        default=None,
        description="when the first of the two left the mould; left out: as the second was poured",
    )


class PourCreate(PourBase, Confirmable):
    measures: list[MeasureKind] = Field(default_factory=list, description=AGAINST_DRYING)
    placed_at: Instant | None = Field(default=None, description="now when left out")
    sealer_then: list[Key] = Field(default_factory=list, max_length=MOST_THEN)
    protections: list[ProtectionCreate] = Field(default_factory=list, max_length=20)
    mould_held: MouldHeld | None = None


class AlsoPoured(RequestBody):
    """A further piece of the mixing of a pour."""

    piece_id: Key
    mould_id: Key | None = None
    mould_held: MouldHeld | None = None


class PourAlso(RequestBody):
    """Pieces of one mixing: each gets a pour of its own, with its own windows."""

    pieces: list[AlsoPoured] = Field(min_length=1, max_length=12)


class PourChange(PourDetails, Confirmable):
    """Only what is named is changed."""

    mix_id: Key | None = None
    piece_id: Key | None = None
    place_id: Key | None = None
    placed_at: Instant | None = None
    water_added_l: Volume | None = None
    measures: list[MeasureKind] | None = Field(default=None, description=AGAINST_DRYING)
    sealer_then: list[Key] | None = Field(default=None, max_length=MOST_THEN)
    burner_fitted: YesNo | None = None
    delivered: YesNo | None = Field(default=None, description="it goes to a client")
    note: Note | None = None
    mould_held: MouldHeld | None = None

    @model_validator(mode="after")
    def _stays(self) -> "PourChange":
        for name in MUST_STAY:
            if name in self.model_fields_set and getattr(self, name) is None:
                raise InputError(name, None, "cannot be emptied", "a value, or leave the field out")
        return self


class PouredRead(ResponseBody):
    """Rows as they were poured; what is changed of them later changes no pour by itself."""

    piece: PiecePoured
    mix: MixPoured
    place: PlacePoured
    mould: MouldPoured | None = None
    sealer: SealerPoured | None = None
    sealer_then: dict[str, SealerPoured] = Field(default_factory=dict, description="by their key")


class PourAgain(PourChange):
    """What is told goes before what the pour takes from the one it is poured like."""

    protections: list[ProtectionCreate] | None = Field(default=None, max_length=20)


class SeriesDifference(ResponseBody):
    """One field and what it was in each; null: not told, or none. A row of the shop by its name."""

    field: str
    before: str | float | None
    now: str | float | None


class SeriesRead(ResponseBody):
    """Where a pour stands in its series."""

    number: int | None = Field(description="null: it was lost, or logged by mistake")
    of: int | None = Field(description="how many are to be made; null: nobody told")
    pour_ids: list[int]
    before_id: int | None = Field(description="the one poured last before it")
    differs: list[SeriesDifference] = Field(description="from the one before it")


class PourRead(PourBase, Stored):
    series_id: int | None = Field(description="the first of its series; null: it is that itself")
    measures: list[MeasureKind] = Field(description=AGAINST_DRYING)
    poured: PouredRead
    placed_at: datetime
    poured_with_id: int | None = Field(description="the pour whose batches are its own too")
    closed_at: datetime | None
    closed_why: str


class PoursRead(ResponseBody):
    pours: list[PourRead]


class PourClose(RequestBody):
    why: Note = Field(default="finished", description="finished | lost | logged by mistake ...")


_pour = Controls(PourCreate)
CONCRETE = _pour("concrete_C", "Concrete as placed", hint="15 C or 59 F; empty: as the air")


def controls() -> list[Control]:
    """What is told of a pour beside its rows and its time."""
    measures = tuple((name, word("measure", name)) for name in MEASURES)
    return [
        CONCRETE,
        _pour("water_added_l", "Water above the label", hint="2 l or 2 qt; empty: none"),
        _pour("bags", "Bags", hint="3 or 2 1/2"),
        _pour("delivered", "It goes to a client"),
        _pour("bag_C", "Dry mix as stored", hint="12 C or 54 F; empty: as the air"),
        _pour("water_C", "Mixing water", hint="15 C or 59 F"),
        _pour("board_C", "Mould as it is cast in", hint="10 C or 50 F; empty: as the air"),
        _pour("placing_h", "Mixing and placing takes", hint="45 min"),
        _pour("series_of", "How many of it are to be made", hint="6; empty: no series"),
        _pour("measures", "Against drying in the first hours", "boxes", options=measures),
        _pour("burner_fitted", "Its burner: a licensed fitter connected and tried it"),
        _pour("note", "Note"),
    ]
