"""A water repellent: when it is put on again, and on what it never goes.

Source     UFGS_07190, 2.3.4 (siloxanes) and 3.1 (examination).
Page says  Dry time for recoat of a siloxane one to two hours; surfaces free of curing compounds and
           whatever else would prevent full penetration; none on damp surfaces.
Status     page.
Tolerance  exact: the sheet takes the page's own ends.
"""

import pytest

from models.coating.film import SealerSystem
from models.coating.finish import checked
from models.errors import InputError
from models.facts.moisture import AFTER_RAIN_H, AFTER_RAIN_USUAL_H

REPELLENT = SealerSystem("silane-siloxane")


def test_its_second_coat_goes_on_after_one_to_two_hours() -> None:
    sheet = REPELLENT.resolved()
    assert (sheet.recoat_min_h, sheet.recoat_max_h) == (1.0, 2.0)


@pytest.mark.parametrize("film", ["water-based-acrylic", "solvent-acrylic", "epoxy", "wax"])
def test_nothing_that_keeps_it_out_lies_under_it(film: str) -> None:
    with pytest.raises(InputError, match=f"silane-siloxane over {film}"):
        checked([SealerSystem(film), REPELLENT])
    checked([REPELLENT, SealerSystem(film)])


def test_it_waits_longest_after_water() -> None:
    assert AFTER_RAIN_H["silane-siloxane"] > AFTER_RAIN_USUAL_H
