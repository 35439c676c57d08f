"""What broken cubes and seen sets tell of a mix, and what that makes of its members."""

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from models.concrete import prior as priors
from models.concrete.calibrated_mix import calibrate
from models.concrete.mixture import LabelStrength, Mixture
from models.errors import InputError

APART = 0.15
BAG = Mixture("general-purpose", (LabelStrength(168.0, 19.0), LabelStrength(672.0, 28.0)))


def test_without_results_a_mix_is_what_its_bag_says() -> None:
    got = calibrate([], [], labelled=True)
    assert (got.strength_factor, got.set_factor, got.results) == (1.0, 1.0, 0)


def test_one_result_moves_a_mix_a_little_and_eight_move_it_nearly_there() -> None:
    off = float(np.log(0.8))
    one, eight = (calibrate([(off, APART)] * n, [], labelled=True).strength_factor for n in (1, 8))
    assert 0.8 < eight < 0.85 < one < 0.95
    assert calibrate([(off, APART)], [], labelled=False).strength_factor < one


def test_a_mix_that_sets_late_is_learned_beside_its_strength() -> None:
    got = calibrate([], [(float(np.log(1.3)), 0.18)] * 5, labelled=True)
    assert got.strength_factor == 1.0
    assert 1.2 < got.set_factor < 1.3
    assert got.set_sd < priors.SET_SD


def test_a_result_that_cannot_be_the_mix_is_left_out() -> None:
    """A cube dropped before it was broken."""
    dropped, whole = (float(np.log(0.1)), APART), (0.0, APART)
    assert calibrate([dropped, whole], [], labelled=True) == calibrate([whole], [], labelled=True)


def test_a_cube_of_a_cold_night_tells_less_than_one_of_a_warm_room() -> None:
    """There the rate law parts the members, and not the mix."""
    warm, cold = (
        calibrate([(float(np.log(0.8)), apart)], [], labelled=True) for apart in (APART, 0.5)
    )
    assert warm.strength_factor < cold.strength_factor < 1.0
    assert warm.strength_sd < cold.strength_sd


def test_factors_move_every_member_and_nothing_else() -> None:
    plain = priors.draw(BAG, 64, 3)
    strong = priors.draw(replace(BAG, strength_factor=0.8), 64, 3)
    late = priors.draw(replace(BAG, set_factor=1.5), 64, 3)
    assert strong.strength_28d_MPa == pytest.approx(0.8 * plain.strength_28d_MPa)
    assert strong.named_28d_MPa == plain.named_28d_MPa
    assert strong.initial_set_h == pytest.approx(plain.initial_set_h)
    assert late.initial_set_h == pytest.approx(1.5 * plain.initial_set_h)
    assert late.final_set_h == pytest.approx(1.5 * plain.final_set_h)


@pytest.mark.parametrize("name", ["strength_factor", "set_factor"])
def test_a_factor_that_no_mix_has_is_refused(name: str) -> None:
    changed: dict[str, Any] = {name: 3.0}
    with pytest.raises(InputError, match=f"{name}.*0.4 to 2.5"):
        replace(BAG, **changed)
