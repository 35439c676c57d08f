"""The batches that a piece is filled with: what each tells, and what they tell together."""

from dataclasses import dataclass
from datetime import datetime

from models.concrete.mixture import Mixture
from models.instants import aware
from models.units import one_of, optional_within

CONCRETE_C = (1.0, 50.0)  # as placed
LAYERS = FACE, BACKING = ("face", "backing")


@dataclass(frozen=True)
class Batch:
    """One batch as it went in; what nobody told of it is as the pour tells it.

    thickness_mm : how deep it lies in the mould; not told: by its share of the bags
    layer : a key of LAYERS where the piece is made of a face coat and its backing
    mixture : where it is another mix than the pour's
    """

    at: datetime
    bags: float | None = None
    water_l: float | None = None
    concrete_C: float | None = None
    thickness_mm: float | None = None
    layer: str | None = None
    mixture: Mixture | None = None

    def __post_init__(self) -> None:
        object.__setattr__(self, "at", aware("at", self.at))
        limits = (
            ("bags", 0.1, 500.0, "bags"),
            ("water_l", 0.0, 1000.0, "l"),
            ("concrete_C", *CONCRETE_C, "degC"),
            ("thickness_mm", 0.5, 3000.0, "mm"),
        )
        optional_within(self, limits)
        if self.layer is not None:
            one_of("layer", self.layer, LAYERS)


@dataclass(frozen=True)
class Batched:
    """The batches of a pour, the oldest first, and what they tell of the whole.

    over_water_cement : by how much the wettest is over the water/cement ratio that its strength
        goes by, dimensionless
    labelled : the mix of the pour as its label stands for it, whatever its batches took of water;
        None where its strength goes by the recipe, so by that water
    others : mixes in the piece beside that of the pour, as their strength goes by, each with how
        far its wettest batch is over that
    older_h : how long before the youngest the oldest went in, where the pour counts from that [h]
    """

    batches: tuple[Batch, ...] = ()
    over_water_cement: float = 0.0
    labelled: Mixture | None = None
    older_h: float = 0.0
    others: tuple[tuple[Mixture, float], ...] = ()
