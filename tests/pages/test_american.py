"""An American reads mold and color on every page; what somebody typed stays as it was typed."""

import html
import re

import pytest
from starlette.testclient import TestClient

from models.sources import SOURCES
from service.words.spelling import WORDS
from tests.support.phone import Phone
from tests.support.shop import Bench

SHOP = [
    *("/", "/pour", "/tonight", "/shop", "/shop/settings", "/shop/things", "/stickers", "/help"),
    *(f"/shop/{noun}/new" for noun in ("piece", "mix", "place", "mould", "sealer")),
]
THINGS = [
    *("/shop/mould/1", "/shop/mix/1", "/shop/piece/1", "/shop/place/1", "/places/1", "/week"),
    *(
        "/stickers?mould=1",
        "/places/1/logger",
        "/tonight?asked=1&place_id=1&piece_id=1&mix_id=1",
    ),
]
OF_POUR = [
    *("", "/edit", "/steps", "/photos", "/plan", "/mode", "/record", "/care", "/note/add"),
    *(f"/{kind}/add" for kind in ("reading", "set", "dryness", "look", "cover", "test", "batch")),
]
SAID = re.compile(r'(?:placeholder|aria-label|title|alt)="([^"]*)"')
BRITISH = re.compile(rf"\b(?:{'|'.join(WORDS)})\b", re.IGNORECASE)
SI_MEASURE = re.compile(r".{0,30}\d (?:mm|cm|m|kg|g|°C|C|K|MPa|L|l|ml|m/s|km/h)(?![\w/])")
# names that were typed, the choice of words itself, and that any unit may be typed
TYPED = ("Bench mould", "Grey bag", "British: mould, colour", "0.9 m.")


def spoken(source: str) -> str:
    """What a page says, its hidden words and those within its fields too."""
    source = re.sub(r"<title>|</title>", " ", source)
    words = " ".join([re.sub(r"<[^>]*>", " ", source), *SAID.findall(source)])
    for name in TYPED:
        words = words.replace(name, "")
    return words


@pytest.fixture
def american(client: TestClient) -> Phone:
    client.headers["Accept-Language"] = "en-US"
    client.post("/reader", data={"units": "us"})
    return Phone(client)


def test_no_page_of_an_american_is_spelt_in_british(
    american: Phone, poured: str, bench: Bench
) -> None:
    assert (bench.mould_id, bench.place_id) == (1, 1)
    form = american.open(f"{poured}/edit").form("/edit")
    american.send(form, mould_id="")  # what is assumed of it is told
    left = {}
    for path in (*SHOP, *THINGS, *(f"{poured}{part}" for part in OF_POUR)):
        page = american.open(path)
        assert american.status == 200, path
        found = BRITISH.findall(spoken(page.source))
        if found:
            left[path] = found
    assert not left


def test_no_page_of_an_american_tells_a_measure_in_si(american: Phone, poured: str) -> None:
    left = {}
    cited = [html.escape(source.title, quote=False) for source in SOURCES.values()]
    for path in (*SHOP, *THINGS, *(f"{poured}{part}" for part in OF_POUR)):
        words = american.open(path).source
        for title in cited:
            words = words.replace(title, "")
        found = SI_MEASURE.findall(spoken(words))
        if found:
            left[path] = found
    assert not left


def test_a_typed_name_is_never_respelt(american: Phone, poured: str) -> None:
    form = american.open("/shop/mould/1").form("/shop/mould/1")
    page = american.send(form, mould__name="Grey mould")
    assert "Grey mould" in page.text
    assert "Grey mould" in american.open(f"{poured}/edit").text
    new = american.send(american.open("/shop/mould/new").form("/shop/mould/new"))
    assert "Mold 2" in new.text
