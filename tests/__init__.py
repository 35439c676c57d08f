"""The tests: a package, since a dependency brings one of this name that would be found instead.

The threads of linear algebra wait for one another by spinning. Beside other workers they took four
times the processor for the same small systems, so each process has one. numpy and numba read what
is set here when they are first imported, which is after this.

The kernels lie where the commands that tests start keep them, so that they are compiled once.
"""

import os

from service import machine

machine.keep_compiled_code(os.environ, machine.user_cache(os.environ))
