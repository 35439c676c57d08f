"""The picture of a scenario's timeline as a file."""

from datetime import datetime
from pathlib import Path

from models.errors import InputError
from models.results import Projection
from models.simulation.scenario import Scenario
from service import answers
from service.pages import timeline_picture
from service.pages.timeline_picture import Around
from service.pages.view import Clock
from service.words import Reader


def draw(
    file: Path, projection: Projection, scenario: Scenario, now: datetime, reader: Reader
) -> None:
    """Write the wide picture. Raises InputError where the file cannot be written."""
    site, hours = scenario.site, scenario.rules.working_hours
    around = Around(site.latitude, site.longitude, hours)
    answer, concrete = answers.answer(projection, reader), answers.concrete(projection)
    clock = Clock(now, reader)
    text = timeline_picture.alone(answer, concrete, around, reader, clock, scenario.name)
    try:
        file.write_text(text, encoding="utf-8")
    except OSError as error:
        raise InputError(
            "--svg", str(file), f"cannot be written ({error.strerror})", "a file in a folder"
        ) from None
