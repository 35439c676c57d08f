"""Stickers: printed at their true size, read by a phone, and what each leads to, for whom."""

import re
from collections.abc import Callable
from datetime import datetime, timedelta
from html import unescape

import numpy as np
import pytest
import segno
import zxingcpp
from fastapi import FastAPI
from starlette.testclient import TestClient

from models.errors import InputError
from models.records import Person, Sticker
from service.actions.people import sign_in
from service.actions.pours.mark_step_done import mark_step_done
from service.actions.windows.project_pour import project_pour
from service.pages import qr
from service.pages.labels import PAPERS, SHEETS, Grid, Label, fitted, sheets
from service.signed_in import COOKIE
from service.store import Store
from tests.support.phone import Page, Phone
from tests.support.rows import rows
from tests.support.shop import Bench, Hands, Windows

HOUR = timedelta(hours=1)
ADDRESS = "http://192.168.100.107:8000/s/abcdefghjk"
HOME = "http://testserver"


@pytest.fixture
def phone(app: FastAPI) -> Phone:
    return Phone(TestClient(app, base_url=HOME))


def code_of(store: Store, **target: int) -> str:
    (noun, key), *_ = target.items()
    found = [
        row for row in rows(store, Sticker) if getattr(row, noun) == key and row.revoked_at is None
    ]
    assert len(found) == 1
    return found[0].code


def painted(page: str, dots_per_mm: float = 12.0) -> np.ndarray:
    """The first sheet of a page as a printer lays its dots; letters are left out."""
    sheet = re.search(r'<svg class="labels".*?</svg>\s*$', page, re.S | re.M)
    assert sheet is not None
    width, height = (
        float(re.search(rf'{side}="([\d.]+)mm"', sheet[0])[1])  # type: ignore[index]
        for side in ("width", "height")
    )
    dots = np.full((round(height * dots_per_mm), round(width * dots_per_mm)), 255, np.uint8)
    for found in re.finditer(
        r'translate\(([\d.]+) ([\d.]+)\)">(?:<rect[^>]*>)?'
        r'<g transform="translate\(([\d.]+) ([\d.]+)\) scale\(([\d.]+)\)">'
        r'.*?class="dark" d="([^"]+)"',
        sheet[0],
        re.S,
    ):
        left, top, x, y, step = (float(one) for one in found.groups()[:5])
        for run in re.finditer(r"M(\d+) (\d+)h(\d+)v1H\d+z", found[6]):
            column, row, length = (int(one) for one in run.groups())
            edges = (
                top + y + row * step,
                top + y + (row + 1) * step,
                left + x + column * step,
                left + x + (column + length) * step,
            )
            up, low, begin, end = (round(edge * dots_per_mm) for edge in edges)
            dots[up:low, begin:end] = 0
    return dots


def read(dots: np.ndarray) -> list[str]:
    """What a decoder of its own makes of it."""
    return sorted(one.text for one in zxingcpp.read_barcodes(dots))


def test_the_sheet_of_a_mould_is_read_back_label_by_label(
    phone: Phone, bench: Bench, store: Store
) -> None:
    form = phone.open(f"/stickers?mould={bench.mould_id}").form("/stickers/sheet")
    page = phone.send(form, label="a4-3x7", copies="3", first="20")
    assert page.alone == []
    first, second = re.findall(r'<svg class="labels".*?</svg>\s*\n', page.source, re.S)
    address = f"{HOME}/s/{code_of(store, mould_id=bench.mould_id)}"
    assert (read(painted(first)), read(painted(second))) == ([address] * 2, [address])
    assert 'width="210mm" height="297mm"' in first
    assert "/stickers/page.css?width_mm=210&height_mm=297" in unescape(page.source)
    size = phone.client.get("/stickers/page.css?width_mm=210&height_mm=297")
    assert size.text.strip() == "@page{size:210mm 297mm;margin:0}"
    assert size.headers["content-type"].startswith("text/css")


@pytest.mark.parametrize(
    ("wide", "high", "paper"),
    [("62 mm", "29 mm", (62.0, 29.0)), ("2 1/2 in", "1 1/8 in", (63.5, 28.575))],
)
def test_one_label_is_as_large_as_it_was_typed(
    phone: Phone, bench: Bench, pour_id: int, store: Store, wide: str, high: str, paper: object
) -> None:
    assert bench
    form = phone.open(f"/stickers?pour={pour_id}").form("/stickers/sheet")
    page = phone.send(form, label="one", width_mm=wide, height_mm=high)
    sizes = re.findall(
        r'class="labels" role="img" width="([\d.]+)mm" height="([\d.]+)mm"', page.source
    )
    assert [tuple(map(float, one)) for one in sizes] == [paper]
    assert read(painted(page.source)) == [f"{HOME}/s/{code_of(store, pour_id=pour_id)}"]
    assert f"North bench #{pour_id}" in page.text
    again = phone.open("/stickers").form("/stickers/sheet")  # this browser knows its labels now
    assert again.fields["label"] == ["one"]


