"""Cut lists: bars in one dimension, sheets in two; nothing here knows of plans. Lengths in and out are metres."""

from planlint.cutting.lengths import Bar, Bars, cut_lengths
from planlint.cutting.sheets import (
    LEFT,
    RIGHT,
    Layout,
    Offcut,
    Placed,
    PlacedSheet,
    Rect,
    Rest,
    Sheet,
    cut_sheets,
    fits,
)

__all__ = [
    "LEFT",
    "RIGHT",
    "Bar",
    "Bars",
    "Layout",
    "Offcut",
    "Placed",
    "PlacedSheet",
    "Rect",
    "Rest",
    "Sheet",
    "cut_lengths",
    "cut_sheets",
    "fits",
]
