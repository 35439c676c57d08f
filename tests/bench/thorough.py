"""The laws on thousands of examples, and every replay: python tests/bench/thorough.py [TESTS]"""

import os
import subprocess
import sys
from pathlib import Path

TESTS = Path(__file__).parents[1]
WHERE = (
    *("laws", "replays", "science", "browser", "actions", "api", "weather"),
    *("records", "published", "golden/test_frozen.py", "pages/test_demo.py"),
)
if __name__ == "__main__":
    asked = sys.argv[1:] or [str(TESTS / name) for name in WHERE]
    environment = {**os.environ, "CASTCLOCK_THOROUGH": "1"}
    sys.exit(subprocess.run([sys.executable, "-m", "pytest", *asked], env=environment).returncode)
