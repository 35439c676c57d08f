"""Working time of a mix in heat, halving for each 20 degF."""

from models.concrete import setting
from tests.published.register.check import Check

ROWS = ((90.0, 73.0, 92.0, 47.0), (90.0, 73.0, 80.0, 71.0), (12.0, 70.0, 99.8, 4.3))


def _celsius(fahrenheit: float) -> float:
    return (fahrenheit - 32.0) * 5 / 9


def _working(label_min: float, label_F: float, mix_F: float, minutes: float) -> Check:
    return Check(
        "NFBA_2020",
        f"working time at {mix_F:g} F, label {label_min:g} min at {label_F:g} F",
        "min",
        minutes,
        lambda: float(
            setting.working_time_min(
                _celsius(mix_F), label_min=label_min, label_C=_celsius(label_F)
            )
        ),
        "2 %",
        "mathematics",
        "the page: half the time for each 20 F; worked out",
    )


CHECKS = tuple(_working(*row) for row in ROWS)
