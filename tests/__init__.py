"""The tests: a package, since a dependency brings one of this name that would be found instead.

The threads of linear algebra wait for one another by spinning. Beside other workers they took four
times the processor for the same small systems, so each process has one; numpy reads this once, when
it is first imported, which is after this.
"""

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
