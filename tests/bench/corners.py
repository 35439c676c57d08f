"""Corners of wrapped pieces against three dimensions: `python tests/bench/corners.py [--halved]`.

A panel of 50 mm and a pedestal in boards of 16 mm (thick ones 40 mm), under five covers, at 0 and
-10 degC: hour at which the corner may be struck and at which it first falls to 0 degC, equivalent
age at 24 and 72 h, and its temperature at 24 h, as told and as solved by
`tests/support/moulded_box.py` (a quarter of the piece, boards with their mass).
`--halved` says besides by how much cells and steps of half the size move what is solved.
"""

import argparse
import sys
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[2]))

from models.piece.shape import Shape
from tests.support.wrapped_corners import PANEL, PEDESTAL, STRIP_TE_H, all_wrapped

HEAD = (
    f"{'cover':15s} {'air':>4s}  {'strip h':>13s}  {'0 degC at h':>13s}  {'age 24 h':>13s}  "
    f"{'age 72 h':>13s}  {'degC 24 h':>13s}  {'mean age 72':>13s}"
)


def pair(told: float, solved: float) -> str:
    return f"{told:6.1f} {solved:6.1f}"


def of_shape(words: str, shape: Shape, halved: bool) -> None:
    print(f"{words}: told and solved")
    print(HEAD)
    for (name, air_C), one in all_wrapped(shape).items():
        solved, told = one.solved, one.told
        ages = told.te_cold_h[:, 0]
        line = (
            pair(one.told_strip_h, solved.reaches_h(STRIP_TE_H)),
            pair(one.told_freezes_h, solved.freezes_h),
            pair(ages[24], solved.least_te_h[24]),
            pair(ages[72], solved.least_te_h[72]),
            pair(one.told_corner_C[24], solved.corner_C[24]),
            pair(told.te_mean_h[72, 0], solved.mean_te_h[72]),
        )
        print(f"{name:15s} {air_C:4.0f}  {'  '.join(line)}")
        if halved:
            finer = one.box.solved(one.hours, fine=2.0, step_h=1 / 20)
            off = np.abs(finer.least_te_h[6:] / solved.least_te_h[6:] - 1)
            print(f"{'':20s}  halved: ages move by {100 * off.max():.1f} % at most")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--halved", action="store_true", help="show what a finer grid changes")
    halved = parser.parse_args().halved
    of_shape("panel 900 x 700 x 50 mm", PANEL, halved)
    of_shape("pedestal 300 x 300 x 450 mm", PEDESTAL, halved)


if __name__ == "__main__":
    main()
