"""Two typed temperatures are told as their reader measures, wherever weather is of them."""

import pytest

from models.message import Message
from service.words import PLAIN, US, Reader, say, source

TYPED = "typed by hand: night -6.7 C, day 5 C"


@pytest.mark.parametrize(
    ("text", "told"),
    [
        (TYPED, "typed by hand: night 20 °F, day 41 °F"),
        (
            f"service; hours it lacks from {TYPED}",
            "service; hours it lacks from typed by hand: night 20 °F, day 41 °F",
        ),
        ("file at 5 C.csv", "file at 5 C.csv"),
    ],
)
def test_a_typed_pair_is_told_in_fahrenheit(text: str, told: str) -> None:
    american = Reader("UTC", units=US)
    assert source(text, american) == told
    message = Message("weather_typed", {"source": text})
    assert told in say(message, american)


def test_and_in_degrees_with_their_sign() -> None:
    assert source(TYPED, PLAIN) == "typed by hand: night -6.7 °C, day 5 °C"
