"""What a maker means to do with a piece, as it is told."""

from dataclasses import dataclass
from datetime import datetime

from models.air.place import KINDS
from models.concrete.section import FACES
from models.errors import InputError
from models.facts.protection import COVERS
from models.instants import aware
from models.steps import registry
from models.units import number_within, one_of

INDOORS = "indoors"  # the shop's own room
PLACES = (INDOORS, *KINDS)


@dataclass(frozen=True)
class Meant:
    """What its maker means to do: a step (again: `sand-2`), a cover to lay or take off, where to
    carry the piece, or when a heater or fan runs in the room in which it stands.

    cover : with `cover` what is laid, with `uncover` what comes off (untold: all that lies there)
    heat : [degC] 0 to 50 that a heated enclosure, or with `heat-on` the room, is kept at
    faces : with `cover` where a cover lies: top, sides (the top too) or all; untold: as the shop's
    place : with `carry-in` and `carry-out` where to: a kind of place, or the shop's own room
        (`indoors`, what carry-in means untold; carry-out means untold where it was poured)
    """

    step: str
    at: datetime
    cover: str | None = None
    heat: float | None = None
    place: str | None = None
    faces: str | None = None

    def __post_init__(self) -> None:
        object.__setattr__(self, "at", aware("at", self.at))
        if registry.step_of(registry.base_of(self.step)) is None:
            keys = " | ".join(registry.KEYS)
            again = " | ".join(f"{key}-2" for key in registry.REPEATED)
            allowed = f"one of {keys} | coat-1 ... coat-n | {again} ..."
            raise InputError("step", self.step, "not a known step", allowed)
        if self.cover is not None:
            one_of("cover", self.cover, COVERS)
            if self.step not in ("cover", "uncover"):
                wrong = f"nothing is laid by {self.step}"
                raise InputError("cover", self.cover, wrong, "only with cover or uncover")
        if self.faces is not None:
            one_of("faces", self.faces, FACES)
            if self.step != "cover" or self.cover is None:
                raise InputError("faces", self.faces, "no cover is told", "only with cover = ...")
        if self.place is not None:
            if self.step not in registry.CARRIES:
                wrong = f"nothing is carried by {self.step}"
                allowed = "only with " + " or ".join(registry.CARRIES)
                raise InputError("place", self.place, wrong, allowed)
            one_of("place", self.place, PLACES)
        heated = (self.step, self.cover) == ("cover", "heated enclosure")
        heated |= self.step == "heat-on" or self.place == "heated room"
        if heated and self.heat is None:
            raise InputError("heat", None, "is missing", "0 to 50 degC")
        if self.heat is not None:
            if not heated:
                allowed = 'only with cover = "heated enclosure", heat-on or place = "heated room"'
                raise InputError("heat", self.heat, "nothing here is heated", allowed)
            number_within("heat", self.heat, 0.0, 50.0, "degC")
