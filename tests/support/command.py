"""`castclock` in the process of the test: no second Python is started and the science is warm."""

import io
import os
import sys
from contextlib import redirect_stderr, redirect_stdout
from pathlib import Path
from typing import NamedTuple

import pytest

from service import cli


class Ended(NamedTuple):
    """How a command ended: exit code, what it printed, what it complained."""

    code: int
    out: str
    err: str


def castclock(*arguments: str | Path) -> Ended:
    """Run `castclock` with these words, as the installed command does."""
    out, err = io.StringIO(), io.StringIO()
    rights = os.umask(0o077)  # serving and backing up set it for good
    os.umask(rights)
    try:
        with pytest.MonkeyPatch.context() as patch, redirect_stdout(out), redirect_stderr(err):
            patch.setattr(sys, "argv", ["castclock", *map(str, arguments)])
            with pytest.raises(SystemExit) as ended:
                cli.main()
    finally:
        os.umask(rights)
    return Ended(int(ended.value.code or 0), out.getvalue(), err.getvalue())
