"""The systemd unit leaves the server little to break: systemd's own measure says so."""

import re
import shutil
import subprocess
from pathlib import Path

import pytest

UNIT = Path(__file__).parents[2] / "deploy" / "castclock.service"


@pytest.mark.skipif(not shutil.which("systemd-analyze"), reason="no systemd here")
def test_the_unit_is_exposed_less_than_three() -> None:
    command = ["systemd-analyze", "security", "--offline=true", "--no-pager", str(UNIT)]
    run = subprocess.run(command, capture_output=True, text=True, check=False)
    told = re.search(r"exposure level for castclock\.service: ([0-9.]+)", run.stdout)
    assert told, run.stdout + run.stderr
    assert float(told[1]) < 3.0
