"""`castclock mould`: what imports the science stands in the command, as in the root."""

import json
from collections.abc import Callable

import typer

from service.cli.options import (
    FreshOption,
    JsonOption,
    RoddedOption,
    ScenarioArgument,
    SlumpOption,
    UnitsOption,
)


def add_to(app: typer.Typer, ready: Callable[[], object]) -> None:
    """ready : sets the folder of compiled code"""

    @app.command("mould")
    def walls(
        scenario: ScenarioArgument,
        as_json: JsonOption = False,
        units: UnitsOption = "si",
        fresh: FreshOption = "",
        slump: SlumpOption = "",
        rodded: RoddedOption = False,
    ) -> None:
        """Whether the walls of its mould hold the fresh mix, and what would hold."""
        ready()
        from service.cli import mould_printed

        told = mould_printed.answer(scenario, fresh, slump, shaken=not rodded)
        print(json.dumps(told.as_json(), indent=2) if as_json else told.as_text(units))
