"""Options and arguments that several commands of `castclock` take."""

from pathlib import Path
from typing import Annotated

import typer

from service import machine

ScenarioArgument = Annotated[Path, typer.Argument(metavar="SCENARIO.toml", help="One pour.")]
JsonOption = Annotated[bool, typer.Option("--json", help="JSON instead of a table.")]
WeatherOption = Annotated[
    Path | None,
    typer.Option("--weather", metavar="FILE.csv", help="Instead of the scenario's; or FILE.epw."),
]
UnitsOption = Annotated[
    str, typer.Option("--units", metavar="si|us", help="Of what is printed, and its clock.")
]
AllOption = Annotated[
    bool, typer.Option("--all", help="Every reason, not what fits on one screen.")
]
NowOption = Annotated[
    str, typer.Option("--now", metavar="ISO", help="The present instant, with its offset.")
]
PlanOption = Annotated[
    Path | None,
    typer.Option("--plan", metavar="FILE", help="What is meant instead: TOML, or JSON as printed."),
]
DataOption = Annotated[str, typer.Option("--data", metavar="DIR", help="Folder of the shop.")]
DatabaseOption = Annotated[
    str, typer.Option("--database", metavar="URL", help="sqlite:///FILE or postgresql://...")
]
ShopOption = Annotated[
    str, typer.Option("--shop", metavar="NAME", help="Of several on this server.")
]
HostOption = Annotated[str, typer.Option("--host", help="Address to listen on.")]
PortOption = Annotated[int, typer.Option("--port", help="Port to listen on.")]
VersionOption = Annotated[
    bool,
    typer.Option("--version", is_eager=True, callback=machine.print_version, help="Print it."),
]
RootPathOption = Annotated[
    str, typer.Option("--root-path", metavar="/PATH", help="Of a host that others share.")
]
LanOption = Annotated[
    bool, typer.Option("--lan", help="For phones in this network: prints address and code.")
]
HttpsOption = Annotated[
    bool, typer.Option("--https", help="With --lan: by an authority of its own.")
]
FreshOption = Annotated[
    str, typer.Option("--fresh", metavar="DEPTH", help="Fresh at once, where lifts have set.")
]
SlumpOption = Annotated[
    str, typer.Option("--slump", metavar="LENGTH", help="Of a mix that does not flow.")
]
RoddedOption = Annotated[bool, typer.Option("--rodded", help="By hand, not vibrated.")]
