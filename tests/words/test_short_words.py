"""What is said in the width of a cell."""

from models.message import Message
from service.pages.week import short


def test_a_way_is_short_in_a_cell() -> None:
    kept = (Message("cover_kept", {"setpoint_C": 20.0}), Message("heat_electric"))
    tent = Message("cover_with", {"cover": "heated enclosure", "with": kept[1:]})
    two = Message("cover_with", {"cover": "heated enclosure", "with": kept})
    assert short(Message("way_indoors_cover_warm_water", {"cover": tent})) == "in heat+w"
    assert short(Message("way_cover", {"cover": two})) == "heat (20 C)"
    assert (
        short(Message("way_cover_warm_water", {"cover": Message("cover", {"cover": "blanket"})}))
        == "w+1bl"
    )
