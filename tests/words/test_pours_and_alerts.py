"""The sentences of the pour check, of alerts and of what was used of the weather."""

from datetime import UTC, datetime

import pytest

from models.message import Message, Value
from service.words import US, Reader, say, sentence
from tests.support.words import laid

HERE = Reader("America/Chicago")
AT = datetime(2026, 10, 15, 12, 30, tzinfo=UTC)  # Thursday, 07:30 there
BLANKET = Message("cover", {"cover": "blanket"})
WITH_BLANKET = Message("with_way", {"way": Message("way_cover", {"cover": BLANKET})})
COLD: dict[str, Value] = {"chance": 0.31, "need_MPa": 3.5, "from_at": AT}


@pytest.mark.parametrize(
    ("message", "said"),
    [
        (Message("way_bare"), "bare"),
        (
            Message(
                "way_indoors_cover_warm_water",
                {
                    "cover": Message(
                        "cover_with",
                        {
                            "cover": "heated enclosure",
                            "with": (
                                Message("cover_kept", {"setpoint_C": 20.0}),
                                Message("heat_electric"),
                            ),
                        },
                    )
                },
            ),
            "indoors with heated enclosure (20 °C, electric heat) and warm mixing water",
        ),
        (
            Message(
                "cover_with",
                {"cover": "blanket", "with": (Message("cover_resists", {"R_m2K_W": 0.3}),)},
            ),
            "one blanket (R 0.3)",
        ),
        (laid("blanket"), "one blanket (over the top and down the sides)"),
        (laid("foam", "top"), "foam boards (over the top only)"),
        (laid("foam", "all"), "foam boards (all round, underside too)"),
        (Message("pour_under", {"way": WITH_BLANKET}), "pour with one blanket"),
        (
            Message(
                "way_fails",
                {
                    "way": WITH_BLANKET,
                    "risks": (
                        Message(
                            "risk_C",
                            {"chance": 0.34, "risk": "freezes", "value_C": -0.11, "limit_C": 0.0},
                        ),
                        Message(
                            "risk_m_s",
                            {"chance": 0.12, "risk": "wind", "value_m_s": 9.0, "limit_m_s": 8.5},
                        ),
                    ),
                },
            ),
            "with one blanket, freezing while it is young: 1 in 3 (-0.11 °C, limit 0),"
            " wind takes the cover: 1 in 10 (9 m/s, limit 8.5)",
        ),
        (
            Message("strip_sure_sooner_in", {"at": AT, "way": WITH_BLANKET, "saved_h": 13.2}),
            "strip, safe from Thu 15 Oct 07:30, with one blanket 13 h sooner",
        ),
        (
            Message(
                "float_about", {"at": AT, "why": (Message("in_the_dark_after", {"dusk_at": AT}),)}
            ),
            "float about Thu 15 Oct 07:30, in the dark (dusk 07:30)",
        ),
        (
            Message("heat_from", {"heat": Message("heat_vented"), "at": AT, "base_C": 13.4}),
            "vented heat from Thu 15 Oct 07:30 before you pour: mould, base and tent together,"
            " until what the concrete meets is at 13.4 °C",
        ),
        (
            Message("taken_as_the_air", {"part": ("bags", "mould")}),
            "bags, mould as warm as the air at the place",
        ),
        (
            Message(
                "alert_frost_cover",
                {
                    **COLD,
                    "cover": BLANKET,
                    "by": Message("act_by", {"at": AT}),
                    "after_chance": 0.08,
                },
            ),
            "frost: one blanket on by Thu 15 Oct 07:30; without it 1 in 3 that the coldest corner"
            " freezes before it has 3.5 MPa, from about Thu 15 Oct 07:30 on, with it 1 in 10",
        ),
        (
            Message("alert_frost_no_cover", {**COLD, "by": Message("act_at_once")}),
            "frost: 1 in 3 that the coldest corner freezes before it has 3.5 MPa, from Thu 15"
            " Oct 07:30 on; no cover you own helps: warm it with electric heat or carry it"
            " into a room at once",
        ),
        (
            Message("alert_wind", {**COLD, "by": Message("act_at_once"), "bears_m_s": 5.5}),
            "wind: 1 in 3 that it blows more than 5.5 m/s at the piece, from Thu 15 Oct 07:30 on;"
            " weigh the cover down along every edge at once",
        ),
        (
            Message(
                "reading_colder",
                {"reading": "air-min-max", "at": AT, "read_C": -0.04, "foreseen_C": 6.0},
            ),
            "the min-max reading of 0.0 °C at Thu 15 Oct 07:30 can't be right here (expected about"
            " 6 °C): the colder counts until a second reading agrees with either, or the reading"
            " is marked as wrong",
        ),
        (Message("too_few_readings", {"readings": 1}), "1 air reading so far"),
        (
            Message("earlier_by_days", {"change": Message("blanket_from_now"), "gain_days": 2.2}),
            "a blanket over the top and down the sides from now on: 2 days earlier",
        ),
    ],
    ids=lambda one: one.code if isinstance(one, Message) else "",
)
def test_what_is_said_of_a_code(message: Message, said: str) -> None:
    assert say(message, HERE) == said


def test_a_wait_says_what_stands_in_the_way_and_when_it_passes() -> None:
    fails = Message("even_way_fails", {"way": Message("left_bare"), "risks": ()})
    parts = (fails, Message("first_hour_passes", {"at": AT, "way": WITH_BLANKET}))
    told = sentence(parts, HERE)
    assert told.startswith("Even left bare")
    assert told.endswith("; first good hour: Thu 15 Oct 07:30, with one blanket.")


def test_degrees_are_the_readers() -> None:
    told = say(Message("mixing_water", {"water_C": 60.0}), Reader("UTC", US))
    assert told == "mixing water at 140 °F"
