"""The plan of a file of orders as text for a terminal of 100 columns."""

import json
from dataclasses import replace
from datetime import UTC, datetime
from itertools import groupby
from pathlib import Path

from models import instants
from models.errors import InputError
from models.message import Message
from models.planning import shop_plan
from models.planning.courses import Kind
from models.planning.shop_plan import Poured, ShopPlan
from models.units import one_of
from service import orders_file
from service.cli import scenario_air
from service.cli.printed import Clock
from service.cli.terminal import WIDTH, listed, plain, wrapped
from service.plan_answers import gain_message, plan_answer
from service.words import US, Reader, chance, instant, say, sentence, word
from service.words.reader import PRESETS


def plan(found: ShopPlan, now: datetime, reader: Reader) -> str:
    """What `castclock plan` prints: promises, pours, what is due, what one more would gain."""
    clock = Clock(now, reader)
    lines = [line for one in found.lacks for line in wrapped(sentence((one,), reader))]
    for one in found.promises:
        head = f"{one.order}, {plain('print_due')} {clock.shown(one.due)}"
        if one.late is None or one.why is not None:
            why = say(one.why, reader) if one.why else ""
            lines += wrapped(f"{head}: {plain('print_no_promise')}: {why}")
            continue
        sure = f"{plain('print_sure')} ({chance(one.confidence)}) {clock.shown(one.at_sure)}"
        even = f"{plain('print_even')} {clock.shown(one.at_even)}"
        late = say(Message("plan_late", {"chance": one.late}), reader)
        lines += wrapped(f"{head}: {even}; {sure}; {late}", then="  ")
    if found.poured:
        lines += ["", plain("print_pours"), "-" * WIDTH]
        lines += [_pour(one, clock) for one in found.poured]
    lines += listed(
        plain("print_left_out"),
        [
            f"{one.piece.kind} {one.piece.number}, {one.piece.order}: {say(one.why, reader)}"
            for one in found.left_out
        ],
    )
    if found.acts:
        lines += ["", plain("print_each_day"), "-" * WIDTH]
    for day, acts in groupby(found.acts, key=lambda one: instant(one.at, "day", reader)):
        lines.append(day)
        for act in acts:
            what = f"{word('act', act.act, reader)} {act.piece.kind} {act.piece.number}"
            few = f", {act.hands} !" if act.short else ""
            shown = instant(act.at, "time", reader)
            lines.append(f"  {shown:>8} {what}, {act.piece.order} ({act.minutes:g} min{few})")
    gains = [sentence((gain_message(one),), reader) for one in found.gains]
    lines += listed(plain("print_gains"), gains)
    if found.poured:
        says = say(Message(f"plan_{found.how}", {"gap": found.gap}), reader)
        lines += ["", *wrapped(says)]
    return "\n".join(lines)


def _pour(one: Poured, clock: Clock) -> str:
    piece = f"{one.piece.kind} {one.piece.number}, {one.piece.order}"
    free = instant(one.free_at, "", clock.reader)
    set_so = " *" if one.pinned else ""
    return f"{clock.shown(one.at):<24}{one.mould:<14}{piece:<34}-> {free}{set_so}"


def show(path: Path, now: str, *, as_json: bool, units: str) -> None:
    """Read a file of orders, plan it, print it."""
    told_now = instants.instant("--now", now) if now else None
    file = orders_file.read(path, told_now, datetime.now(UTC))
    kinds = {
        name: Kind(name, one.scenario, scenario_air.of(one, None, file.asked_at), file.works[name])
        for name, one in file.pieces.items()
    }
    try:
        found = shop_plan.plan(file.shop, file.orders, file.moulds, kinds)
    except InputError as error:
        raise error.at(error.where or path.name) from None
    one_of("--units", units, tuple(PRESETS))
    reader = Reader(file.shop.days.timezone, now=None if as_json else file.asked_at)
    if units == "us":
        reader = replace(reader, units=US, language="en-US", hours=12, order="mdy")
    if as_json:
        content = plan_answer(found, (), reader).model_dump(mode="json")
        print(json.dumps(content, indent=2, allow_nan=False))
    else:
        print(plan(found, file.asked_at, reader))
