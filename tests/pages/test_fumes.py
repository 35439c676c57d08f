"""A heater that burns into the place, on the phone: before the answer, not in the small print."""

from datetime import datetime

import pytest
from sqlmodel import select

from models.records import Reminder
from service.actions.pours.change_protection import put_on
from service.actions.shop.set_up_shop import save_place
from service.actions.windows.project_pour import project_pour
from service.nouns.cover import ProtectionCreate
from service.store import Store
from tests.support.phone import Phone
from tests.support.words import said

DANGER = f"▲ {said('fumes').lower()[:16]}"


def test_the_page_of_a_pour_and_the_first_page_begin_with_carbon_monoxide(
    phone: Phone, poured: str, store: Store, now: datetime
) -> None:
    pour_id = int(poured.split("/")[2])
    with store.unit_of_work() as session:
        put_on(
            session,
            now,
            pour_id,
            ProtectionCreate(
                from_at=now,
                kind="heated enclosure",
                setpoint_C=15.0,
                heater="unvented",
            ),
        )
    project_pour(store, now, pour_id)
    page = phone.open(poured)
    assert page.text.lower().index(DANGER[:-1]) < page.text.index("Next: ")
    assert said("fumes").lower() in phone.open("/").text.lower()
    with store.reading() as session:
        rows = session.exec(select(Reminder).where(Reminder.step == "fumes")).all()
    assert [row.state for row in rows] == ["waiting"]
    assert [one["code"] for one in rows[0].facts["because"]] == ["fumes"]


@pytest.mark.usefixtures("poured")
def test_a_pour_in_a_room_with_a_burner_is_asked_about_and_the_danger_stands_first(
    phone: Phone, store: Store, now: datetime
) -> None:
    with store.unit_of_work() as session:
        room = save_place(
            session,
            now,
            {
                "name": "Hall",
                "kind": "heated room",
                "timezone": "America/Chicago",
                "setpoint_C": 18.0,
                "heater": "unvented",
            },
        )
        hall = str(room.id)
    form = phone.open("/tonight").form("/tonight")
    page = phone.send(form, place_id=hall, night_low_C="30 F", day_high_C="40 F")
    shown = page.text.lower()
    assert shown.index(DANGER) < shown.index(f"● {said('verdict_yes').lower()}")
    assert shown.count(DANGER[2:]) == 1
    (link,) = [href for href in page.links if href.startswith("/week/wait?")]
    week = phone.open(link.replace("/wait", ""))
    assert week.text.lower().index(DANGER) < week.text.index("Best: ")
    yard = phone.send(form, night_low_C="20 F", day_high_C="25 F")
    assert "indoors" not in yard.text
