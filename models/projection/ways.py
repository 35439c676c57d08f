"""The ways a shop may pour: bare, under a cover it owns, with warm water, in a room of its own."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from models.concrete.section import Guard
from models.facts.protection import COVERS, INDOORS_EFFORT, WARM_WATER_EFFORT
from models.message import Message
from models.projection import fumes
from models.projection.scenario import Scenario

COVER_AFTER_H = 1.0  # a cover owned by the shop goes on, held off the face, when placing is over
OWNED_BY_DEFAULT = (Guard(0.0, None, "film"), Guard(0.0, None, "blanket"))
BARE = "bare"
WARM_WATER = "warm mixing water"
INDOORS = "indoors"


@dataclass(frozen=True)
class Way:
    """One way to pour; `effort` orders them by what they cost the maker."""

    words: str
    guards: tuple[Guard, ...]
    effort: float
    warm_water: bool = False
    indoors: bool = False


def ways(scenario: Scenario) -> tuple[Way, ...]:
    """Every way the shop has, the cheapest first; warm water is within reach of every shop."""
    owned = fumes.proposed(scenario.rules.owned or OWNED_BY_DEFAULT)
    plain = [Way(BARE, (), 0.0)] + [
        Way(_cover(guard, owned), (_on(guard),), COVERS[guard.kind].effort) for guard in owned
    ]
    found = plain + [_warmed(way) for way in plain]
    room = scenario.rules.indoors
    if room is not None and room.heater != fumes.BURNING:
        warmest = max(plain, key=_resistance)
        rooms = [_inside(way) for way in dict.fromkeys((plain[0], warmest))]
        found += rooms + [_warmed(way) for way in rooms]
    return tuple(sorted(found, key=lambda way: way.effort))


def answer(words: str) -> str:
    """The answer that names a way: pour, pour with film, pour indoors."""
    if words == BARE:
        return "pour"
    return f"pour {words}" if words.startswith(INDOORS) else f"pour with {words}"


def under(words: str) -> str:
    """A way within a sentence."""
    if words == BARE:
        return "left bare"
    return words if words.startswith(INDOORS) else f"with {words}"


def words_of(protection: Message) -> str:
    """The words of a way in an answer."""
    return str(protection.values["text"])


def _on(guard: Guard) -> Guard:
    return replace(guard, from_h=COVER_AFTER_H, to_h=None)


def _cover(guard: Guard, owned: Sequence[Guard]) -> str:
    """The trade word; the resistance or temperature beside it where two of a kind are owned."""
    if sum(other.kind == guard.kind for other in owned) == 1:
        return fumes.named(guard)
    R = COVERS[guard.kind].R_m2K_W if guard.R_m2K_W is None else guard.R_m2K_W
    told = f"R {R:g}" if guard.setpoint_C is None else f"{guard.setpoint_C:g} C"
    return fumes.named(guard, told)


def _resistance(way: Way) -> float:
    """Thermal resistance of its covers [m2K/W]; an enclosure of its own is not put in a room."""
    if any(guard.setpoint_C is not None for guard in way.guards):
        return -1.0
    told = (COVERS[g.kind].R_m2K_W if g.R_m2K_W is None else g.R_m2K_W for g in way.guards)
    return sum(told, 0.0)


def _warmed(way: Way) -> Way:
    words = {BARE: WARM_WATER, INDOORS: f"{INDOORS} with {WARM_WATER}"}.get(
        way.words,
        f"{way.words} and {WARM_WATER}" if way.indoors else f"{WARM_WATER} and {way.words}",
    )
    return replace(way, words=words, effort=way.effort + WARM_WATER_EFFORT, warm_water=True)


def _inside(way: Way) -> Way:
    words = INDOORS if way.words == BARE else f"{INDOORS} with {way.words}"
    return replace(way, words=words, effort=way.effort + INDOORS_EFFORT, indoors=True)
