"""The ways a shop may pour: bare, under a cover it owns, with warm water, in a room of its own, in
a tent that is warm before the concrete comes."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from models.concrete.section import Covering
from models.facts.protection import COVERS, INDOORS_EFFORT, WARM_WATER_EFFORT
from models.message import Message
from models.planning import fumes
from models.simulation.scenario import Scenario

TENT = "heated enclosure"
HEATED_BEFORE = Message("heated_before")
COVER_AFTER_H = 1.0  # a cover owned by the shop goes on, held off the face, when placing is over
BARE = "way_bare"
CODES = {  # of a way by whether it is indoors, under a cover, with warm mixing water
    (False, False, False): BARE,
    (False, False, True): "way_warm_water",
    (False, True, False): "way_cover",
    (False, True, True): "way_cover_warm_water",
    (True, False, False): "way_indoors",
    (True, False, True): "way_indoors_warm_water",
    (True, True, False): "way_indoors_cover",
    (True, True, True): "way_indoors_cover_warm_water",
}


@dataclass(frozen=True)
class ProtectionOption:
    """One way to pour, bare or protected; `effort` orders them by what they cost the maker."""

    cover: Message | None
    coverings: tuple[Covering, ...]
    effort: float
    warm_water: bool = False
    indoors: bool = False
    heated_before: bool = False  # its tent stands and is warm when the concrete comes

    @property
    def message(self) -> Message:
        code = CODES[self.indoors, self.cover is not None, self.warm_water]
        return Message(code, {} if self.cover is None else {"cover": self.cover})


def options(scenario: Scenario) -> tuple[ProtectionOption, ...]:
    """Every way the shop has, the cheapest first; warm water is within reach of every shop."""
    owned = fumes.proposed(scenario.resolved().covers)
    plain = [ProtectionOption(None, (), 0.0)] + [
        ProtectionOption(
            _cover(covering, owned),
            (replace(covering, from_h=COVER_AFTER_H, to_h=None),),
            COVERS[covering.kind].effort,
        )
        for covering in owned
    ]
    tents = [option for option in plain if any(one.kind == TENT for one in option.coverings)]
    plain += [_before(option) for option in tents]
    found = plain + [_warmed(option) for option in plain]
    room = scenario.rules.indoors
    if room is not None and room.heater != fumes.BURNING:
        warmest = max(plain, key=_resistance)
        rooms = [_inside(option) for option in dict.fromkeys((plain[0], warmest))]
        found += rooms + [_warmed(option) for option in rooms]
    return tuple(sorted(found, key=lambda option: option.effort))


def _cover(covering: Covering, owned: Sequence[Covering]) -> Message:
    """The cover; its resistance or temperature beside it where two of a kind are owned."""
    if sum(other.kind == covering.kind for other in owned) == 1:
        return fumes.cover(covering)
    if covering.setpoint_C is not None:
        return fumes.cover(covering, Message("cover_kept", {"setpoint_C": covering.setpoint_C}))
    return fumes.cover(covering, Message("cover_resists", {"R_m2K_W": covering.resistance_m2K_W}))


def _resistance(option: ProtectionOption) -> float:
    """Thermal resistance of its covers [m2K/W]; an enclosure of its own is not put in a room."""
    if any(covering.setpoint_C is not None for covering in option.coverings):
        return -1.0
    return sum((covering.resistance_m2K_W for covering in option.coverings), 0.0)


def _before(option: ProtectionOption) -> ProtectionOption:
    """The same tent, heated before and about the piece from placing on."""
    cover = option.cover
    assert cover is not None
    beside = cover.values["with"]
    assert isinstance(beside, tuple)
    return replace(
        option,
        cover=Message(cover.code, {**cover.values, "with": (*beside, HEATED_BEFORE)}),
        coverings=tuple(replace(covering, from_h=0.0) for covering in option.coverings),
        heated_before=True,
    )


def _warmed(option: ProtectionOption) -> ProtectionOption:
    return replace(option, effort=option.effort + WARM_WATER_EFFORT, warm_water=True)


def _inside(option: ProtectionOption) -> ProtectionOption:
    return replace(option, effort=option.effort + INDOORS_EFFORT, indoors=True)
