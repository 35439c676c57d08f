"""The amounts of a piece as sections of rows, for the page and for a terminal alike."""

import math
from dataclasses import dataclass

from models.concrete.recipe import Weighed
from models.message import Message
from models.piece.mesh import Mat
from models.planning.amounts import Amounts, Batches, Coats
from models.planning.wetter import Wetter
from service.words import Reader, measure, sentence, spelt, word

MOST_BOXES = 8  # to be ticked on paper beside each part


@dataclass(frozen=True)
class Row:
    """One line: what it is, how much, and what is said beside it."""

    name: str
    amount: str
    note: str = ""


@dataclass(frozen=True)
class Section:
    """What belongs together; `boxes`: so many to tick beside each row."""

    title: str
    rows: tuple[Row, ...]
    said: str = ""
    boxes: int = 0


def sections(found: Amounts, reader: Reader) -> list[Section]:
    """All that is told, in the units of a reader; what is not known has no section."""
    shown = [_piece(found, reader), _buy(found, reader)]
    if found.batches is not None:
        shown.append(batch_section(found.batches, reader))
    if found.wetter is not None:
        shown.append(wetter_section(found.wetter, reader))
    if found.mesh:
        shown.append(_mesh(found, reader))
    if found.coats is not None:
        shown.append(_sealer("Sealer", found.coats, reader))
    for one in found.then:
        shown.append(_sealer(f"Then {word('chemistry', one.chemistry, reader)}", one, reader))
    return shown


def notes(found: Amounts, reader: Reader) -> list[str]:
    return [sentence((one,), reader) for one in found.notes]


def _piece(found: Amounts, reader: Reader) -> Section:
    def told(value: float, dimension: str) -> str:
        return measure(value, dimension, reader)

    return Section(
        "The piece",
        (
            Row("Concrete", told(found.volume_l, "concrete_l"), "openings left out"),
            Row(
                "To mix",
                told(found.mixed_l, "concrete_l"),
                f"with {found.waste_pct:g} % for tub and tools",
            ),
            Row("Weighs wet", told(found.wet_kg, "mass_kg")),
            Row(
                "Balances",
                " × ".join(told(one, "length_mm") for one in found.balance_mm),
                "from its left, its front and its foot",
            ),
            Row("Weighs dry", told(found.dry_kg, "mass_kg"), "years on, in a room"),
        ),
        sentence((found.hands,), reader),
    )


def _buy(found: Amounts, reader: Reader) -> Section:
    rows, bags = [], found.bags
    if bags is not None:
        each = measure(bags.each_l, "concrete_l", reader)
        rows.append(Row("Bags", f"{bags.whole}", f"{bags.net:.2f}, each yields {each}"))
        if bags.water_least_l is not None and bags.water_most_l is not None:
            ends = [
                measure(one, "volume_l", reader) for one in (bags.water_least_l, bags.water_most_l)
            ]
            span = ends[0] if ends[0] == ends[1] else " to ".join(ends)
            rows.append(Row("Water in a bag", span, "by its label"))
    rows += [_part(one, reader) for one in found.total]
    told = f"Water/cement ratio {found.water_cement:.2f}"
    cement = measure(found.cement_kg, "mass_kg", reader)
    return Section("All of the mix", tuple(rows), f"{told}; cement in it: {cement}.")


def batch_section(batches: Batches, reader: Reader) -> Section:
    each = measure(batches.each_l, "concrete_l", reader)
    bags = "" if batches.bags is None else f", {_in_bags(batches.bags)}"
    many = "One batch" if batches.many == 1 else f"Each of {batches.many} batches"
    last = ""
    if batches.last_part < 0.995 and batches.many > 1:
        last = f"The last takes {batches.last_part:.2f} of it. "
    return Section(
        f"{many}: {each}{bags}",
        tuple(_part(one, reader) for one in batches.card),
        f"{last}In this order. A tenth of the water is held back and goes in by feel. Common"
        " practice; the bag’s own order goes first.",
        min(batches.many, MOST_BOXES),
    )


