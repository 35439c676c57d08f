"""Mesh for a piece: how large each mat is cut, where openings leave it out, how sheets lap."""

import math
from dataclasses import dataclass

from models.errors import InputError
from models.facts.amounts import LAP_OVER_PITCH_MM, LEAST_LAP_MM
from models.units import number_within


@dataclass(frozen=True)
class Face:
    """A flat part of a piece that takes a mat [mm]: its sides, its thickness, its holes."""

    key: str
    many: int
    length_mm: float
    width_mm: float
    thickness_mm: float
    openings: tuple[tuple[float, float], ...] = ()


@dataclass(frozen=True)
class Sheet:
    """Mesh as it is bought [mm]: a sheet, the pitch of its wires and their diameter."""

    length_mm: float
    width_mm: float
    pitch_mm: float
    wire_mm: float

    def __post_init__(self) -> None:
        number_within("mesh_length_mm", self.length_mm, 200.0, 12000.0, "mm")
        number_within("mesh_width_mm", self.width_mm, 200.0, 6000.0, "mm")
        number_within("mesh_pitch_mm", self.pitch_mm, 10.0, 300.0, "mm")
        number_within("mesh_wire_mm", self.wire_mm, 0.5, 12.0, "mm")


@dataclass(frozen=True)
class Mat:
    """A mat of one face: what it measures [mm], and what it is cut from.

    strips : pieces side by side that it takes, each `strip_length_mm` by `strip_width_mm`
    out : what is cut out for each opening [mm]
    cover_mm : concrete over the wires with the mat in the middle of the face
    """

    face: str
    many: int
    length_mm: float
    width_mm: float
    strips: int
    strip_length_mm: float
    strip_width_mm: float
    out: tuple[tuple[float, float], ...]
    cover_mm: float
    covered: bool  # whether that is the cover that the code wants


def lap_mm(pitch_mm: float) -> float:
    """Lap of two sheets of mesh [mm]: a pitch and 50 mm, 150 mm at least.

    pitch_mm : [mm], 10 to 300
    Raises InputError outside the range. Source: NZ_MESH_LAPS.

    >>> lap_mm(200.0), lap_mm(50.0)
    (250.0, 150.0)
    """
    pitch = number_within("mesh_pitch_mm", pitch_mm, 10.0, 300.0, "mm")
    return max(pitch + LAP_OVER_PITCH_MM, LEAST_LAP_MM)


def strips(side_mm: float, sheet_mm: float, lap: float) -> int:
    """Sheets side by side that reach over a side [mm] with their laps. Source: geometry.

    >>> strips(3000.0, 2400.0, 200.0), strips(2400.0, 2400.0, 200.0)
    (2, 1)
    """
    if side_mm <= sheet_mm:
        return 1
    if sheet_mm <= lap:
        raise InputError(
            "mesh_width_mm",
            sheet_mm,
            f"no wider than the lap of {lap:g} mm",
            f"more than {lap:g} mm",
        )
    return math.ceil((side_mm - lap) / (sheet_mm - lap) - 1e-9)


def mat(face: Face, sheet: Sheet, cover_mm: float) -> Mat:
    """The mat of a face: as much free of the walls as of its faces, more than `cover_mm` nowhere.

    cover_mm : [mm], 3 to 100, what the code or the maker wants over steel

    Raises InputError for a face that has no room for steel. Source: geometry; laps as lap_mm.
    """
    gap = number_within("cover_mm", cover_mm, 3.0, 100.0, "mm")
    long, wide = face.length_mm - 2 * gap, face.width_mm - 2 * gap
    if min(long, wide) < 2 * sheet.pitch_mm:
        raise InputError(
            "cover_mm",
            cover_mm,
            f"leaves {max(min(long, wide), 0.0):g} mm of mesh between walls",
            f"two pitches of {sheet.pitch_mm:g} mm, so a finer mesh or none",
        )
    if face.thickness_mm < 4 * sheet.wire_mm:
        raise InputError(
            "mesh_wire_mm",
            sheet.wire_mm,
            f"two crossing wires of it in {face.thickness_mm:g} mm",
            f"{face.thickness_mm / 4:g} mm or thinner",
        )
    along, across = sorted((sheet.length_mm, sheet.width_mm), reverse=True)
    turned = wide > long
    a, b = (wide, long) if turned else (long, wide)
    lap = lap_mm(sheet.pitch_mm)
    rows, columns = strips(b, across, lap), strips(a, along, lap)
    held = (face.thickness_mm - 2 * sheet.wire_mm) / 2
    out = tuple((length + 2 * gap, width + 2 * gap) for length, width in face.openings)
    return Mat(
        face.key,
        face.many,
        long,
        wide,
        rows * columns,
        (a + (columns - 1) * lap) / columns,
        (b + (rows - 1) * lap) / rows,
        out,
        held,
        held >= gap - 1e-9,
    )
