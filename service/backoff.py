"""How long to wait after failures in a row: twice as long each time, up to a bound."""

from datetime import timedelta

MOST_DOUBLINGS = 10


def pause(first: timedelta, failures: int, longest: timedelta) -> timedelta:
    """The pause after `failures` failures in a row, of which the first is followed by `first`.

    >>> pause(timedelta(minutes=1), 3, timedelta(hours=1))
    datetime.timedelta(seconds=240)
    """
    doublings = min(max(failures - 1, 0), MOST_DOUBLINGS)
    return min(first * (1 << doublings), longest)
