"""Stickers for moulds and pieces: a name, and a square that leads to the one next thing there."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Annotated, Any
from urllib.parse import parse_qs, quote, urlencode

from fastapi import APIRouter, Path, Query, Request, Response
from fastapi.responses import RedirectResponse
from sqlmodel import Session

from models.errors import InputError
from models.records import Mould, Pour, Sticker
from service.actions.shop import stickers as codes
from service.nouns.form import Control, Form
from service.pages import next_thing, qr, render
from service.pages.flash import Landing
from service.pages.form_post import FormPostDep, PageRoute, Refused, refuse_faults
from service.pages.labels import PAPERS, SHEETS, Grid, Label, sheets
from service.queries.poured import piece_label
from service.queries.pours import ACTIVE, active_where
from service.queries.rows import by_name, find
from service.queries.stickers import by_code, that_count
from service.request_context import ContextDep, Key, RequestContext
from service.who_may import VIEWER
from service.words import Reader, spelt

router = APIRouter(route_class=PageRoute, include_in_schema=False)
MOST_COPIES, MOST_LABELS, MOST_MM = 30, 300, 400.0
ONE, OWN = "one", "own"
KEPT = "castclock_labels"  # the measures that this browser printed last
KEPT_S = 400 * 24 * 3600
LENGTHS = {
    "width_mm": ("Label wide", "62 mm"),
    "height_mm": ("Label high", "29 mm"),
    "left": ("Left edge of the paper to the first label", "7 mm"),
    "top": ("Upper edge to the first label", "15 mm"),
    "across": ("Between two side by side", "2.5 mm"),
    "down": ("Between two, one above the other", "0 mm"),
}
COUNTS = {"columns": ("Side by side", "3"), "rows": ("One above the other", "7")}
MEASURES = ("label", "paper", *LENGTHS, *COUNTS)
Code = Annotated[str, Path(max_length=40)]


@router.get("/stickers")
def choose(request: Request, context: ContextDep) -> Response:
    """Which, on which labels; all moulds until one mould or pour is named."""
    query = request.query_params
    with context.store.reading() as session:
        fields = _fields(session, context, request.cookies.get(KEPT, ""))
        asked = {name: query.getlist(name) for name in ("mould", "pour", "copies") if name in query}
        told = [_taken(one, asked) for one in fields]
        return _page(session, context, Form.of(told, None, context.reader()))


@router.get("/stickers/sheet")
def sheet(request: Request, context: ContextDep) -> Response:
    """The sheets, ready to print; or the form again with what does not fit."""
    query = request.query_params
    typed = {name: query.getlist(name) for name in query}
    with context.store.reading() as session:
        form = Form.of(_fields(session, context, ""), typed, context.reader())
        try:
            grid, drawn = _drawn(session, context, request, form)
        except Refused:
            return _page(session, context, form, 422)
        except InputError as error:
            form.refuse(error)
            return _page(session, context, form, 422)
    width, height = grid.paper
    answer = render.page(
        "labels.html",
        title="Stickers to print",
        reader=context.reader(),
        sheets=drawn,
        back=f"/stickers?{urlencode(_of(typed))}",
        page_css=f"/stickers/page.css?width_mm={width:g}&height_mm={height:g}",
        label=grid.size(context.reader()),
        square=bool(_address(context, request, "x")),
    )
    kept = [(name, value) for name in MEASURES for value in _sent(typed, name)]
    answer.set_cookie(KEPT, urlencode(kept), max_age=KEPT_S, httponly=True, samesite="lax")
    return answer


@router.get("/stickers/page.css")
def page_size(
    width_mm: Annotated[float, Query(gt=0, le=MOST_MM)],
    height_mm: Annotated[float, Query(gt=0, le=MOST_MM)],
) -> Response:
    """The paper, so that a browser prints neither margins nor another size."""
    text = f"@page{{size:{width_mm:g}mm {height_mm:g}mm;margin:0}}\n"
    return Response(text, media_type="text/css", headers={"Cache-Control": "max-age=86400"})


@router.post("/stickers/{sticker_id}/revoke")
def revoke(sticker_id: Key, post: FormPostDep) -> Response:
    """One was lost: it says so to whoever scans it, and a new one is printed."""

    def store(session: Session) -> Landing:
        row = codes.revoke(session, post.context.now, sticker_id)
        noun, key = ("mould", row.mould_id) if row.mould_id else ("pour", row.pour_id)
        page = f"/stickers?{noun}={key}"
        return Landing(page, "saved_sticker", undo=f"/stickers/{sticker_id}/restore")

    return post.write(Form.of([]), store)


@router.post("/stickers/{sticker_id}/restore")
def restore(sticker_id: Key, post: FormPostDep) -> Response:
    def store(session: Session) -> Landing:
        codes.bring_back(session, post.context.now, sticker_id)
        return Landing("/stickers", "saved_back")

    return post.write(Form.of([]), store)


@router.get("/s")
def typed(code: Annotated[str, Query(max_length=40)] = "") -> Response:
    """A code that was read off the sticker by eye."""
    return RedirectResponse(
        f"/s/{quote(code.strip(), safe='')}" if code.strip() else "/stickers", 303
    )


@router.get("/s/{code}")
def scanned(code: Code, context: ContextDep) -> Response:
    """Who is in goes on to the next thing; everybody else learns the name alone."""
    with context.store.reading() as session:
        row = by_code(session, "".join(code.split()).lower())
        name, gone = _told(session, row)
        mould = find(session, Mould, row.mould_id) if row and row.mould_id else None
        to = next_thing.of_mould(session, mould) if mould else ""
    within = context.asker.rank >= VIEWER
    if within and row is not None and row.revoked_at is None:
        return RedirectResponse(to or next_thing.of_pour(context, row.pour_id or 0), 303)
    return render.page(
        "sticker.html",
        404 if row is None else 410 if gone else 200,
        title=name or "Sticker",
        reader=context.reader(),
        name=name,
        gone=gone,
        within=within,
        then=urlencode({"then": f"/s/{row.code}"}) if row and not gone else "",
    )


@router.get("/in/{mould_id}")
def in_mould(mould_id: Key, context: ContextDep) -> Response:
    """From a sticker that was printed before they had codes."""
    with context.store.reading() as session:
        to = next_thing.of_mould(session, find(session, Mould, mould_id, "mould"))
    return RedirectResponse(to, 303)


def _of(typed: dict[str, list[str]]) -> list[tuple[str, str]]:
    """Moulds and pours that were asked for."""
    return [(noun, key) for noun in ("mould", "pour") for key in typed.get(noun, [])]


def _told(session: Session, row: Sticker | None) -> tuple[str, str]:
    """What the sticker is called, or why it leads nowhere."""
    if row is None:
        return "", "unknown"
    if row.revoked_at is not None:
        return "", "revoked"
    if row.mould_id is not None:
        mould = find(session, Mould, row.mould_id)
        return mould.name, "away" if mould.archived_at else ""
    pour = find(session, Pour, row.pour_id or 0)
    lost = pour.closed_at is not None and pour.closed_why != "finished"
    return piece_label(pour), "away" if lost else ""


def _fields(session: Session, context: RequestContext, kept: str) -> list[Control]:
    moulds = tuple((str(row.id), row.name) for row in by_name(session, Mould))
    pours = tuple((str(row.id), piece_label(row)) for row in active_where(session, ACTIVE))
    reader = context.reader()
    every = "|".join(key for key, _ in moulds)
    papers = tuple((name, name) for name in PAPERS)
    found = [
        Control("mould", "Moulds", "boxes", options=moulds, default=every, typed=True),
        Control("pour", "Pieces under way", "boxes", options=pours, typed=True),
        Control("label", "Labels", "choice", options=_kinds(reader), default=_usual(reader)),
        Control("copies", "Of each", dimension="count", whole=True, default="1", needed=True),
        Control(
            "first",
            "Begin at label",
            dimension="count",
            whole=True,
            default="1",
            needed=True,
        ),
        Control("edges", "Draw the edges, to cut them out of plain paper", "check"),
        Control("paper", "Paper", "choice", options=papers, default=_paper(reader)),
    ]
    for name, (words, usual) in COUNTS.items():
        found.append(Control(name, words, dimension="count", whole=True, default=usual))
    for name, (words, usual) in LENGTHS.items():
        found.append(Control(name, words, dimension="length_mm", default=usual))
    before = _parsed(kept)
    return [_taken(one, before) for one in found]


def _taken(one: Control, given: dict[str, list[str]]) -> Control:
    """A control that begins with what was given for it."""
    if one.name not in given:
        others = {"mould", "pour"} - {one.name}
        chosen = one.name in ("mould", "pour") and any(name in given for name in others)
        return replace(one, default="") if chosen else one
    known = {key for key, _ in one.options}
    values = [text for text in given[one.name] if not known or text in known]
    return replace(one, default="|".join(values)) if values else one


def _parsed(kept: str) -> dict[str, list[str]]:
    """What this browser printed on before; a cookie is believed no further than a form."""
    try:
        found = parse_qs(kept[:1000], max_num_fields=len(MEASURES))
    except ValueError:
        return {}
    return {name: values for name, values in found.items() if name in MEASURES}


def _sent(typed: dict[str, list[str]], name: str) -> list[str]:
    """A measure with the unit that was chosen beside it."""
    text = (typed.get(name) or [""])[-1].strip()
    unit = (typed.get(f"{name}.unit") or [""])[-1]
    bare = text and not any(char.isalpha() for char in text)
    told = f"{text} {unit}".strip() if bare and name in LENGTHS else text
    return [told] if told and told.isascii() and len(told) < 40 else []


def _kinds(reader: Reader) -> tuple[tuple[str, str], ...]:
    usual = "Letter" if _paper(reader) == "Letter" else "A4"
    ranked = sorted(SHEETS, key=lambda key: not key.startswith(usual.lower()))
    known = [
        (
            key,
            f"{key.partition('-')[0].capitalize()}, {SHEETS[key].count}"
            f" of {SHEETS[key].size(reader)}",
        )
        for key in ranked
    ]
    return (*known, (ONE, "one by one, as measured below"), (OWN, "a sheet as measured below"))


def _usual(reader: Reader) -> str:
    return _kinds(reader)[0][0]


def _paper(reader: Reader) -> str:
    return "Letter" if reader.language == "en-US" else "A4"


def _grid(form: Form) -> Grid:
    """The labels that were chosen, or measured."""
    kind = str(form.value("label"))
    if kind in SHEETS:
        return SHEETS[kind]
    names = [*LENGTHS, *COUNTS] if kind == OWN else ["width_mm", "height_mm"]
    got = form.values(names)
    for name in names:
        value = got[name]
        least = 10.0 if name in ("width_mm", "height_mm") else 1 if name in COUNTS else 0.0
        if value is None and name not in form.wrong:
            form.refuse(InputError(name, "", "empty", form.fields[name].hint or "a measure"))
        elif value is not None and not least <= value <= MOST_MM:
            form.refuse(InputError(name, value, "no such label", f"{least:g} to {MOST_MM:g}"))
    refuse_faults(form)
    label = (got["width_mm"], got["height_mm"])
    if kind != OWN:
        return Grid(label, label)
    paper = PAPERS[str(form.value("paper"))]
    return Grid(
        paper, label, int(got["columns"]), int(got["rows"]), *(got[n] for n in [*LENGTHS][2:])
    )


def _drawn(
    session: Session, context: RequestContext, request: Request, form: Form
) -> tuple[Grid, Sequence[Any]]:
    grid = _grid(form)
    chosen = {noun: [int(key) for key in form.value(noun)] for noun in ("mould", "pour")}
    copies, first = form.value("copies"), form.value("first")
    for name, value, most in (("copies", copies, MOST_COPIES), ("first", first, grid.count)):
        if value is not None and not 1 <= value <= most:
            form.refuse(InputError(name, value, "outside", f"1 to {most}"))
    refuse_faults(form)
    grid.check()
    named = [
        *((find(session, Mould, key).name, "mould", key) for key in chosen["mould"]),
        *((piece_label(find(session, Pour, key)), "pour", key) for key in chosen["pour"]),
    ]
    if not named or len(named) * copies > MOST_LABELS:
        wrong = "none is chosen" if not named else "more than are printed at once"
        raise InputError("mould", len(named), wrong, f"1 to {MOST_LABELS} labels")
    found = {noun: that_count(session, noun, keys) for noun, keys in chosen.items()}
    labels = [
        Label(name, _address(context, request, code), code)
        for name, noun, key in named
        for code in [found[noun][key].code]
        for _ in range(copies)
    ]
    return grid, sheets(grid, labels, first=first, edges=bool(form.value("edges")))


def _address(context: RequestContext, request: Request, code: str) -> str:
    return qr.address(context.settings, str(request.base_url), f"/s/{code}")


def _page(session: Session, context: RequestContext, form: Form, status: int = 200) -> Response:
    nouns = {noun: dict(form.fields[noun].options) for noun in ("mould", "pour")}
    given = [
        (row.id, names[str(key)], row.code)
        for noun, names in nouns.items()
        for key, row in that_count(session, noun, [int(one) for one in names]).items()
    ]
    return render.page(
        "stickers.html",
        status,
        title=spelt("Stickers for moulds and pieces", context.reader()),
        tab="shop",
        reader=context.reader(),
        form=form,
        lengths=[*LENGTHS],
        counts=[*COUNTS],
        given=sorted(given, key=lambda one: one[1]),
    )
