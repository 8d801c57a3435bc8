"""How things stand before the hold points of a plan, by the checks that guard them and the releases on record."""

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from planlint.model.places import Places
from planlint.model.plan import Plan
from planlint.model.rooms import Room, Surface
from planlint.model.thing import Thing, lies_under
from planlint.records import HoldPoint, HoldState, Passing, Release, Verdict

OF_SURFACES = (HoldPoint.CLOSING_IN, HoldPoint.FILLING, HoldPoint.TILING, HoldPoint.PAINTING)
"""What is done to one wall or ceiling at a time; floors are laid and circuits made live room by room."""

Releases = Sequence[tuple[HoldPoint, Release]]
"""The releases in force, the oldest first."""


class Holds:
    """The outcomes of the checks that guard hold points, by the thing that was looked at."""

    def __init__(self) -> None:
        self._seen: defaultdict[HoldPoint, defaultdict[Thing, list[tuple[str, Verdict]]]]
        self._seen = defaultdict(lambda: defaultdict(list))

    def note(self, hold_point: HoldPoint, thing: Thing, rule: str, verdict: Verdict) -> None:
        """Note how one check came out."""
        self._seen[hold_point][thing].append((rule, verdict))

    def state(self, hold_point: HoldPoint, place: str, things: Iterable[Thing], releases: Releases) -> HoldState:
        """How things stand at a place, which `things` lie under or bear on."""
        seen = self._seen[hold_point]
        checks = [check for thing in things for check in seen.get(thing, ())]
        tally = Counter(verdict for _, verdict in checks)
        rules = tuple(sorted({rule for rule, _ in checks}))
        release = covering(hold_point, place, releases)
        found = HoldState(hold_point, place, Passing.HOLD, {one: tally[one] for one in Verdict}, rules, release)
        # Where nothing at all was checked, nobody has looked.
        return found if found.in_the_way or not checks else replace(found, state=_clear(release))

    def states(self, plan: Plan, places: Places, releases: Releases) -> Iterator[HoldState]:
        """How things stand at every lined surface and room, and wherever else something was released."""
        asked = {(one, place): None for place, hold_points in _usual(plan) for one in hold_points}
        asked |= {(hold_point, release.place): None for hold_point, release in releases}
        for hold_point, place in asked:
            things = plan.things() if place == plan.place else places.at(place)
            found = self.state(hold_point, place, things, releases)
            applied = sum(found.tally.values()) > found.tally[Verdict.NOT_APPLICABLE]
            if applied or (found.release and found.release.place == place):
                yield found


def _usual(plan: Plan) -> Iterator[tuple[str, tuple[HoldPoint, ...]]]:
    for thing in plan.things():
        if isinstance(thing, Room):
            yield thing.place, tuple(HoldPoint)
        elif isinstance(thing, Surface) and not thing.stays:
            yield thing.place, OF_SURFACES


def _clear(release: Release | None) -> Passing:
    return Passing.RELEASED if release and not release.overtaken else Passing.MAY_BE_RELEASED


def covering(hold_point: HoldPoint, place: str, releases: Releases) -> Release | None:
    """The newest release that covers a place and still stands, else the newest that does not stand any more."""
    covering = [
        release
        for released, release in releases
        if released is hold_point and (release.place == "plan" or lies_under(place, release.place))
    ]
    return next((one for one in reversed(covering) if not one.overtaken), covering[-1] if covering else None)
