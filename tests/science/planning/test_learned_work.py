"""Minutes of work are learned from what a shop timed, slowly, and from the middle of it."""

import pytest

from models.planning.courses import Work, Works
from models.planning.learned_work import LAST, Took, at_pace, paces

USUAL = Works(Work(60), Work(30), Work(20, 3), Work(60), Work(30))


def strips(*minutes: float) -> list[Took]:
    return [Took("strip", each, 30.0) for each in minutes]


def test_what_nobody_timed_stays_as_it_is_usual() -> None:
    assert at_pace(USUAL, paces([])) == USUAL
    known = at_pace(USUAL, paces(strips(60)))
    assert (known.pour, known.turn, known.finish, known.clean) == (
        USUAL.pour,
        USUAL.turn,
        USUAL.finish,
        USUAL.clean,
    )


def test_the_more_is_told_the_more_it_counts() -> None:
    learned = [at_pace(USUAL, paces(strips(*[60.0] * n))).strip.minutes for n in range(LAST + 1)]
    assert learned == sorted(learned)
    assert learned[0] == 30.0
    assert learned[1] == pytest.approx(30 * 2**0.25)
    assert 50.0 < learned[LAST] < 60.0


def test_one_interrupted_afternoon_moves_little() -> None:
    steady, once = (paces(strips(*told))["strip"].times for told in ([45] * 9, [45] * 8 + [1440]))
    assert once == pytest.approx(steady)


def test_the_newest_count() -> None:
    told = strips(*[60.0] * LAST, *[5.0] * 30)
    assert paces(told) == paces(strips(*[60.0] * LAST))
    assert paces(told)["strip"].told == LAST


def test_it_goes_by_the_size_of_the_piece_and_keeps_the_hands() -> None:
    """Twice as long as usual for a small and for a large one is twice as long for any."""
    told = [Took("turn", 10.0, 5.0), Took("turn", 80.0, 40.0)]
    assert paces(told)["turn"].times == pytest.approx(2**0.4)
    turn = at_pace(USUAL, paces(told)).turn
    assert turn.minutes == pytest.approx(20 * 2**0.4)
    assert turn.hands == 3


def test_finishing_is_never_shorter_since_packing_is_timed_by_no_step() -> None:
    assert paces([Took("finish", 10.0, 60.0)] * 5)["finish"].times == 1.0
    assert paces([Took("finish", 120.0, 60.0)] * 5)["finish"].times > 1.4
