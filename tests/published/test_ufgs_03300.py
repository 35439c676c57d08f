"""How deep a poker goes into the batch below, and how long a batch may wait.

Source     UFGS_03300, 3.8.
Page says  at least 150 mm (6 in) into the preceding layer; not in slabs of 100 mm (4 in) or less;
           placed within two hours or until it begins to lose its plasticity.
Status     page.
Tolerance  exact; the two hours are no joint for a general-purpose mix at 20 degC.
"""

from models.facts.fresh import INTO_BELOW_MM, SLAB_MM
from tests.support.two_batches import warned_of


def test_the_poker_goes_into_the_batch_below_but_in_slabs() -> None:
    assert (INTO_BELOW_MM, SLAB_MM) == (150.0, 100.0)


def test_two_hours_are_no_joint() -> None:
    assert warned_of(2.0, 20.0) == []
