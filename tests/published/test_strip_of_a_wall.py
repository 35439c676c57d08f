"""A strip of a wall between its supports.

Source     FORMWORK_PEURIFOY for the sheathing of three spans; beam theory.
Page says  713 lb/ft on E 1.65e6 psi, I 0.199 in4: 13.1 in keep l / 360, 14.9 in keep 1/16 in; at
           10.75 in it bows 0.017 in.
Status     page for the example; exact mathematics for 5 p L4 / 384 and for a board that is tall.
Tolerance  half a unit of the last printed figure; 1 % where a plate becomes a strip.
"""

import pytest

from models.mould.plate import Load, bent, strip_bow, three_spans_bow
from models.mould.walls import allowed_mm
from models.units import Array

EI = 1.65e6 * 0.199  # lb in2


def bow_in(span_in: float) -> float:
    """713 lb/ft are 59.4 lb/in; the function's kPa are thousandths of a load a length squared."""
    return three_spans_bow(span_in, 1e3 * 713 / 12) / EI


def test_the_printed_spans_and_bow() -> None:
    assert bow_in(13.06) == pytest.approx(13.06 / 360, rel=0.005)
    assert bow_in(14.97) == pytest.approx(1 / 16, rel=0.005)
    assert bow_in(10.75) == pytest.approx(0.017, abs=0.0005)


def test_simple_span_at_the_foot_of_450_mm() -> None:
    EI_mm = 2250.0 * 16.0**3 / 12
    assert strip_bow(300.0, 10.59) / EI_mm == pytest.approx(1.45, abs=0.006)
    assert strip_bow(300.0, 10.59) / (2250.0 * 19.0**3 / 12) == pytest.approx(0.87, abs=0.006)
    assert allowed_mm(300.0) == pytest.approx(0.83, abs=0.005)


def test_three_spans_bow_half_of_one() -> None:
    ratio = three_spans_bow(1.0, 1.0) / strip_bow(1.0, 1.0)
    assert ratio == pytest.approx(0.53, abs=0.005)


class Even(Load):
    """The same at every height."""

    def at(self, y_mm: Array) -> Array:
        return 0.0 * y_mm + self.most_kPa


def test_a_tall_plate_is_a_strip_between_its_ribs() -> None:
    load = Even(0.0, 8.0, 0.0, 1e3)
    tall = bent(1.0, 8.0, load, "simple", "simple", 0.3)
    assert tall.most == pytest.approx(strip_bow(1.0, 1e3), rel=0.01)
