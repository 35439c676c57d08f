"""Ultimate degree of hydration of Portland cement.

Source     MILLS_1966: 1.031 w/c / (0.194 + w/c).
Page says  w/c 0.40, 0.45, 0.50, 0.55: 0.6943, 0.7204, 0.7428, 0.7622.
Status     from memory.
Tolerance  1e-4, the digits printed.
"""

from models.concrete import hydration


def test_more_water_lets_more_cement_react_and_never_all_of_it() -> None:
    got = hydration.ultimate_degree([0.3, 0.4, 0.6, 1.0])
    assert (got[1:] > got[:-1]).all()
    assert got[-1] < 0.87
