"""How many people lift a piece.

Source     HSE_L23, paragraph 120 of the third edition.
Page says  as an approximate guide, two have two thirds of the sum of what each may lift alone,
           three have half; teams of more than four are unlikely to work.
Status     page for the shares; 25 kg a person from memory.
Tolerance  exact: shares are printed in words.
"""

import pytest

from models.facts.handling import LIFT_KG
from models.piece import handling
from tests.published.register.hse_l23 import SHARES


@pytest.mark.parametrize(("people", "share"), SHARES.items())
def test_a_team_has_its_printed_share_of_the_sum(people: int, share: float) -> None:
    assert handling.team_kg(people) == pytest.approx(share * people * LIFT_KG)
    assert handling.people_for(share * people * LIFT_KG - 0.1) <= people


@pytest.mark.parametrize(("kg", "least"), [(34.0, 3), (38.0, 4), (50.0, 4), (51.0, 5)])
def test_a_piece_over_what_a_team_has_is_not_for_that_team(kg: float, least: int) -> None:
    assert handling.people_for(kg) == least


def test_fifty_kilograms_are_not_for_two_and_more_than_a_team_are_for_a_hoist() -> None:
    team = handling.hands_for(50.0)
    assert handling.people_for(50.0) > 2
    assert (team.code, team.values["people"]) == ("lift_by_team", handling.people_for(50.0))
    assert handling.hands_for(120.0).code == "lift_by_hoist"
