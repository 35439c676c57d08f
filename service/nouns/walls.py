"""Do the walls of a mould hold? What is asked besides the mould, and what is answered."""

from pydantic import BaseModel

from models.message import Message
from models.mould import told
from models.mould.check import Checked, state_of
from models.mould.uplift import Uplift
from models.mould.walls import Wall
from models.records.fields import Hours, Length, Temperature, Word, YesNo
from models.units import GRAVITY_M_S2
from service.answer_fields import as_json
from service.nouns.base import ResponseBody
from service.vocabulary import WallState


class FillingAsk(BaseModel):
    """How it is filled; what is left out counts as the worst: all of it liquid at once."""

    fresh_mm: Length | None = None
    placing_h: Hours | None = None
    concrete_C: Temperature | None = None
    slump_mm: Length | None = None
    shaken: YesNo = True
    cement: Word = "plain"


class ScrewedRead(ResponseBody):
    """`held_kg` is what one screw is counted for; spacings are the widest."""

    held_kg: float
    number: int
    spacing_mm: float
    foot_spacing_mm: float
    corner_kg: float
    holds: bool


class HoldsRead(ResponseBody):
    """What alone would make a wall hold; null where it would not. `screw_spacing_mm` is how near
    the screws have to be besides, null where those there are hold."""

    brace_spacing_mm: float | None
    thickness_mm: float | None
    lift_mm: float | None
    screw_spacing_mm: float | None


class BowRead(ResponseBody):
    p10: float
    p50: float
    p90: float


class WallRead(ResponseBody):
    """A panel. `strip_mm` is the bow of a strip at its foot, a bound; `breaks` a chance under 1.5
    times the load; `strength_MPa` what 19 of 20 boards have; `corner_kg` pulls at each corner."""

    part: str
    count: int
    inward: bool
    state: WallState
    length_mm: float
    height_mm: float
    span_mm: float
    foot: str
    foot_kPa: float
    force_kg: float
    bow_mm: BowRead
    strip_mm: float
    allowed_mm: float
    stress_MPa: float
    strength_MPa: float
    breaks: float
    corner_kg: float
    screws: ScrewedRead | None
    would_hold: HoldsRead | None


class UpliftRead(ResponseBody):
    """`screws` from below, where a knock-out or a core stands on the base."""

    part: str
    volume_l: float
    lifts_kg: float
    holds_kg: float
    screws: int | None


class WallsRead(ResponseBody):
    """`state` is the worst of its walls: holds | bows | screws | breaks; unknown of what is no
    board, or whose corners take no screw; null without a piece, as `missing` says. `rule` is that
    of the pressure: full_head | aci_347. `hoop_kg` pulls in a strap round a round one; `bearer_mm`
    is the widest spacing of what carries the base. `assumed` nobody told."""

    mould_id: int | None
    piece_id: int | None
    material: str
    thickness_mm: float
    state: WallState | None
    missing: dict[str, object] | None
    rule: str | None
    foot_kPa: float | None
    aci_kPa: float | None
    ciria_kPa: float | None
    depth_mm: float | None
    fresh_mm: float | None
    logged_fresh_mm: float | None
    walls: list[WallRead]
    hoop_kg: float | None
    bearer_mm: float | None
    uplifts: list[UpliftRead]
    assumed: list[str]
    says: list[dict[str, object]]


def read(
    material: str,
    thickness_mm: float,
    found: Checked | None,
    missing: Message | None = None,
    mould_id: int | None = None,
    piece_id: int | None = None,
    logged_fresh_mm: float | None = None,
) -> WallsRead:
    """A check as JSON tells it."""
    whole: dict[str, object] = {
        "mould_id": mould_id,
        "piece_id": piece_id,
        "material": material,
        "thickness_mm": thickness_mm,
        "missing": None if missing is None else as_json(missing),
        "logged_fresh_mm": logged_fresh_mm,
    }
    empty = ("state", "rule", "foot_kPa", "aci_kPa", "ciria_kPa", "depth_mm", "fresh_mm")
    if found is None:
        lists: dict[str, object] = {"walls": [], "uplifts": [], "assumed": [], "says": []}
        return WallsRead.model_validate(
            {**whole, **lists, **dict.fromkeys((*empty, "hoop_kg", "bearer_mm"), None)}
        )
    said = [*told.walls(found), *told.screws(found), *told.uplifts(found)]
    return WallsRead.model_validate(
        {
            **whole,
            "state": found.state,
            "rule": found.pressure.rule,
            "foot_kPa": _short(found.pressure.most_kPa),
            "aci_kPa": _short(found.aci_kPa),
            "ciria_kPa": _short(found.ciria_kPa),
            "depth_mm": found.pressed.depth_mm,
            "fresh_mm": found.pressed.fresh_mm,
            "walls": [_wall(one) for one in found.walls],
            "hoop_kg": None if found.hoop_N is None else _short(found.hoop_N / GRAVITY_M_S2),
            "bearer_mm": found.bearer_mm,
            "uplifts": [_uplift(one) for one in found.uplifts],
            "assumed": list(found.assumed),
            "says": [as_json(one) for one in said],
        }
    )


def _short(value: float | None) -> float | None:
    return None if value is None else round(value, 3)


def _wall(one: Wall) -> dict[str, object]:
    low, half, late = (round(bow, 3) for bow in one.bow_mm)
    panel, screwed, would = one.panel, one.screwed, one.would
    return {
        "part": panel.part,
        "count": panel.count,
        "inward": panel.inward,
        "state": state_of(one),
        "length_mm": panel.length_mm,
        "height_mm": panel.height_mm,
        "span_mm": one.span_mm,
        "foot": one.foot,
        "foot_kPa": _short(one.foot_kPa),
        "force_kg": _short(one.force_N / GRAVITY_M_S2),
        "bow_mm": {"p10": low, "p50": half, "p90": late},
        "strip_mm": _short(one.strip_mm),
        "allowed_mm": _short(one.allowed_mm),
        "stress_MPa": _short(one.stress_MPa),
        "strength_MPa": _short(one.strength_MPa),
        "breaks": _short(one.breaks),
        "corner_kg": _short(one.corner_N / GRAVITY_M_S2),
        "screws": None
        if screwed is None
        else {
            "held_kg": _short(screwed.held_N / GRAVITY_M_S2),
            "number": screwed.number,
            "spacing_mm": screwed.spacing_mm,
            "foot_spacing_mm": screwed.foot_spacing_mm,
            "corner_kg": _short(screwed.corner_N / GRAVITY_M_S2),
            "holds": screwed.holds,
        },
        "would_hold": None
        if would is None
        else {
            "brace_spacing_mm": would.brace_spacing_mm,
            "thickness_mm": would.thickness_mm,
            "lift_mm": would.lift_mm,
            "screw_spacing_mm": would.screw_spacing_mm,
        },
    }


def _uplift(one: Uplift) -> dict[str, object]:
    return {
        "part": one.part,
        "volume_l": _short(one.volume_l),
        "lifts_kg": _short(one.lifts_kg),
        "holds_kg": _short(one.holds_kg),
        "screws": one.number,
    }
