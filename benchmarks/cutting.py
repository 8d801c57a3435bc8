"""Prints how long cut lists for many rooms take (seconds of one core), and how far from the bound they are.

Each room is made up: four walls of 1.2 to 5 m, each measured on its own, a window or a door in every second one, an
outside corner at every fourth. Its walls are lined three times over: narrow boards with factory edges, wide ones, and
timber sheets that are sawn. Battens and beads come from bars.

    python benchmarks/cutting.py [ROOMS [SEED]]
"""

import sys
import time
from random import Random

from planlint.cutting import RIGHT, Rect, Sheet, cut_lengths, cut_sheets

SHEETS = {
    "narrow": (Sheet(0.6, 2.6), 0.0),
    "wide": (Sheet(1.2, 2.6), 0.0),
    "timber": (Sheet(1.25, 2.6, factory_edges=False), 0.003),
}
BAR = 3.0
SLIVER = 0.15
OUTSIDE, OPENINGS, DOORS, LONG = 0.25, 0.5, 0.4, 0.6
"""What part of the walls, of the openings and of the lengths are such."""
SECONDS = 60.0


def millimetres(random: Random, least: int, most: int) -> float:
    """A length to the millimetre, in metres."""
    return random.randint(least, most) / 1000


def strips(start: float, end: float, sheet: float) -> list[float]:
    """The widths of the pieces from one place to another, the last two alike where the last were a sliver."""
    widths = []
    while (left := round(end - start, 3)) > 0:
        width = min(left, sheet)
        if 0 < left - width < SLIVER:
            width = round(left / 2, 3)
        widths.append(width)
        start = round(start + width, 3)
    return widths


def pieces(rooms: int, seed: int, sheet: float, *, has_edges: bool) -> list[Rect]:
    """The pieces that the walls of all rooms want of one sheet."""
    random, wanted = Random(seed), list[Rect]()  # noqa: S311 - made-up rooms
    for _ in range(rooms):
        height = millimetres(random, 2400, 2590)
        for _ in range(4):
            length = millimetres(random, 1200, 5000)
            at, opening = millimetres(random, 100, 900), millimetres(random, 700, 1400)
            is_outside, has_opening, is_door = (
                random.random() < OUTSIDE,
                random.random() < OPENINGS,
                random.random() < DOORS,
            )
            if not has_opening or at + opening >= length - 0.1:
                at, opening = length, 0.0
            full = strips(0, at, sheet) + (strips(at + opening, length, sheet) if opening else [])
            needs = frozenset({RIGHT} if is_outside and has_edges else ())
            wanted += [Rect("full", width, height) for width in full[:-1]] + [
                Rect("end", full[-1], height, needs=needs)
            ]
            for width in strips(at, at + opening, sheet):
                wanted.append(Rect("over", width, round(height - (2.05 if is_door else 2.18), 3)))
                if not is_door:
                    wanted.append(Rect("under", width, 0.88))
    return wanted


def main(rooms: int, seed: int) -> None:
    """Sheets of each kind, then bars."""
    begin = time.process_time()
    for name, (sheet, kerf) in SHEETS.items():
        wanted = pieces(rooms, seed, sheet.width, has_edges=sheet.factory_edges)
        start = time.process_time()
        layout = cut_sheets(wanted, sheet, kerf, seconds=SECONDS)
        took = time.process_time() - start
        print(f"{name}: {len(wanted)} pieces, {layout.new} sheets, at least {layout.bound}: {took:.1f} s")
    random = Random(seed)  # noqa: S311 - made-up lengths
    for name, number in (("battens", 20 * rooms), ("beads", 4 * rooms)):
        lengths = [
            millimetres(random, *((2400, 2590) if random.random() < LONG else (300, 1500))) for _ in range(number)
        ]
        start = time.process_time()
        bars = cut_lengths(lengths, BAR, 0.003, seconds=SECONDS)
        took = time.process_time() - start
        print(f"{name}: {number} lengths, {bars.new} bars, at least {bars.bound}: {took:.1f} s")
    print(f"in all {time.process_time() - begin:.1f} s")


if __name__ == "__main__":
    main(*(int(argument) for argument in sys.argv[1:3]), *(30, 7)[len(sys.argv[1:3]) :])
