"""The walls of the mould of a scenario file, as text and as JSON."""

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from models import quantity
from models.message import Message
from models.mould import told
from models.mould.check import Checked, check
from models.mould.pressure import Placing, pressing_kg_m3
from models.simulation.scenario import Scenario
from service import scenario_file
from service.cli import printed
from service.cli.inputs import placed
from service.nouns import walls
from service.words import say_all


def answer(file: Path, fresh: str, slump: str, *, shaken: bool) -> "Told":
    """fresh, slump : lengths with their unit, or in mm

    Raises InputError for what cannot be.
    """
    with placed(file):
        read = scenario_file.read(file)
        scenario = read.scenario
        placing = Placing(
            placing_h=scenario.placement.placing_h,
            concrete_C=scenario.placement.concrete_C,
            slump_mm=_length("--slump", slump),
            shaken=shaken,
            density_kg_m3=pressing_kg_m3(scenario.mixture.density_kg_m3),
        )
        found = check(scenario.shape, scenario.mould, placing, _length("--fresh", fresh))
        return Told(scenario, found, read.release_agent, read.turnaround_h)


@dataclass(frozen=True)
class Told:
    """The answer."""

    scenario: Scenario
    found: Checked
    release_agent: str
    turnaround_h: float | None

    def as_json(self) -> object:
        """As the interface tells it."""
        board = self.scenario.mould
        answer = walls.read(board.material, board.thickness_mm, self.found)
        return answer.model_dump(mode="json")

    def as_text(self, units: str) -> str:
        """A line a wall, its screws, what floats, the board."""
        reader = printed.reader_of(self.scenario, units, None)
        found = self.found
        values = {"foot_kPa": found.pressure.most_kPa, "fresh_mm": found.pressed.fresh_mm}
        messages = [
            Message(f"mould_state.{found.state}"),
            Message(f"mould_pressure.{found.pressure.rule}", values),
            *told.walls(found),
            *told.screws(found),
            *told.uplifts(found),
            *told.bearers(found),
            *told.material(self.scenario.mould.material),
            *self._kept(),
            Message("mould_estimate"),
        ]
        return "\n".join([self.scenario.name, *say_all(messages, reader)])

    def _kept(self) -> Iterator[Message]:
        """How it is kept, where that was told."""
        if self.release_agent:
            yield Message("print_release_agent", {"text": self.release_agent})
        if self.turnaround_h is not None:
            yield Message("print_turnaround", {"turnaround_h": self.turnaround_h})


def _length(name: str, text: str) -> float | None:
    if not text:
        return None
    bare = text.replace(".", "", 1).isdigit()
    return quantity.read(name, float(text) if bare else text, "length_mm")
