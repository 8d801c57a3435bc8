"""Heights by country against what pages say of the documents, each beside its figure; weak sources all of them.

The figures are heights above the finished floor. `outside` is what a set finds there: nothing, a note or a warning.
"""

import json
from datetime import date

import pytest

from planlint import inspection, registry, source

BOOK = registry.load(inspection.ENGINE_CARDS)


def level(limits: str, kind: str, height: str, *, bottom: bool = False) -> str | None:
    """How grave it is that a point of a kind stands at a height, under a limit set; None where it may."""
    point = {"kind": kind, "at": "1 m", "height": height} | ({"height_to": "bottom"} if bottom else {})
    walls = [{"wall": "west", "points": {"P": point}}]
    plan = {"plan": 1, "title": "one point", "limits": limits, "rooms": {"parlour": {"walls": walls}}}
    document = source.read(json.dumps(plan).encode(), "point.plan.yaml")
    wanted = inspection.Wanted(today=date(2026, 10, 3), only=("height-in-reach",), contain=False)
    found = [str(finding.level) for finding in inspection.inspect(document, BOOK, wanted).findings]
    assert len(found) <= 1
    return found[0] if found else None


@pytest.mark.parametrize(
    ("limits", "kind", "height", "outside"),
    [
        # NF C 15-100, four French trade pages that agree: axis of a 16 or 20 A socket from 50 mm, of a 32 A outlet from
        # 120 mm, of both to 1300 mm; of a switch from 900 to 1300 mm.
        ("fr", "socket", "50 mm", None),
        ("fr", "socket", "49 mm", "warning"),
        ("fr", "socket", "1300 mm", None),
        ("fr", "socket", "1301 mm", "warning"),
        ("fr", "cooker", "120 mm", None),
        ("fr", "cooker", "119 mm", "warning"),
        ("fr", "switch", "900 mm", None),
        ("fr", "switch", "899 mm", "warning"),
        ("fr", "switch", "1300 mm", None),
        ("fr", "switch", "1301 mm", "warning"),
        # ADA Standards 308, trade pages: 15 in to 48 in. 16 in is the custom for sockets, 48 in for switches.
        ("us", "socket", "15 in", None),
        ("us", "socket", "16 in", None),
        ("us", "socket", "14 15/16 in", "note"),
        ("us", "switch", "48 in", None),
        ("us", "switch", "48 1/16 in", "note"),
        # DIN 18015-3:2016-09 prefers 300 mm and 1050 mm (a maker's manual), which is no range.
        ("de", "socket", "300 mm", None),
        ("de", "switch", "1050 mm", None),
        ("de", "socket", "1150 mm", None),
    ],
)
def test_heights_of_centres(limits: str, kind: str, height: str, outside: str | None) -> None:
    assert level(limits, kind, height) == outside


@pytest.mark.parametrize(
    ("kind", "height", "outside"),
    # Approved Document M, new dwellings, an installer's page: the bottom of a socket at 450 mm or more.
    [
        ("socket", "450 mm", None),
        ("socket", "449 mm", "note"),
        ("switch", "450 mm", None),
    ],
)
def test_british_heights_of_lower_edges(kind: str, height: str, outside: str | None) -> None:
    assert level("gb", kind, height, bottom=True) == outside


def test_the_british_upper_end_is_that_of_the_plate() -> None:
    """The top of a switch at 1200 mm at most, same page; a plate is taken as 80 mm, so its centre is 40 mm lower."""
    assert level("gb", "switch", "1160 mm") is None
    assert level("gb", "switch", "1161 mm") == "note"