def test_the_square_has_the_quiet_edge_of_its_standard_and_every_module_of_its_matrix() -> None:
    """ISO/IEC 18004: four modules of light all round; a quarter of it may be lost (level Q)."""
    modules, path = qr.path(ADDRESS)
    code = segno.make(ADDRESS, error="q", micro=False)
    drawn = np.zeros((modules, modules), bool)
    for run in re.finditer(r"M(\d+) (\d+)h(\d+)v1H\d+z", path):
        column, row, length = (int(one) for one in run.groups())
        drawn[row, column : column + length] = True
    assert (drawn[4:-4, 4:-4] == np.array([list(row) for row in code.matrix], bool)).all()
    assert not drawn[:4].any()
    assert not drawn[-4:].any()
    assert not drawn[:, :4].any()
    assert not drawn[:, -4:].any()
    assert code.error in ("Q", "H")


def test_a_square_with_a_torn_corner_is_read_still() -> None:
    grid = Grid((62.0, 29.0), (62.0, 29.0))
    (sheet,) = sheets(grid, [Label("North bench", ADDRESS, "abcdefghjk")], first=1, edges=False)
    dots = painted(str(sheet) + "\n")
    side = dots.shape[0]
    dots[int(0.7 * side) : int(0.9 * side), int(0.7 * side) : int(0.9 * side)] = (
        0  # a drop of slurry
    )
    assert read(dots) == [ADDRESS]


@pytest.mark.parametrize("kind", sorted(SHEETS))
def test_usual_sheets_lie_on_their_paper_and_their_squares_are_large_enough(kind: str) -> None:
    grid = SHEETS[kind]
    grid.check()
    corners = list(grid.corners())
    assert len(corners) == grid.count
    (sheet,) = sheets(grid, [Label("Bench", ADDRESS, "x")] * grid.count, first=1, edges=True)
    assert read(painted(str(sheet) + "\n")) == [ADDRESS] * grid.count


def test_what_does_not_fit_is_refused_by_its_measure(phone: Phone, bench: Bench) -> None:
    form = phone.open(f"/stickers?mould={bench.mould_id}").form("/stickers/sheet")
    for wrong, values in (
        ("columns", {"label": "own", "columns": "5"}),
        ("rows", {"label": "own", "rows": "30"}),
        ("height_mm", {"label": "one", "height_mm": "14 mm"}),
        ("width_mm", {"label": "one", "width_mm": "2 mm"}),
        ("copies", {"copies": "99"}),
        ("first", {"label": "a4-3x7", "first": "22"}),
    ):
        page = phone.send(form, **values)
        assert (phone.status, wrong in page.notes) == (422, True), values
    with pytest.raises(InputError, match="210"):
        Grid(PAPERS["A4"], (70.0, 37.0), 3, 8, left=5.0).check()


def test_a_long_name_stays_inside_its_label() -> None:
    for text in ("Bench", "The long planter beside the northern gate of the yard #12", "W" * 60):
        size, lines = fitted(text, 30.0, 20.0)
        assert len(lines) * size * 1.15 <= 20.0
        assert " ".join(lines) == text
    (sheet,) = sheets(
        Grid((62.0, 29.0), (62.0, 29.0)), [Label("W" * 60, ADDRESS, "x")], first=1, edges=False
    )
    assert "textLength" in sheet


def follow(phone: Phone, code: str) -> str:
    answer = phone.client.get(f"/s/{code}", follow_redirects=False)
    assert answer.status_code == 303
    return str(answer.headers["location"])


def test_a_piece_leads_to_the_log_of_the_step_that_is_open_else_to_its_page(
    phone: Phone, store: Store, pour_id: int, windows: Windows, now: datetime, hands: Hands
) -> None:
    code, page = code_of(store, pour_id=pour_id), f"/pours/{pour_id}"
    windows.say("strip", "not yet", now + 5 * HOUR)
    project_pour(store, now, pour_id)
    assert follow(phone, code) == page
    hands.forward(6)
    windows.say("strip", "open", now + 5 * HOUR)
    assert follow(phone, code) == f"{page}/steps?step=strip"  # worked out anew: an hour has come
    shown = phone.open(f"/s/{code}")
    assert phone.status == 200
    form = shown.form("/steps", "Done")
    assert ("Done", "step", "strip") in form.buttons
    windows.warn("frost", now + 12 * HOUR, now + 8 * HOUR)
    project_pour(store, hands.now, pour_id)
    assert follow(phone, code) == page  # what threatens stands first there
    phone.client.post(f"/api/v1/pours/{pour_id}/close", json={"why": "finished"})
    assert follow(phone, code) == page


