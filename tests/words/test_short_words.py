"""What is said in the width of a cell."""

from models.message import Message
from service.pages.week import short
from tests.support.words import laid


def test_a_way_is_short_in_a_cell() -> None:
    """The cover alone: its water, its heat and how far it hangs are told on tap."""
    tent = Message("cover_with", {"cover": "heated enclosure", "with": (Message("heat_electric"),)})
    assert short(Message("way_cover", {"cover": tent})) == "heat"
    assert short(Message("way_cover_warm_water", {"cover": laid("blanket")})) == "blanket"
    assert short(Message("way_cover", {"cover": laid("two blankets")})) == "blanket ×2"
    assert short(Message("way_warm_water")) == "bare"
