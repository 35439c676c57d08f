"""The nouns of the shop as fields: piece, mix, place, mould, sealer; read into rows, and back."""

from collections.abc import Mapping, Sequence
from typing import Any

from models import quantity
from models.air.place import KINDS as PLACES
from models.errors import InputError
from models.facts.cements import ADMIXTURES, CLASSES
from models.facts.materials import BOARDS
from models.facts.sealers import CHEMISTRIES
from models.piece.shape import KINDS as SHAPES
from models.records import Mix, Mould, Piece, Place, Row, Sealer
from service import region
from service.nouns.form import Control, Form

SHAPE_WORDS = {
    "panel": "panel: table top, seat, counter",
    "box": "box: planter, hollow base",
    "block": "block: step, plinth",
}
PLACE_WORDS = {
    "open yard": "open yard",
    "covered": "carport or roof",
    "unheated room": "garage, unheated",
    "heated room": "heated room",
}
PLACE_NAMES = {
    "open yard": "Yard",
    "covered": "Carport",
    "unheated room": "Garage",
    "heated room": "Heated room",
}
MEASURES = {
    "panel": ("thickness_mm",),
    "box": ("height_mm", "wall_mm"),
    "block": ("height_mm",),
}
BOARD_WORDS = {"ground": "the ground, cast in place"}
NO_ADMIXTURE = "none, or told by the bag already"
SPARE_ROWS, MOST_ROWS = 2, 12


def listed(words: Mapping[str, str]) -> tuple[tuple[str, str], ...]:
    return tuple(words.items())


def mix_words() -> dict[str, str]:
    return {kind: f"{kind}: {row.words}" for kind, row in CLASSES.items()}


def piece_fields(holes: int = 1) -> list[Control]:
    """A piece with room for a number of openings."""
    shapes = listed({kind: SHAPE_WORDS[kind] for kind in SHAPES})
    fields = [
        Control("piece.name", "Name", placeholder="named for you"),
        Control("piece.shape", "Shape", "radio", options=shapes, default="panel", needed=True),
        Control("piece.length_mm", "Length", default="1200 mm", needed=True, dimension="length_mm"),
        Control("piece.width_mm", "Width", default="600 mm", needed=True, dimension="length_mm"),
        Control("piece.thickness_mm", "Thickness", default="50 mm", dimension="length_mm"),
        Control("piece.height_mm", "Height", default="500 mm", dimension="length_mm"),
        Control("piece.wall_mm", "Wall", default="50 mm", dimension="length_mm"),
        Control("piece.exposed_to_frost", "Will stand outdoors in frost", "check", default="1"),
    ]
    for k in range(holes):
        fields += [
            Control(f"piece.hole{k}.length_mm", f"Opening {k + 1} length", dimension="length_mm"),
            Control(f"piece.hole{k}.width_mm", "width", dimension="length_mm"),
            Control(f"piece.hole{k}.edge_mm", "concrete to edge", dimension="length_mm"),
        ]
    return fields


def mix_fields(points: int = 2) -> list[Control]:
    """A mix with room for a number of label strengths."""
    fields = [
        Control("mix.name", "Name", placeholder="named for you"),
        Control(
            "mix.kind",
            "Kind of mix",
            "radio",
            options=listed(mix_words()),
            default="general-purpose",
            needed=True,
        ),
        Control(
            "mix.admixture",
            "Added to it",
            "choice",
            options=(("", NO_ADMIXTURE), *((kind, row.words) for kind, row in ADMIXTURES.items())),
            hint="at the usual dose; moves the set where no set is told below",
        ),
        Control("mix.bag_kg", "Bag", dimension="mass_kg", hint="36 kg or 80 lb"),
        Control(
            "mix.bag_yield_l",
            "One bag yields",
            dimension="volume_l",
            hint="17 l or 0.60 ft3",
        ),
        Control("mix.cement_kg_m3", "Cement", dimension="density_kg_m3", hint="330 kg/m3"),
        Control("mix.water_cement", "Water/cement ratio", dimension="fraction", hint="0.45"),
        Control("mix.initial_set_h", "Initial set at 20 °C", dimension="time_h"),
        Control("mix.final_set_h", "Final set at 20 °C", dimension="time_h"),
    ]
    for k in range(points):
        fields += [
            Control(f"mix.at{k}.age_h", "Age", dimension="time_h", bare="d", placeholder="7 d"),
            Control(
                f"mix.at{k}.MPa",
                "strength",
                dimension="stress_MPa",
                placeholder="19 MPa",
            ),
            Control(
                f"mix.at{k}.temperature_C", "cured at", default="21 C", dimension="temperature_C"
            ),
        ]
    return fields


