"""Laws of rain on a piece: no more goes in than falls, more rain never dries it sooner."""

from dataclasses import replace

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from models.concrete import moisture
from tests.support import sections
from tests.support.thorough import some


def law_of(members: int, seed: int) -> moisture.Law:
    random = np.random.default_rng(seed)
    return moisture.Law(
        random.uniform(8, 60, members),
        random.uniform(0.02, 0.3, members),
        random.uniform(0.75, 0.85, members),
        random.uniform(2000, 4700, members),
        random.uniform(0, 2, members),
        random.uniform(0.7, 1.4, members),
        sorptivity=random.uniform(0.02, 0.25, members),
    )


def weather(hours: int, members: int, seed: int, share: float) -> moisture.Conditions:
    random = np.random.default_rng(seed)
    air = np.repeat(random.uniform(0.4, 0.8, (1, members)), hours, axis=0)
    rain = random.exponential(1.5, (hours, members)) * (random.random((hours, members)) < share)
    return moisture.Conditions(
        air, air, np.full((hours, members), 15.0), np.zeros((hours + 1, members)), rain
    )


@settings(max_examples=some(10, 2000))
@given(
    thickness=st.floats(20.0, 150.0),
    seed=st.integers(0, 10_000),
    start=st.floats(0.4, 1.0),
    share=st.floats(0.01, 0.9),
    steps=st.sampled_from([1, 3]),
)
def test_no_more_is_taken_up_than_falls_and_no_more_than_there_is_room_for(
    thickness: float, seed: int, start: float, share: float, steps: int
) -> None:
    around = weather(48, 3, seed, share)
    dried = moisture.drying(
        thickness, law_of(3, seed), around, start_rh=start, steps_per_hour=steps
    )
    assert around.top_wet_mm is not None
    fallen = np.concatenate((np.zeros((1, 3)), np.cumsum(around.top_wet_mm, axis=0)))
    assert (dried.soaked_kg_m2 <= fallen + 1e-9).all()
    assert (np.diff(dried.soaked_kg_m2, axis=0) >= 0).all()
    assert (dried.probe_rh <= 1 + 1e-12).all()


@settings(max_examples=some(10, 2000))
@given(
    thickness=st.floats(20.0, 150.0),
    seed=st.integers(0, 10_000),
    share=st.floats(0.01, 0.6),
    more=st.floats(1.0, 6.0),
    wetter=st.floats(0.0, 0.2),
)
def test_more_rain_or_wetter_air_never_leaves_a_drier_piece(
    thickness: float, seed: int, share: float, more: float, wetter: float
) -> None:
    around, law = weather(96, 3, seed, share), law_of(3, seed)
    assert around.top_wet_mm is not None
    damp = replace(
        around, top_wet_mm=around.top_wet_mm * more, top_rh=np.minimum(around.top_rh + wetter, 1.0)
    )
    less = moisture.drying(thickness, law, around, start_rh=0.9)
    wet = moisture.drying(thickness, law, damp, start_rh=0.9)
    assert (wet.probe_rh >= less.probe_rh - 1e-5).all()
    assert (
        wet.mean_rh >= less.mean_rh - 3e-3
    ).all()  # three passes do not settle a thin first hour


@given(seed=st.integers(0, 10_000), low=st.floats(0.3, 0.8), up=st.floats(0.0, 0.2))
@settings(max_examples=some(8, 2000))
def test_what_was_wetter_before_the_rain_is_never_the_drier_after_it(
    seed: int, low: float, up: float
) -> None:
    around, law = weather(72, 3, seed, 0.2), law_of(3, seed)
    a, b = (moisture.drying(50.0, law, around, start_rh=start) for start in (low, low + up))
    assert (b.mean_rh >= a.mean_rh - 1e-3).all()
    assert (b.probe_rh >= a.probe_rh - 1e-6).all()


def test_what_falls_lightly_is_taken_up_whole_and_weighed() -> None:
    hours, fell = 3, 0.2
    air = np.full((hours, 1), np.nan)
    around = moisture.Conditions(
        air, air, np.full((hours, 1), 20.0), np.zeros((hours + 1, 1)), np.full((hours, 1), fell)
    )
    dried = moisture.drying(50.0, sections.printed_law(30.0), around, start_rh=0.6)
    np.testing.assert_allclose(dried.soaked_kg_m2[-1], hours * fell, rtol=1e-9)
    gained = -float(dried.lost_kg_m2[1, 0] - dried.lost_kg_m2[0, 0])
    assert 0.5 * fell < gained <= 1.001 * fell  # on the scale after an hour; the rest has run on


def test_a_wet_face_of_a_closed_piece_is_rained_on_whichever_face_it_is() -> None:
    shut, warm, none = np.full((4, 1), np.nan), np.full((4, 1), 20.0), np.zeros((5, 1))
    water = np.full((4, 1), 5.0)
    law = sections.printed_law(30.0)
    top = moisture.drying(
        50.0, law, moisture.Conditions(shut, shut, warm, none, water), start_rh=0.6
    )
    low = moisture.drying(
        50.0, law, moisture.Conditions(shut, shut, warm, none, None, water), start_rh=0.6
    )
    np.testing.assert_allclose(top.soaked_kg_m2, low.soaked_kg_m2, rtol=1e-9)
    np.testing.assert_allclose(top.tilt_rh, -low.tilt_rh, atol=1e-9)
    assert top.tilt_rh[-1, 0] < 0  # the upper face is the wet one