def test_a_mould_leads_to_the_piece_in_it_else_to_a_new_pour_into_it(
    phone: Phone, store: Store, bench: Bench, pour_id: int, now: datetime
) -> None:
    code = code_of(store, mould_id=bench.mould_id)
    assert follow(phone, code) == f"/pours/{pour_id}"
    with store.unit_of_work() as session:
        mark_step_done(session, now + HOUR, pour_id, "strip", now + HOUR)
    assert follow(phone, code) == f"/pour?mould={bench.mould_id}"
    form = phone.open(f"/s/{code}").form("/pour")
    assert form.fields["mould_id"] == [str(bench.mould_id)]
    assert form.fields["piece_id"] == [str(bench.piece_id)]
    phone.client.post(f"/api/v1/moulds/{bench.mould_id}/archive")
    assert follow(phone, code) == f"/shop/mould/{bench.mould_id}"


@pytest.fixture
def stranger(app: FastAPI, store: Store, now: datetime) -> Callable[[str], tuple[int, Page]]:
    """Somebody off the street with a phone, after the shop has its owner."""
    with store.unit_of_work() as session:
        session.add(Person(created_at=now, name="Ada", role="owner", password_hash="none"))
    client = TestClient(app, base_url=HOME)

    def scans(code: str) -> tuple[int, Page]:
        answer = client.get(f"/s/{code}", headers={"accept": "text/html"}, follow_redirects=False)
        return answer.status_code, Page(answer.text)

    return scans


def test_who_is_not_signed_in_reads_the_name_and_nothing_else(
    stranger: Callable[[str], tuple[int, Page]], store: Store, bench: Bench, pour_id: int
) -> None:
    for name, target in (
        (f"North bench #{pour_id}", {"pour_id": pour_id}),
        ("Bench mould", {"mould_id": bench.mould_id}),
    ):
        status, page = stranger(code_of(store, **target))
        assert status == 200
        assert name in page.text
        told = page.text.replace(name, "")
        assert not [
            word for word in ("Carport", "Grey bag", "2026", "Oct", "poured") if word in told
        ]
        assert not [one for one in page.links if one.startswith(("/pours/", "/shop/"))]


def test_a_code_that_counts_no_more_says_so_to_everybody(
    stranger: Callable[[str], tuple[int, Page]],
    app: FastAPI,
    store: Store,
    bench: Bench,
    pour_id: int,
    now: datetime,
) -> None:
    mate = TestClient(app, base_url=HOME)
    with store.unit_of_work() as session:
        mate.cookies.set(COOKIE, sign_in.begin(session, now, 1, "a test"))
    old, sticker = code_of(store, pour_id=pour_id), rows(store, Sticker)[-1].id
    mate.post(f"/stickers/{sticker}/revoke", data={"key": "one"})
    for status, page in (stranger(old), (410, Page(mate.get(f"/s/{old}").text))):
        assert status == 410
        assert "North bench" not in page.text
        assert "revoked" in page.text
    new = code_of(store, pour_id=pour_id)
    assert (old != new, stranger(new)[0]) == (True, 200)
    mate.post(f"/stickers/{sticker}/restore", data={"key": "two"})
    assert (stranger(old)[0], stranger(new)[0]) == (200, 410)
    mate.post(f"/api/v1/pours/{pour_id}/close", json={"why": "logged by mistake"})
    mate.post(f"/api/v1/moulds/{bench.mould_id}/archive")
    for target in ({"pour_id": pour_id}, {"mould_id": bench.mould_id}):
        status, page = stranger(code_of(store, **target))
        assert (status, "no longer in use" in page.text) == (410, True)
    assert stranger("nothing")[0] == 404


def test_letters_are_typed_where_no_phone_reads_the_square(
    phone: Phone, store: Store, pour_id: int
) -> None:
    code = code_of(store, pour_id=pour_id)
    form = phone.open("/stickers").form("/s")
    phone.send(form, code=f" {code[:4]} {code[4:].upper()} ")
    assert phone.path == f"/pours/{pour_id}"
    phone.send(form, code="../pours?x")
    assert phone.status == 404


def test_codes_are_not_guessed_and_may_be_typed(
    stranger: Callable[[str], tuple[int, Page]], store: Store, pour_id: int
) -> None:
    codes = [row.code for row in rows(store, Sticker)]
    assert len(set(codes)) == len(codes) > 1
    assert all(re.fullmatch("[a-hjkmnp-z2-9]{10}", one) for one in codes)
    code = code_of(store, pour_id=pour_id)
    assert stranger(f"{code[:5]} {code[5:]}".upper())[0] == 200