def place_fields(zone: str) -> list[Control]:
    kinds = listed({kind: PLACE_WORDS[kind] for kind in PLACES})
    angle: dict[str, Any] = {"dimension": "angle_deg"}
    return [
        Control("place.name", "Name", placeholder="named for you"),
        Control("place.kind", "Spot", "radio", options=kinds, default="open yard", needed=True),
        Control("place.latitude", "Latitude", hint="44.0; south is negative", **angle),
        Control("place.longitude", "Longitude", hint="-92.0; west is negative", **angle),
        Control(
            "place.timezone",
            "Time zone",
            default=zone,
            hint="as America/New_York; empty: that of the position",
        ),
        Control("place.setpoint_C", "Kept at", default="18 C", dimension="temperature_C"),
        Control(
            "place.lag_h",
            "Lags the weather by",
            dimension="time_h",
            hint="8 h where not told",
        ),
        Control(
            "place.offset_K",
            "Warmer than outdoors by",
            dimension="temperature_difference_K",
            hint="1.5 K where not told",
        ),
    ]


def mould_fields(pieces: Sequence[Piece]) -> list[Control]:
    boards = tuple((kind, BOARD_WORDS.get(kind, kind)) for kind in BOARDS)
    return [
        Control("mould.name", "Name", placeholder="named for you"),
        Control(
            "mould.material", "Cast on", "choice", options=boards, default="melamine", needed=True
        ),
        Control(
            "mould.thickness_mm",
            "Board thickness",
            default="16 mm",
            needed=True,
            dimension="length_mm",
        ),
        Control(
            "mould.piece_id",
            "Built for",
            "key",
            options=(("", "any piece"), *((str(row.id), row.name) for row in pieces)),
        ),
    ]


def sealer_fields() -> list[Control]:
    kinds = listed({kind: row.words for kind, row in CHEMISTRIES.items()})
    sheet = "empty: typical of its kind"
    return [
        Control("sealer.name", "Name", placeholder="named for you"),
        Control(
            "sealer.chemistry",
            "Kind",
            "choice",
            options=kinds,
            default="water-based-acrylic",
            needed=True,
        ),
        Control("sealer.coats", "Coats", dimension="count", whole=True, hint=sheet),
        Control("sealer.diluted_coats", "of them thinned", dimension="count", whole=True),
        Control("sealer.recoat_min_h", "Next coat not before", hint="2 h", dimension="time_h"),
        Control(
            "sealer.recoat_max_h",
            "Next coat not after",
            hint="24 h; empty: no end",
            dimension="time_h",
        ),
        Control("sealer.min_C", "Not colder than", hint=sheet, dimension="temperature_C"),
        Control("sealer.max_C", "Not warmer than", hint=sheet, dimension="temperature_C"),
        Control("sealer.max_rh_pct", "Air humidity up to", dimension="percent", hint="85 %"),
        Control("sealer.min_age_d", "Age of the piece, days", dimension="count", hint="7"),
        Control(
            "sealer.dew_margin_K",
            "Surface over the dew point",
            dimension="temperature_difference_K",
            hint="3 K or 5 F",
        ),
        Control(
            "sealer.hold_h", "Air must hold after the last coat", hint="8 h", dimension="time_h"
        ),
        Control("sealer.rain_free_h", "No rain for", hint="12 h", dimension="time_h"),
        Control(
            "sealer.coverage_m2_l",
            "One coat covers",
            dimension="coverage_m2_l",
            hint="10 m2/l or 400 ft2/gal",
        ),
        Control("sealer.light_use_h", "Light use after", hint="24 h", dimension="time_h"),
        Control("sealer.full_use_h", "Full use after", hint="7 d", dimension="time_h"),
    ]


def piece_values(form: Form, name: str) -> dict[str, Any]:
    """What a piece's row shall say; measures of another shape are left out."""
    simple = ["shape", "length_mm", "width_mm", "exposed_to_frost"]
    values = {part: form.value(f"piece.{part}") for part in simple}
    measured = MEASURES.get(values["shape"] or "", ())
    for part in ("thickness_mm", "height_mm", "wall_mm"):
        values[part] = form.value(f"piece.{part}") if part in measured else None
    values["openings"] = _rows(form, "piece.hole", ("length_mm", "width_mm"), ("edge_mm",))
    return {**values, "name": form.value("piece.name") or name}


def mix_values(form: Form) -> dict[str, Any]:
    parts = (
        "kind",
        "admixture",
        "bag_kg",
        "bag_yield_l",
        "cement_kg_m3",
        "water_cement",
        "initial_set_h",
        "final_set_h",
    )
    present = [f"mix.{part}" for part in parts if f"mix.{part}" in form.fields]
    values = form.values(present, "mix.")
    values["label"] = _rows(form, "mix.at", ("age_h", "MPa"), ("temperature_C",))
    kind = str(values["kind"] or "mix")
    words = "Glass-fibre mix" if kind == "glass-fibre" else f"{kind.capitalize()} mix"
    return {**values, "name": form.value("mix.name") or words}


