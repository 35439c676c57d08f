"""How good the answers were, as a table for a terminal or a page and as a picture."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from markupsafe import Markup, escape

from models.message import Message
from models.planning import honesty
from models.planning.honesty import Case, Judged, Share
from service.words import Reader, say, word
from service.words.reader import PLAIN

WIDTH, HEIGHT = 360, 200  # as many units as a phone has points, so that words are as large there
LEFT, RIGHT, TOP, BOTTOM = 54, 10, 12, 28
REACH = 3.0  # how far beyond the told span is drawn; what lies further stands at the edge
TICKS_H = {3: "3 h", 6: "6 h", 12: "12 h", 24: "1 d", 72: "3 d", 168: "7 d", 672: "28 d"}
ALONE = (  # on a page the colour of its text is that of the page, and no style may stand in it
    "<style>svg{color:#14181a;background:#fff}"
    "@media(prefers-color-scheme:dark){svg{color:#f1f3ef;background:#14191a}}</style>"
)
GRID = 'stroke="currentColor" stroke-opacity=".3" fill="none"'
IN, OUT = 'r="3" fill="currentColor"', 'r="4" fill="none" stroke="currentColor" stroke-width="1.5"'
HEADS = ("step", "known", "lead", "count", "inside", "late", "early")


@dataclass(frozen=True)
class Row:
    """One line of the table; shares are empty where they are of too few."""

    step: str
    known: str
    lead: str
    count: int
    shares: tuple[str, ...]
    wrong: tuple[str, ...]


def share(found: Share) -> str:
    """A share with its 95 % interval, in a fixed width."""
    low, high = found.interval
    return f"{found.part / found.whole:5.0%} ({low:3.0%} to {high:4.0%})"


def shares(cases: Sequence[Judged]) -> tuple[str, str, str]:
    """Inside, late and early, as the outside check and the report of a shop print them."""
    return share(honesty.inside(cases)), share(honesty.late(cases)), share(honesty.early(cases))


def table(cases: Sequence[Case], reader: Reader = PLAIN) -> list[Row]:
    """Step, knowledge and lead, with what came inside, later and sooner than told."""
    return [
        Row(
            word("honesty_step", step, reader),
            word("honesty_known", known, reader),
            _lead(bound, reader),
            len(some),
            shares(some) if len(some) >= honesty.FEWEST else (),
            tuple(say(Message(f"honesty_{one}_fails"), reader) for one in honesty.failed(some))
            if len(some) >= honesty.FEWEST
            else (),
        )
        for step, known, bound, some in honesty.rows(cases)
    ]


def as_text(cases: Sequence[Case]) -> list[str]:
    """The table in lines of a terminal."""
    heads = [say(Message(f"honesty_head_{one}"), PLAIN) for one in HEADS]
    lines = [f"{heads[0]:12} {heads[1]:12} {heads[2]:11} {heads[3]:>4}  " + _columns(heads[4:])]
    for row in table(cases):
        told = _columns(row.shares) if row.shares else ""
        wrong = "".join(f"  {one}" for one in row.wrong)
        lines.append(f"{row.step:12} {row.known:12} {row.lead:11} {row.count:4d}  {told}{wrong}")
    return [line.rstrip() for line in lines]


def as_objects(cases: Sequence[Case]) -> list[dict[str, Any]]:
    """The same for programs: shares as numbers, `failed` by its codes."""
    out = []
    for step, known, bound, some in honesty.rows(cases):
        few = len(some) < honesty.FEWEST
        parts = {"inside": honesty.inside, "late": honesty.late, "early": honesty.early}
        told = {name: _share_object(part(some)) for name, part in parts.items()}
        out.append(
            {
                "step": step,
                "known": known,
                "lead_max_h": None if bound is None or math.isinf(bound) else bound,
                "any_lead": bound is None,
                "count": len(some),
                "too_few": few,
                "failed": [] if few else list(honesty.failed(some)),
                **(dict.fromkeys(parts) if few else told),
            }
        )
    return out


def picture(cases: Sequence[Case], reader: Reader = PLAIN, *, alone: bool = False) -> Markup:
    """Each observation by its lead, and where in the told span it came; an SVG of its own."""
    ends = [max(one.lead_h, 1.0) for one in cases] or [24.0]
    low, high = math.log10(min(ends)) - 0.1, math.log10(max(ends)) + 0.1
    title = escape(say(Message("honesty_picture"), reader))

    def x(hours: float) -> float:
        return LEFT + (math.log10(max(hours, 1.0)) - low) / (high - low) * (WIDTH - LEFT - RIGHT)

    def y(place: float) -> float:
        bounded = max(-REACH, min(REACH, place))
        return TOP + (REACH - bounded) / (2 * REACH) * (HEIGHT - TOP - BOTTOM)

    parts = [
        f'<rect fill="currentColor" fill-opacity=".12" x="{LEFT}" y="{y(1):.1f}"'
        f' width="{WIDTH - LEFT - RIGHT}" height="{y(-1) - y(1):.1f}"/>',
        f'<path {GRID} d="M{LEFT} {y(0):.1f}H{WIDTH - RIGHT}"/>',
    ]
    for place, code in ((2.0, "late_side"), (0.0, "inside_side"), (-2.0, "early_side")):
        text = escape(say(Message(f"honesty_{code}"), reader))
        parts.append(
            f'<text text-anchor="end" x="{LEFT - 5}" y="{y(place) + 4.5:.1f}">{text}</text>'
        )
    for hours, words in TICKS_H.items():
        if low <= math.log10(hours) <= high:
            parts.append(
                f'<path {GRID} d="M{x(hours):.1f} {TOP}V{HEIGHT - BOTTOM}"/><text'
                f' text-anchor="middle" x="{x(hours):.1f}" y="{HEIGHT - BOTTOM + 18}">'
                f"{words}</text>"
            )
    parts += [
        f'<circle {IN if one.inside else OUT} cx="{x(one.lead_h):.1f}" cy="{y(one.place):.1f}"/>'
        for one in cases
    ]
    return Markup(
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {HEIGHT}" role="img"'
        f' font-family="system-ui,sans-serif" font-size="13" fill="currentColor"'
        f' aria-labelledby="honesty-t"><title id="honesty-t">{title}</title>'
        f"{ALONE if alone else ''}{''.join(parts)}</svg>\n"
    )


def _share_object(found: Share) -> dict[str, float]:
    low, high = found.interval
    return {"share": found.part / found.whole, "low": low, "high": high}


def _columns(texts: Sequence[str]) -> str:
    return "  ".join(f"{one:22}" for one in texts)


def _lead(bound: float | None, reader: Reader) -> str:
    if bound is None:
        return say(Message("honesty_lead_all"), reader)
    if math.isinf(bound):
        return say(Message("honesty_lead_beyond"), reader)
    return say(Message("honesty_lead_to", {"lead_h": bound}), reader)
