"""`castclock amounts`: what goes into the piece of a scenario file, before it is poured."""

import json
from pathlib import Path

from service.cli.inputs import placed


def show(scenario: Path, *, as_json: bool, units: str) -> None:
    """As JSON, or as tables."""
    from models.planning.amounts import Cast
    from models.planning.amounts import amounts as found_of
    from service import scenario_file
    from service.cli import printed
    from service.cli.terminal import WIDTH, wrapped
    from service.nouns.amounts import AmountsRead
    from service.pages.amounts_view import notes, sections

    file = scenario_file.read(scenario)
    one = file.scenario
    cast = Cast(one.shape, one.mixture, one.sealer, one.code.key, one.exposed_to_frost, one.then)
    with placed(scenario):
        found = found_of(cast, file.amounts)
    reader = printed.reader_of(one, units, None if as_json else one.placement.at)
    if as_json:
        told = AmountsRead.model_validate(found, context=reader, from_attributes=True)
        print(json.dumps(told.model_dump(mode="json"), indent=2, allow_nan=False))
        return
    print(one.name)
    for part in sections(found, reader):
        print(f"\n{part.title}\n{'-' * len(part.title)}")
        for row in part.rows:
            print(f"{row.name:<22} {row.amount:<28} {row.note}".rstrip())
        for line in wrapped(part.said, width=WIDTH):
            print(line)
    for text in notes(found, reader):
        print("\n" + "\n".join(wrapped(text, "  - ", "    ", WIDTH)))
