"""What a team lifts: two about two thirds of the sum of what each may, three about half."""

from models.facts.handling import LIFT_KG
from models.piece import handling
from tests.published.register.check import Check

SHARES = {2: 2 / 3, 3: 1 / 2}
CHECKS = tuple(
    Check(
        "HSE_L23",
        f"share of their sum that a team of {people} lifts",
        "",
        share,
        lambda people=people: handling.team_kg(people) / (people * LIFT_KG),  # type: ignore[misc]
        "0.005",
        "page",
        "paragraph 120, an approximate guide",
    )
    for people, share in SHARES.items()
)
