"""Compile every kernel once, before the tests of all workers and the commands that they start.

The sweeps of heat and of moisture take longest and each has a process: numba compiles one function
at a time.
"""

import subprocess

from tests.published.register.neville_1996 import soaked_kg_m2
from tests.support.once import COMMAND, DEMO


def main() -> None:
    heat = subprocess.Popen([COMMAND, "pour-check", DEMO], stdout=subprocess.DEVNULL)
    soaked_kg_m2(water_cement=0.5, hours=1)
    heat.wait()
    subprocess.run([COMMAND, "timeline", DEMO], stdout=subprocess.DEVNULL, check=False)


if __name__ == "__main__":
    main()
