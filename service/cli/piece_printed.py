"""`castclock piece`: what follows from the shape of a scenario's piece, and its drawing."""

import json
from pathlib import Path

from service.cli.inputs import placed


def show(scenario: Path, *, as_json: bool, units: str, svg: Path | None) -> None:
    """As JSON, or as lines; the drawing as a file where one is wanted."""
    from service import scenario_file
    from service.cli import printed
    from service.cli.terminal import WIDTH, wrapped
    from service.nouns.shape import centre, shape_read
    from service.piece_drawing import drawing
    from service.words import measure, say, word

    one = scenario_file.read(scenario).scenario
    with placed(scenario):
        reader = printed.reader_of(one, units, None if as_json else one.placement.at)
        told = shape_read(one.shape, reader)
    if svg is not None:
        svg.write_text(str(drawing(one.shape, one.name, reader)), encoding="utf-8")
    if as_json:
        print(json.dumps(told.model_dump(mode="json"), indent=2, allow_nan=False))
        return
    print(f"{one.name}: {told.described}")
    lines = [
        ("volume", measure(told.volume_l, "concrete_l", reader)),
        ("thinnest part", measure(told.thinnest_mm, "length_mm", reader)),
        ("thickest part", measure(told.thickest_mm, "length_mm", reader)),
        ("balances", say(centre(one.shape), reader)),
        ("in its mould", word("cast", told.cast_way, reader)),
        ("to be coated", measure(told.coated_m2, "area_m2", reader)),
    ]
    for face in told.faces:
        how = "against the mould" if face.against == "mould" else "open"
        seen = "shows" if face.shown else "hidden"
        area = measure(face.area_m2, "area_m2", reader)
        lines.append((word("face", face.face, reader), f"{area}, {how}, {seen}"))
    for name, value in lines:
        print(f"{name:<22} {value}")
    for insert in told.inserts:
        for caution in insert.cautions:
            print("\n".join(wrapped(caution, "  - ", "    ", WIDTH)))