def place_values(form: Form) -> dict[str, Any]:
    kind = form.value("place.kind")
    values = form.values([name for name in form.fields if name.startswith("place.")], "place.")
    if kind != "heated room":
        values["setpoint_C"] = None
    if values["timezone"] in region.NO_PLACE and values["latitude"] is not None:
        values["timezone"] = None  # a machine without a zone, not a place at Greenwich
    return {**values, "name": values["name"] or PLACE_NAMES.get(kind or "", "Place")}


def mould_values(form: Form, name: str) -> dict[str, Any]:
    values = form.values([one for one in form.fields if one.startswith("mould.")], "mould.")
    return {**values, "name": values["name"] or name}


def sealer_values(form: Form) -> dict[str, Any]:
    values = form.values([one for one in form.fields if one.startswith("sealer.")], "sealer.")
    return {**values, "name": values["name"] or f"{values['chemistry'] or 'Sealer'}".capitalize()}


def piece_errors(count: int = MOST_ROWS) -> dict[str, str]:
    """Names that the science gives to parts of an opening, and the fields they are here."""
    return {
        f"opening[{k}].{part}": f"piece.hole{k}.{part}"
        for k in range(count)
        for part in ("length_mm", "width_mm", "edge_mm")
    }


def mix_errors(count: int = MOST_ROWS) -> dict[str, str]:
    names = {
        f"strength[{k}].{part}": f"mix.at{k}.{part}"
        for k in range(count)
        for part in ("age_h", "MPa", "temperature_C")
    }
    return {**names, "strength": "mix.at0.age_h", "class": "mix.kind"}


def _rows(
    form: Form, prefix: str, needed: tuple[str, ...], further: tuple[str, ...]
) -> list[dict[str, Any]]:
    """Rows of a small table; a row whose needed boxes are all empty is none."""
    out: list[dict[str, Any]] = []
    for k in range(MOST_ROWS):
        names = {part: f"{prefix}{k}.{part}" for part in (*needed, *further)}
        if names[needed[0]] not in form.fields:
            break
        filled = [part for part in needed if form.shown(names[part]).strip()]
        if not filled:
            continue
        for part in needed:
            if part not in filled:
                form.refuse(InputError(names[part], None, "empty", "both boxes, or neither"))
        row = {part: form.value(name) for part, name in names.items()}
        out.append({part: value for part, value in row.items() if value is not None})
    return out


def shown_of(row: Row, prefix: str, fields: Sequence[Control]) -> dict[str, list[str]]:
    """A row as if it had been typed."""
    typed: dict[str, list[str]] = {}
    for one in fields:
        part = one.name.removeprefix(prefix)
        if "." not in part and hasattr(row, part):
            typed[one.name] = as_typed(one, getattr(row, part))
    if isinstance(row, Piece):
        typed |= _rows_typed("piece.hole", row.openings, fields)
    if isinstance(row, Mix):
        typed |= _rows_typed("mix.at", row.label, fields)
    return typed


def _rows_typed(
    prefix: str, rows: Sequence[Mapping[str, Any]], fields: Sequence[Control]
) -> dict[str, list[str]]:
    typed: dict[str, list[str]] = {}
    for one in fields:
        if one.name.startswith(prefix):
            number, part = one.name.removeprefix(prefix).split(".")
            inside = int(number) < len(rows)
            typed[one.name] = (
                as_typed(one, rows[int(number)].get(part)) if inside else [one.default]
            )
    return typed


def as_typed(one: Control, value: Any) -> list[str]:
    """A stored value in the field's own words; nothing for an unticked box."""
    if one.kind == "check":
        return ["1"] if value else []
    if value is None:
        return [""]
    if one.dimension in ("count", "fraction", "angle_deg", "percent"):
        return [f"{value:.12g}"]
    if one.dimension == "time_h" and one.bare == "d":
        return [f"{value / 24:.12g} d" if value >= 48 else f"{value:.12g} h"]
    if one.dimension:
        return [_in_few_digits(one, value)]
    return [str(value)]


def _in_few_digits(one: Control, value: float) -> str:
    """The shortest text that reads back as the very same value: 80 lb rather than 36.2873896 kg."""
    us = quantity.show(value, one.dimension, "us").split(" = ")[0].removeprefix("about ")
    for text in (f"{value:.6g} {one.bare}", us):
        if quantity.read(one.name, text, one.dimension, bare_unit=one.bare) == value:
            return text
    return f"{value:.12g} {one.bare}"


TABLES: dict[str, type[Row]] = {
    "piece": Piece,
    "mix": Mix,
    "place": Place,
    "mould": Mould,
    "sealer": Sealer,
}
