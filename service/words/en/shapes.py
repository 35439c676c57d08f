"""Kinds of pieces, how they are cast, their faces, openings and inserts."""

TEMPLATES: dict[str, str] = {
    "shape.round-panel": "round panel",
    "shape.ribbed-panel": "ribbed panel",
    "shape.slab-with-basin": "slab with basin",
    "shape.l-shape": "L on one leg",
    "shape.u-shape": "U on two legs",
    "shape.by-hand": "own shape",
    "insert.zinc": "zinc or galvanised",
    "insert.stainless": "stainless steel",
    "face.top": "top",
    "face.edges": "outer edges",
    "face.front": "front",
    "face.back": "back",
    "face.sides": "outer sides",
    "face.inside": "inside walls",
    "face.floor": "inside floor",
    "face.rim": "rim",
    "face.openings": "edges of openings",
    "face.underside": "underside",
    "face.whole": "all faces that show",
}
