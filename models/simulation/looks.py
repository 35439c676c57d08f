"""What a look at the corner, or a broken cube, says of frost: member by member, by Bayes' rule."""

import numpy as np

from models.draws import Draws
from models.facts.frost import LEAST_LEFT, MISTAKEN, MOST_LEFT, SEEN, UNFORESEEN
from models.simulation.scenario import LOOK_KINDS, SOUND, Scenario
from models.steps.opening import Trajectory
from models.units import Array


def strength_left(depth: Array) -> tuple[Array, Array]:
    """Fraction of its strength that each member keeps if it froze, at the corner and in the mean.

    depth : (members,) how deep it froze, share of the thickness, 0 to 1

    Source: MCNEESE_1952 for the half that is lost at the worst; OWN_JUDGEMENT for the spread.
    """
    drawn = Draws(len(depth)).even("strength left after frost")
    corner: Array = LEAST_LEFT + (MOST_LEFT - LEAST_LEFT) * drawn
    return corner, 1 - np.clip(depth, 0.0, 1.0) * (1 - corner)


def settled(
    harm: Array, row: int, harmed: Array | float, sound: Array | float
) -> tuple[Array, Array]:
    """Chance of harm by each row once something was seen at one, (rows, members), 0 to 1, and how
    likely that was in each member, (members,).

    harm : (rows, members) before; harmed, sound : how likely it is in a member that ice had harmed
    by that row, and in one that it had not, 0 to 1, (members,) or alike in all

    Source: Bayes' rule.
    """
    before = harm[row]
    likely = before * harmed + (1 - before) * sound
    after = before * harmed / np.maximum(likely, 1e-300)
    earlier = harm * np.where(before > 0, after / np.maximum(before, 1e-300), 0.0)
    still = np.clip((harm - before) / np.maximum(1 - before, 1e-12), 0.0, 1.0)
    later = after + (1 - after) * still
    rows = np.arange(len(harm))[:, None]
    return np.where(rows <= row, earlier, later), likely


def after_looks(scenario: Scenario, trajectory: Trajectory) -> tuple[Array, Array]:
    """Chance of harm after every look at the corner, (rows, members), 0 to 1, and the logarithm of
    how likely the looks were in each member, (members,).

    A frosted corner may be one that nothing foretold, so that it counts in every member.

    Source: Bayes' rule with the chances of facts.frost.
    """
    harm, log_likely = trajectory.harm, np.zeros(trajectory.members)
    for hour, look in scenario.readings(trajectory.hour[-1], *LOOK_KINDS):
        row = int(np.floor(hour))
        if look.kind == SOUND:
            harm, likely = settled(harm, row, 1 - SEEN, 1 - MISTAKEN)
        else:
            unforeseen = np.where(np.arange(len(harm))[:, None] >= row, UNFORESEEN, 0.0)
            harm = harm + (1 - harm) * unforeseen
            harm, likely = settled(harm, row, SEEN, MISTAKEN)
        log_likely = log_likely + np.log(likely)
    return harm, log_likely


def looked_at_h(scenario: Scenario, now_h: float) -> float:
    """Hour of the last look that found the corner sound [h]; minus infinite: there is none."""
    found = [hour for hour, look in scenario.readings(now_h, SOUND)]
    return max(found, default=-np.inf)
