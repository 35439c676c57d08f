"""What is said in the width of a cell."""

from models.message import Message
from service.pages.week import short
from tests.support.words import laid


def test_a_way_is_short_in_a_cell() -> None:
    kept = (Message("cover_kept", {"setpoint_C": 20.0}), Message("heat_electric"))
    tent = Message("cover_with", {"cover": "heated enclosure", "with": kept[1:]})
    two = Message("cover_with", {"cover": "heated enclosure", "with": kept})
    assert short(Message("way_indoors_cover_warm_water", {"cover": tent})) == "in heat+w"
    assert short(Message("way_cover", {"cover": two})) == "heat (20 °C)"
    before = (*kept[1:], Message("heated_before"))
    warm = Message("cover_with", {"cover": "heated enclosure", "with": before})
    assert short(Message("way_cover_warm_water", {"cover": warm})) == "w+preheat"
    assert (
        short(Message("way_cover_warm_water", {"cover": Message("cover", {"cover": "blanket"})}))
        == "w+1bl"
    )
    assert short(Message("way_cover", {"cover": laid("blanket")})) == "1bl"
