"""A server of 256 files goes on under hostile and many hands, in bounded memory."""

from pathlib import Path

from tests.faults import hostile_hands

HALF_SENT = 30  # of 8 MB each


def test_who_asks_is_answered_among_silent_half_sent_and_many(tmp_path: Path) -> None:
    """`python tests/faults/hostile_hands.py` does the same with more hands, and prints it."""
    attacks = (("silent", 300, 4), ("half-sent", HALF_SENT, 4), ("writers", 12, 2))
    seen = {one.name: one for one in hostile_hands.run(tmp_path, attacks, 0.0)}
    for one in seen.values():
        assert one.answered == one.asked > 0, one
        assert one.lines <= hostile_hands.MOST_LINES, one
        assert one.files <= hostile_hands.FILES, one
    before, most, _ = seen["half-sent"].rss_MB
    assert most - before < HALF_SENT * 8 / 2, "few of them are held at once"
