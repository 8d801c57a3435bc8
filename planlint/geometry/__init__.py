"""Plane geometry of rooms on plain floats: metres and radians, a turn to the right positive."""

from planlint.geometry.diagonals import Diagonal, TrueOutline, true_outline
from planlint.geometry.faces import BareWall, Face, FaceEnd, end_moves, finished_faces
from planlint.geometry.outlines import Doorway, Outline, Spot, Vector, Way, level, walk, way_along_walls
from planlint.geometry.polygons import CutPiece, Panel, Rectangle, Side, face_panel
from planlint.geometry.slopes import Slope

__all__ = [
    "BareWall",
    "CutPiece",
    "Diagonal",
    "Doorway",
    "Face",
    "FaceEnd",
    "Outline",
    "Panel",
    "Rectangle",
    "Side",
    "Slope",
    "Spot",
    "TrueOutline",
    "Vector",
    "Way",
    "end_moves",
    "face_panel",
    "finished_faces",
    "level",
    "true_outline",
    "walk",
    "way_along_walls",
]