def _part(one: Weighed, reader: Reader) -> Row:
    """One part: by mass; water by volume besides."""
    kg = measure(one.kg, "scale_kg", reader)
    litres = measure(one.kg, "volume_l", reader) if one.kind == "water" else ""
    called = " · ".join(filter(None, (one.name, f"lot {one.lot}" if one.lot else "")))
    amount = f"{litres} ({kg})" if litres else kg
    return Row(spelt(word("part", one.kind, reader).capitalize(), reader), amount, called)


def wetter_section(found: Wetter, reader: Reader) -> Section:
    """What water costs, and what does it otherwise."""
    water = measure(found.water_l, "volume_l", reader)
    later = found.strip_later_h
    strip = f"{_hours(later)} later" if math.isfinite(later) else "perhaps never"
    lost = measure(found.lost_MPa, "stress_MPa", reader)
    ends = [measure(one, "stress_MPa", reader) for one in (found.before_MPa, found.after_MPa)]
    return Section(
        f"With {water} more water",
        (
            Row("Strength at 28 days", f"{lost} less", " to ".join(ends)),
            Row(
                "Strip",
                strip,
                "at {}, by the laws of the timeline".format(measure(20.0, "temperature_C", reader)),
            ),
            Row("Initial set", f"{_hours(found.set_later_h)} later"),
            Row("Shrinkage", f"{100 * (found.shrinkage_ratio - 1):.0f} % more"),
            Row("Water/cement ratio", f"{found.before_wc:.2f} to {found.after_wc:.2f}"),
        ),
        sentence((Message("instead", {"instead": (found.instead,)}),), reader),
    )


def _in_bags(bags: float) -> str:
    return "1 bag" if bags == 1 else f"{round(bags, 2):g} bags"


def _hours(hours: float) -> str:
    """Minutes under an hour, to five; hours to a half, from ten on whole."""
    if hours < 0.975:
        return f"{5 * max(round(12 * hours), 1)} min"
    return f"{round(2 * hours) / 2:g} h" if hours < 10 else f"{hours:.0f} h"


def _mesh(found: Amounts, reader: Reader) -> Section:
    rows = [row for mat in found.mesh for row in _mat(mat, reader)]
    lap = "" if found.lap_mm is None else measure(found.lap_mm, "length_mm", reader)
    cover = measure(found.cover_mm, "length_mm", reader)
    return Section("Mesh to cut", tuple(rows), f"{cover} free of every wall; sheets lap {lap}.")


def _mat(mat: Mat, reader: Reader) -> list[Row]:
    def sides(*lengths: float) -> str:
        return " × ".join(measure(one, "length_mm", reader) for one in lengths)

    name = mat.face.capitalize()
    many = f"{mat.many} of " if mat.many > 1 else ""
    held = f"{measure(mat.cover_mm, 'length_mm', reader)} over it"
    rows = [Row(name, many + sides(mat.length_mm, mat.width_mm), held)]
    if mat.strips > 1:
        strip = sides(mat.strip_length_mm, mat.strip_width_mm)
        rows.append(Row("", f"each of {mat.strips} strips {strip}"))
    rows += [Row("", f"cut out {sides(*hole)}", "for an opening") for hole in mat.out]
    return rows


def _sealer(title: str, coats: Coats, reader: Reader) -> Section:
    rows = []
    for k, one in enumerate(coats.coats, 1):
        water = f"and {measure(one.water_l, 'volume_l', reader)} of water" if one.water_l else ""
        rows.append(Row(f"Coat {k}", measure(one.sealer_l, "volume_l", reader), water))
    all_of_it = measure(coats.sealer_l, "volume_l", reader)
    rows.append(Row("In all", all_of_it, "with what stays in tray and roller"))
    return Section(title, tuple(rows), f"For {measure(coats.area_m2, 'area_m2', reader)}.")
