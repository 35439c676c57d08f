"""Servers, workers and backups forked off a process that has everything loaded, so that a start
after a kill costs no imports. Each is the command itself, in a process of its own.

Told by lines of JSON: {"argv", "environ", "out"} answers with the number of a new process, {"kill"}
kills one of that number with -9, {"ended"} waits for one; what is left at the end is killed.
"""

import json
import os
import signal
import sys
from typing import Any, NoReturn

import apprise
from starlette.testclient import TestClient

from service import app, cli
from service.cli import doctor, serving  # noqa: F401
from service.store import backup, head  # noqa: F401

BUILT = app.routed()


def born(told: dict[str, Any]) -> int:
    child = os.fork()
    if child:
        return child
    _live(told)


def _live(told: dict[str, Any]) -> NoReturn:
    code = 1
    try:
        os.environ.update(told["environ"])
        out = os.open(told["out"], os.O_WRONLY | os.O_APPEND | os.O_CREAT)
        os.dup2(os.open(os.devnull, os.O_RDONLY), 0)
        os.dup2(out, 1)
        os.dup2(out, 2)
        sys.argv = ["castclock", *told["argv"]]
        cli.main()
        code = 0
    except SystemExit as ended:
        code = int(ended.code or 0)
    finally:
        sys.stdout.flush()
        sys.stderr.flush()
        os._exit(code)


def main() -> None:
    head()
    TestClient(BUILT).get("/healthz")  # routes are built at the first request
    BUILT.middleware_stack = None  # each child puts its own before them
    app.routed = lambda root_path="": BUILT
    apprise.Apprise.instantiate("json://localhost/")  # which looks at all that it knows
    serving.warm()
    serving.warm = lambda: None  # it is warm
    alive: set[int] = set()
    print("ready", flush=True)
    for line in sys.stdin:
        told = json.loads(line)
        if "argv" in told:
            answer = born(told)
            alive.add(answer)
        else:
            number = told.get("kill") or told["ended"]
            if "kill" in told:
                os.kill(number, signal.SIGKILL)
            _, answer = os.waitpid(number, 0)
            alive.discard(number)
        print(answer, flush=True)
    for number in alive:
        os.kill(number, signal.SIGKILL)


if __name__ == "__main__":
    main()
