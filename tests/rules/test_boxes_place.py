from collections.abc import Callable
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from planlint.records import PlanRecord

SMALL = settings(deadline=None, derandomize=True, max_examples=25)
RULES = (
    "box-clear-of-corner",
    "boxes-not-back-to-back",
    "box-depth-fits",
    "clamps-reach-boards",
    "hung-load-has-backing",
)
LENGTH, FAR = 3000, 2400  # of the wall that is looked at, and of its other face, in millimetres
MILLIMETRES = st.integers(90, LENGTH - 90)


def test_case(case: dict[str, Any], hold: Callable[[dict[str, Any]], None]) -> None:
    hold(case)


def plan(here: dict[str, Any], *, mirrored: bool) -> str:
    """A room of four walls, one of which is looked at and has another room behind it; or its mirror image.

    Mirrored, the walk goes the other way round: walls come in the opposite order, and each turn is now at the end of
    the wall that followed it.
    """

    def at(place: int, width: int = 0, length: int = LENGTH) -> str:
        return f"{length - place - width if mirrored else place} mm"

    points = "\n".join(
        f"              S{number}: {{kind: socket, at: {at(place)}, height: {height} mm, box: {box}, gangs: {gangs}}}"
        for number, (place, height, box, gangs) in enumerate(here["points"])
    )
    behind = "\n".join(
        f"              B{number}: {{kind: socket, at: {at(place, length=FAR)}, height: {height} mm, box: deep}}"
        for number, (place, height) in enumerate(here["behind"])
    )
    main = f"""
          - wall: main
            length: {LENGTH} mm
            then: {here["turns"][0] if mirrored else here["turns"][1]}
            base: stud
            lining: {here["lining"]}
            battens_at: [{", ".join(at(batten) for batten in here["battens"])}]
            back_of: {{wall: hall.north, offset: {LENGTH - FAR - here["offset"] if mirrored else here["offset"]} mm}}
            openings:
              window: {{kind: window, at: {at(here["window"], 700)}, width: 700 mm, sill: 900 mm, height: 1 m}}
            points:
{points}"""
    before = "right" if mirrored else here["turns"][0]
    left = f"- {{wall: left, length: 2 m, then: {before}, lining: {here['beside'][0]}}}"
    after = here["turns"][1] if mirrored else "right"
    right = f"- {{wall: right, length: 2 m, then: {after}, lining: {here['beside'][1]}}}"
    far = f"- {{wall: far, length: {LENGTH} mm, then: right, lining: none}}"
    walls = [left, main, right, far]
    listed = "\n          ".join(reversed(walls) if mirrored else walls)
    return f"""
plan: 1
title: a room and its mirror image
boxes:
  deep: {{hole: 68 mm, depth: 61 mm, clamps: [7 mm, 40 mm]}}
  flat: {{hole: 74 mm, depth: 35 mm, clamps: [7 mm, 20 mm]}}
boards: {{narrow: {{thickness: 12.5 mm}}, strand: {{thickness: 12 mm}}}}
bases: {{stud: {{material: timber-stud, thickness: 40 mm}}}}
linings:
  hung: {{battens: {{width: 50 mm, depth: 40 mm}}, layers: [{{board: strand}}, {{board: narrow}}]}}
  single: {{layers: [{{board: narrow}}]}}
rooms:
  study:
        height: 2.50 m
        outline: closed
        fixtures: {{bowl: {{kind: sink, wall: main, at: {at(here["sink"], 500)}, width: 500 mm, rim: 900 mm}}}}
        walls:
          {listed}
  hall:
        height: 2.50 m
        walls:
          - wall: north
            length: {FAR} mm
            base: stud
            lining: none
            existing: {{board: narrow}}
            points:
{behind}
"""


@SMALL
@given(
    st.fixed_dictionaries(
        {
            "points": st.lists(
                st.tuples(MILLIMETRES, st.integers(60, 2200), st.sampled_from(["deep", "flat"]), st.integers(1, 3)),
                min_size=1,
                max_size=3,
            ),
            "behind": st.lists(st.tuples(st.integers(90, FAR - 90), st.integers(60, 2200)), min_size=1, max_size=3),
            "battens": st.lists(st.integers(0, LENGTH), min_size=1, max_size=5, unique=True),
            "lining": st.sampled_from(["hung", "single"]),
            "beside": st.tuples(
                st.sampled_from(["hung", "single", "none"]), st.sampled_from(["hung", "single", "none"])
            ),
            "turns": st.tuples(*[st.sampled_from(["right", "left", "{turn: right, by: 45 deg}", "straight"])] * 2),
            "window": st.integers(0, LENGTH - 700),
            "sink": st.integers(0, LENGTH - 500),
            "offset": st.integers(0, LENGTH - FAR),
        }
    )
)
def test_a_mirrored_room_has_the_same_findings(inspect: Callable[..., PlanRecord], here: dict[str, Any]) -> None:
    def findings(*, mirrored: bool) -> set[tuple[str, str, str, tuple[str, ...]]]:
        record = inspect(plan(here, mirrored=mirrored), *RULES)
        return {(one.rule, one.place, str(one.outcome), tuple(sorted(one.missing))) for one in record.findings}

    assert findings(mirrored=True) == findings(mirrored=False)


@SMALL
@given(st.integers(90, 2910), st.integers(1, 200), st.integers(0, 200))
def test_a_thicker_lining_round_an_inside_corner_never_makes_room(
    inspect: Callable[..., PlanRecord], at: int, thin: int, more: int
) -> None:
    def fails(thickness: int) -> int:
        text = f"""
plan: 1
title: one point
boxes: {{deep: {{hole: 68 mm}}}}
linings: {{own: {{layers: [{{material: air, thickness: {thickness} mm}}]}}}}
rooms:
  study:
    height: 2.50 m
    outline: closed
    walls:
      - {{wall: before, length: 2 m, then: right, lining: own}}
      - wall: main
        length: 3 m
        then: right
        lining: none
        points: {{S1: {{kind: socket, at: {at} mm, height: 1 m, box: deep}}}}
      - {{wall: after, length: 2 m, then: right, lining: own}}
"""
        return len(inspect(text, "box-clear-of-corner").findings)

    assert fails(thin) <= fails(thin + more)
