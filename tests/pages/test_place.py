"""A place on one page: outdoors, here, and the concrete; without weather: what is missing."""

import re

import pytest

from tests.support.phone import Phone


@pytest.mark.usefixtures("poured")
def test_a_place_shows_outdoors_here_and_the_concrete(phone: Phone) -> None:
    page = phone.open("/places/1")
    assert phone.status == 200
    assert "under a roof" in page.text
    assert re.search(r"outdoors here concrete", page.text)
    assert re.search(r"Concrete °C", page.text)
    assert any(link.startswith("/pours/") for link in page.links)
    assert page.alone == []


@pytest.mark.usefixtures("bench")
def test_a_place_without_weather_says_what_is_missing(phone: Phone) -> None:
    phone.send(phone.open("/pour").form("/pour"))
    text = phone.open("/places/1").text
    assert "No picture of this place" in text
    assert "no forecast has been fetched yet" in text


def test_a_place_nobody_knows_is_not_found(phone: Phone) -> None:
    phone.open("/places/77")
    assert phone.status == 404
