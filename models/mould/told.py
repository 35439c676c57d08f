"""What is said of a mould: what clashes, and what would hold. Codes and numbers."""

from models.facts.boards import BENDING
from models.facts.formwork import SCREW_SPACING_MM
from models.message import Message, Value
from models.mould.check import Checked, state_of
from models.mould.screws import least_spacing_mm
from models.mould.uplift import Uplift
from models.mould.walls import Holds, Wall
from models.units import GRAVITY_M_S2

STILL_MM = 0.05  # nobody sees so little
FEW = 2
HUNG = ("core", "inner")  # over concrete, where no screw from below reaches


def walls(checked: Checked) -> list[Message]:
    """A sentence a wall; of what is no board, why there is none."""
    if checked.hoop_N is not None:
        values = {"strap_kg": checked.hoop_N / GRAVITY_M_S2}
        return [Message("mould_ring", values)]
    if not checked.walls:
        return [Message("mould_no_walls", {"board": checked.board.material})]
    return [of_wall(one, checked) for one in checked.walls]


def of_wall(one: Wall, checked: Checked) -> Message:
    """The verdict on a wall with the two numbers that meet in it."""
    low, half, late = one.bow_mm
    values: dict[str, Value] = {
        "wall": one.panel.part,
        "half_bow_mm": half,
        "low_bow_mm": low,
        "late_bow_mm": late,
        "most_bow_mm": one.allowed_mm,
        "span_mm": one.span_mm,
        "foot_kPa": one.foot_kPa,
        "stress_MPa": one.stress_MPa,
        "bears_MPa": one.strength_MPa,
        "chance": one.breaks,
        "would": () if one.would is None else _would(one.would),
    }
    state = state_of(one)
    if state == "holds" and late < STILL_MM:
        state = "still"
    if state == "unknown":
        state = "corners"
        values["strap_kg"] = one.corner_N / GRAVITY_M_S2
    if state == "screws":
        assert one.screwed is not None
        assert one.would is not None
        if one.state == "holds" and not _ways(one.would):
            values["would"] = ()  # nearer screws do
        assert checked.built is not None
        told = checked.board.screw_spacing_mm
        near = min(one.screwed.spacing_mm, one.screwed.foot_spacing_mm)
        values |= {
            "told_mm": told or SCREW_SPACING_MM,
            "near_apart_mm": near,
            "held_kg": one.screwed.held_N / GRAVITY_M_S2,
        }
        if near < least_spacing_mm(checked.built.screw):
            state = "unscrewable"
        elif told is None:
            state = "usual_screws"
    return Message(f"mould_wall.{state}", values)


def _ways(would: Holds) -> tuple[Message, ...]:
    return tuple(
        Message(f"mould_would_{way}", {name: value})
        for way, name, value in (
            ("brace", "brace_apart_mm", would.brace_spacing_mm),
            ("thickness", "thickness_mm", would.thickness_mm),
            ("lift", "lift_apart_mm", would.lift_mm),
        )
        if value is not None
    )


def _would(would: Holds) -> tuple[Message, ...]:
    ways, near = _ways(would), would.screw_spacing_mm
    if not ways:
        return (Message("mould_would_nothing"),)
    besides = () if near is None else (Message("mould_would_screws", {"near_apart_mm": near}),)
    return (Message("mould_would", {"ways": ways, "besides": besides}),)


def screws(checked: Checked) -> list[Message]:
    """How many screws at each corner, how near, and what a strap would carry instead."""
    found = []
    for one in checked.walls:
        if one.screwed is None:
            continue
        values: dict[str, Value] = {
            "wall": one.panel.part,
            "screws": one.screwed.number,
            "near_apart_mm": one.screwed.spacing_mm,
            "foot_apart_mm": one.screwed.foot_spacing_mm,
            "held_kg": one.screwed.held_N / GRAVITY_M_S2,
            "strap_kg": one.screwed.corner_N / GRAVITY_M_S2,
        }
        few = one.screwed.number <= FEW
        found.append(Message("mould_screws_few" if few else "mould_screws", values))
    return found


def uplifts(checked: Checked) -> list[Message]:
    """What floats, and what holds it down."""
    return [_uplift(one) for one in checked.uplifts]


def _uplift(one: Uplift) -> Message:
    screwed = one.part not in HUNG and one.number is not None
    values: dict[str, Value] = {
        "floats": one.part,
        "lifts_kg": one.lifts_kg,
        "holds_kg": one.holds_kg,
        "concrete_l": one.volume_l,
        "with": (Message("mould_or_screws", {"screws": one.number}),) if screwed else (),
    }
    return Message(f"mould_floats.{one.part}", values)


def bearers(checked: Checked) -> list[Message]:
    """How far apart the base is carried."""
    if checked.bearer_mm is None:
        return []
    return [Message("mould_bearers", {"bearer_apart_mm": checked.bearer_mm})]


def material(key: str) -> list[Message]:
    """What a board does to the face, which release agent fits, how it lets go."""
    if key not in BENDING:
        return []
    agent = Message(f"mould_agent.{BENDING[key].agent}")
    drinks = [Message("mould_drinks")] if BENDING[key].absorbs == "much" else []
    return [Message(f"mould_face.{key}"), *drinks, agent, Message(f"mould_lets_go.{key}")]
