"""The ways to pour at one start, told by what the maker has to lay on or do, and what may go wrong.

Warm mixing water is advice to a way and no way of its own. A mix that is too cold as it comes was
not watched any further: what the same way does with warm water says what threatens it then.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from models.message import Message
from models.planning.fumes import REACHES
from models.planning.watch import COLD
from models.records import Place
from service.answers import PourOptionResponse, RiskResponse
from service.pages import view
from service.pages.prices import NO_PRICES, Prices
from service.words import Reader, chance, measure, say, say_all, word

SMALLEST = 0.005  # a chance that rounds to none is not told
WARM = "_warm_water"
EVEN = 0.5  # a cover that leaves more than even odds of harm is no help
DIMENSIONS = {  # of the unit that a risk is told in
    "degC": "temperature_C",
    "kg/m2h": "evaporation_kg_m2h",
    "mm/h": "rain_mm_h",
    "m/s": "speed_m_s",
}


@dataclass(frozen=True)
class Way:
    """One way: what is laid or done, whether it passes, its one risk, its price.

    water : how the mixing water or the tent is warmed; hangs : how far the cover does
    reads : all its risks, with the numbers behind them
    """

    words: str
    bare: bool
    indoors: bool
    passes: bool
    effort: float
    excess: float
    water: str
    hangs: str
    risk: str
    risk_code: str
    largest: float
    lowest: str
    price: str
    strip: view.Moment | None
    turn: view.Moment | None
    cautions: Sequence[str]
    reads: Sequence[tuple[bool, str]]
    option: PourOptionResponse


def of_start(
    options: Iterable[PourOptionResponse], clock: view.Clock, prices: Prices = NO_PRICES
) -> list[Way]:
    """The ways of one start: those that pass first, the least effort first; then the nearest."""
    pairs: dict[str, list[PourOptionResponse]] = {}
    for one in options:
        pairs.setdefault(key(one), []).append(one)
    ways = [_way(pair, clock, prices) for pair in pairs.values()]
    return sorted(ways, key=lambda way: (not way.passes, way.excess, way.effort))


def _plain(option: PourOptionResponse) -> Message:
    """The way without its water."""
    told = option.protection_code.message
    code = told.code.removesuffix(WARM)
    return Message("way_bare" if code == "way" else code, told.values)


def _warm(water: Message, reader: Reader) -> str:
    value = water.values["water_C"]
    assert isinstance(value, float | int)
    return measure(value, "temperature_C", reader)


def _said(plain: Message, reader: Reader) -> str:
    cover = plain.values.get("cover")
    short = {"cover": brief(cover)} if isinstance(cover, Message) else {}
    return say(Message(plain.code, short), reader)


def brief(cover: Message) -> Message:
    """A cover without how far it hangs, which is told beside it."""
    beside = cover.values.get("with", ())
    assert isinstance(beside, tuple)
    rest = tuple(one for one in beside if one not in REACHES.values())
    if rest:
        return Message(cover.code, {**cover.values, "with": rest})
    return Message("cover", {"cover": cover.values["cover"]})


def hangs(cover: object, reader: Reader) -> str:
    """How far a cover hangs; nothing of one that lies on the face alone."""
    beside = cover.values.get("with", ()) if isinstance(cover, Message) else ()
    assert isinstance(beside, tuple)
    near = (one for one in beside if isinstance(one, Message) and one in REACHES.values())
    return ", ".join(say_all(near, reader))


def key(option: PourOptionResponse) -> str:
    """What two starts have in common that are poured in one way; its water does not count."""
    plain = _plain(option)
    return f"{plain.code} {plain.values.get('cover')}"


def _way(pair: Sequence[PourOptionResponse], clock: view.Clock, prices: Prices) -> Way:
    """Of a way as it comes and its twin with warm water: the cheaper that passes, else the one that
    was watched to its end."""
    best = min(pair, key=lambda o: (not o.passes, o.frost_chance is None, o.effort))
    reader, risk = clock.reader, best.risks[0] if best.risks else None
    hours = clock.of_pour(best.start)
    water = next((c.message for c in best.caution_codes if c.code == "mixing_water"), None)
    heat = next((c.message for c in best.caution_codes if c.code == "heat_from"), None)
    rest = [
        one.message for one in best.caution_codes if one.code not in ("mixing_water", "heat_from")
    ]
    advice = (
        [say(Message("warm_the_water", {"water": _warm(water, reader)}), reader)] if water else []
    )
    advice += [say(Message("heat_first", heat.values), reader)] if heat else []
    told = risk if risk is not None and risk.probability >= SMALLEST else None
    return Way(
        words=_said(_plain(best), reader),
        bare=_plain(best).code == "way_bare",
        indoors=best.indoors,
        passes=best.passes,
        effort=best.effort,
        excess=best.excess,
        water=", ".join(advice),
        hangs=hangs(_plain(best).values.get("cover"), reader),
        risk=may_go_wrong(told, reader) if told else say(Message("nothing_likely"), reader),
        risk_code=told.code if told else "",
        largest=told.probability if told else 0.0,
        lowest="" if best.lowest_C is None else measure(best.lowest_C, "temperature_C", reader),
        price=prices.words(best, reader),
        strip=hours.window(best.strip_p90, None)[0],
        turn=hours.window(best.turn_p90, None)[0],
        cautions=[view.sentence(text) for text in say_all(rest, reader)],
        reads=[(_forbids(one), numbers(one, reader)) for one in best.risks],
        option=best,
    )


def _forbids(risk: RiskResponse) -> bool:
    return risk.probability > risk.allowed


def may_go_wrong(risk: RiskResponse, reader: Reader) -> str:
    """`9 in 10 that a corner freezes while it is young`."""
    values: dict[str, Any] = {"chance": odds(risk.probability), "fails": risk.code}
    told = say(Message("may_go_wrong", values), reader)
    if risk.code == COLD and risk.value < risk.limit:
        value, limit = (measure(v, "temperature_C", reader) for v in (risk.value, risk.limit))
        return f"{told} ({value}, at least {limit})"
    return told


def odds(probability: float) -> str:
    """A chance that a sentence goes on after: `9 in 10`, `even odds`."""
    told = chance(probability)
    return "even odds" if told == "even" else told


def numbers(risk: RiskResponse, reader: Reader) -> str:
    """A risk with its value against its limit."""
    name = word("risk", risk.code, reader)
    dimension = DIMENSIONS[risk.unit]
    value, limit = (measure(one, dimension, reader) for one in (risk.value, risk.limit))
    return f"{name}: {odds(risk.probability)} ({value}, limit {limit})"


def verdict(best: Way | None, reader: Reader) -> str:
    """Yes; yes, under this; not there, but indoors; no."""
    if best is None or not best.passes:
        return say(Message("verdict_no"), reader)
    if best.bare:
        return say(Message("verdict_yes"), reader)
    if best.indoors:
        return say(Message("verdict_indoors", {"way": best.words}), reader)
    way = say(Message("under_way", {"way": best.words}), reader)
    return say(Message("verdict_yes_way", {"way": way}), reader)


def three(ways: Sequence[Way]) -> tuple[list[Way], list[Way]]:
    """The three worth a look, and the rest: the cheapest that passes, the one that frees the mould
    soonest, bare; then in their order."""
    passing = [way for way in ways if way.passes]
    soonest = [way for way in passing if way.strip is not None]
    wanted = passing[:1]
    if soonest:
        wanted.append(min(soonest, key=lambda way: way.strip.iso if way.strip else ""))
    wanted += [way for way in ways if way.bare and not way.indoors]
    chosen: list[Way] = []
    for way in (*wanted, *ways):
        if way not in chosen and len(chosen) < 3:
            chosen.append(way)
    return [w for w in ways if w in chosen], [w for w in ways if w not in chosen]


def default_place(places: Sequence[Place], last: int | None) -> str:
    """Where a night is asked about: where was poured last, unless frost does not come there."""
    outdoors = [place for place in places if place.kind != "heated room"]
    chosen = next((place for place in outdoors if place.id == last), None)
    first = chosen or next((place for place in outdoors if place.kind != "unheated room"), None)
    first = first or next(iter(outdoors or places), None)
    return "" if first is None else str(first.id)
