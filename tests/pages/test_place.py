"""A place on one page: outdoors, here, and the concrete; without weather: what is missing."""

import re

import pytest
from sqlmodel import select

from models.records import Reading
from service.store import Store
from tests.support.phone import Page, Phone
from tests.support.shop import Hands


@pytest.mark.usefixtures("poured")
def test_a_place_shows_outdoors_here_and_the_concrete(phone: Phone) -> None:
    page = phone.open("/places/1")
    assert phone.status == 200
    assert re.search(r"Down to 1[12](\.\d)? °C here tonight", page.text)
    assert page.text.index("here tonight") < page.text.lower().index("under a roof")
    assert page.source.index("<svg") < page.source.index("<table")
    assert re.search(r"outdoors here concrete", page.text)
    assert "as outdoors" in page.text or "than outdoors" in page.text
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


LOGGER = """Garage logger, 3 channels
#,Date-Time,Temperature (°F),RH (%)
1,10/14/2026 6:00 PM,50.0,80
2,10/14/2026 6:10 PM,50.4,80
3,10/14/2026 9:00 PM,46.4,84
4,10/15/2026 12:00 AM,41.0,
"""


def upload(phone: Phone, text: str | bytes) -> Page:
    page = phone.open("/places/1/logger")
    key = page.form("/logger").fields["key"]
    content = text.encode() if isinstance(text, str) else text
    answer = phone.client.post(
        "/places/1/logger", data={"key": key[0]}, files={"file": ("garage.csv", content)}
    )
    phone.status, phone.page = answer.status_code, Page(answer.text)
    return phone.page


def kept(store: Store) -> list[tuple[str, float, float | None]]:
    with store.reading() as session:
        rows = session.exec(select(Reading).order_by(Reading.at, Reading.kind)).all()  # type: ignore[arg-type]
        return [(row.kind, round(row.value_C, 1), row.rh_pct) for row in rows]


@pytest.mark.usefixtures("poured")
def test_a_loggers_file_is_shown_as_understood_before_it_is_kept(
    phone: Phone, store: Store, hands: Hands
) -> None:
    """P20: no page took a logger's file."""
    hands.forward(8)
    page = upload(phone, LOGGER)
    assert "4 readings found; 3 would be kept" in page.text
    assert "10 °C 80 %" in page.text
    assert "in which degrees" not in page.text  # the heading says Fahrenheit
    assert "America/Chicago" in page.text  # its times have no offset
    assert kept(store) == []
    phone.send(page.form("/keep"), "Keep these readings")
    assert phone.path == "/places/1"
    assert kept(store) == [
        ("air", 10.0, None),
        ("humidity", 0.0, 80.0),
        ("air", 8.0, None),
        ("humidity", 0.0, 84.0),
        ("air", 5.0, None),
    ]
    phone.send(upload(phone, LOGGER).form("/keep"), "Keep these readings")
    assert len(kept(store)) == 5  # what is known already is not kept twice


@pytest.mark.usefixtures("poured")
def test_what_a_file_leaves_open_is_asked(phone: Phone, store: Store, hands: Hands) -> None:
    hands.forward(8)
    page = upload(phone, "Date;Time;Temp;\n15.10.2026;02:00;41,5;\n".replace("15.10", "10.10"))
    assert "does not say in which degrees" in page.text
    assert "Which stands first in its dates?" in page.text
    again = phone.send(page.form("/keep"), "Show them again", unit="F", zone="UTC")
    assert "5.3 °C" in again.text
    assert kept(store) == []


@pytest.mark.parametrize(
    ("content", "told"),
    [
        ("no,headings\n1,2\n", "no headings of a time and a temperature"),
        ("time,temperature (C)\n", "no row with a time and a number"),
        ("time,temperature (C)\n2026-10-14T18:00-05:00,412\n", "no air is like that"),
        (b"\x00\x01\x02", "no headings"),
        ("", "o file was chosen"),
    ],
)
@pytest.mark.usefixtures("poured")
def test_a_file_that_is_none_is_refused_and_nothing_kept(
    phone: Phone, store: Store, content: str | bytes, told: str
) -> None:
    page = upload(phone, content)
    assert phone.status == 422
    assert told in page.text.lower()
    assert kept(store) == []


@pytest.mark.usefixtures("bench")
def test_a_place_without_a_pour_says_to_log_it_first(
    phone: Phone, store: Store, hands: Hands
) -> None:
    hands.forward(8)
    page = phone.send(upload(phone, LOGGER).form("/keep"), "Keep these readings")
    assert phone.status == 422
    assert "log the pour first" in page.text
    assert kept(store) == []


ABROAD = "Nr;Zeit;T1;T2\n1;14.10.2026 18:00;21,5;8,5\n2;14.10.2026 21:00;21,0;7,25\n"


@pytest.mark.usefixtures("poured")
def test_what_was_guessed_wrongly_is_corrected_and_remembered_by_the_loggers_name(
    phone: Phone, store: Store, hands: Hands
) -> None:
    """Its second column is the air; the first is the office. Next week nothing is asked."""
    hands.forward(8)
    page = upload(phone, ABROAD)
    assert "21.5 °C" in page.text
    page = phone.send(page.form("/keep"), "Show them again", air_column="T2", name="Shed stick")
    assert "21.5 °C" not in page.text
    assert "7.2 °C" in page.text
    assert "Read as last time" not in page.text
    assert kept(store) == []
    page = phone.send(page.form("/keep"), "Keep these readings")
    assert kept(store) == [("air", 8.5, None), ("air", 7.2, None)]
    page = upload(phone, ABROAD.replace("8,5", "9,5"))
    assert "Read as last time: Shed stick" in page.text
    assert "9.5 °C" in page.text
    assert "in which degrees" not in page.text
    phone.send(phone.open("/places/1/logger").form("/forget"))
    assert "Read as last time" not in upload(phone, ABROAD).text


@pytest.mark.usefixtures("poured")
def test_a_file_read_in_a_wrong_way_keeps_what_was_chosen_and_says_which_line(
    phone: Phone, store: Store, hands: Hands
) -> None:
    hands.forward(8)
    page = upload(phone, ABROAD)
    page = phone.send(
        page.form("/keep"), "Keep these", air_column="Nr", decimal=".", time_column="T1"
    )
    assert phone.status == 422
    assert "line 2, time 21,5" in page.text
    assert not any("Keep" in words for words, _, _ in page.form("/keep").buttons)
    page = phone.send(page.form("/keep"), "Show", air_column="T2", decimal=",", time_column="Zeit")
    assert "8.5 °C" in page.text
    assert kept(store) == []
    answer = phone.send(page.form("/keep"), "Keep these", held="gone")
    assert "once more" in answer.text
    assert kept(store) == []
