"""The schedule of circuits for people: a block a circuit, what is left on it last, and how each sum was made."""

from collections.abc import Iterator

from planlint.circuit_records import (
    AmperesLeft,
    Carrying,
    CircuitCard,
    CircuitSchedule,
    Drop,
    Fed,
    Loop,
    MetresLeft,
    OutletsLeft,
)
from planlint.reports.page import Page, Tone, count, listing, sentence, to_add
from planlint.reports.sums_text import head, not_worked_out, origins, working
from planlint.sum_records import Figure, Unknown

_CABLES = {"singles": "single wires", "multicore": "a multicore cable"}


def render(schedule: CircuitSchedule, page: Page, *, show_working: bool = False) -> str:
    """Every circuit with its sums; with `show_working` each sum step by step, and where its figures come from."""
    return "\n\n".join(_parts(schedule, page, show_working=show_working)) + "\n"


def _parts(schedule: CircuitSchedule, page: Page, *, show_working: bool) -> Iterator[str]:
    yield "\n".join(head(schedule, page, f"{_shown(schedule)}, by the limits {listing(schedule.limits)}."))
    for circuit in schedule.circuits:
        lines = [page.tone(page.paragraph(circuit.place.replace(".", ", ")), Tone.HEADING)]
        lines += [page.paragraph(f"{name}: {sentence(text)}", 4, "  ") for name, text in _described(circuit)]
        lines.append("  What is left")
        lines += [page.paragraph(f"{name}: {sentence(text)}", 6, "    ") for name, text in _left(circuit)]
        yield "\n".join(lines)
        if show_working:
            yield from _sums(circuit, page)
    if show_working and schedule.sources:
        yield origins(schedule.sources, page)
    if schedule.circuits:
        yield "\n".join((page.tone("Take care", Tone.HEADING), page.paragraph(schedule.caution, 2, "  ")))


def _shown(schedule: CircuitSchedule) -> str:
    if not schedule.in_plan:
        return "It records no circuits; `planlint words circuit` says how one is written"
    if schedule.place is None:
        return count(len(schedule.circuits), "circuit")
    shown = f"{len(schedule.circuits) or 'none'} of its {count(schedule.in_plan, 'circuit')}"
    return f"{shown[:1].upper()}{shown[1:]}, as far as they lie under {schedule.place} or bear on it"


def _described(circuit: CircuitCard) -> Iterator[tuple[str, str]]:
    yield "Serves", _serves(circuit)
    yield "Breaker", f"{_breaker(circuit)}; {_rcd(circuit)}"
    yield "Cable", _cable(circuit)
    if isinstance(circuit.capacity, Carrying):
        carrying = circuit.capacity
        yield "Lies as", f"{carrying.lying}; the worst of it is {_below(carrying.run, circuit)}"
        yield "May carry", _carries(carrying)
    else:
        yield "May carry", not_worked_out(circuit.capacity)
    yield (
        "Voltage drop",
        not_worked_out(circuit.drop) if isinstance(circuit.drop, Unknown) else _drop(circuit.drop, circuit),
    )
    yield "Fault loop", not_worked_out(circuit.loop) if isinstance(circuit.loop, Unknown) else _loop(circuit.loop)


def _serves(circuit: CircuitCard) -> str:
    points = [_point(fed, circuit) for fed in circuit.feeds]
    elsewhere = [(circuit.also_sockets, "socket"), (circuit.also_lights, "light")]
    points += [f"{count(number, kind)} elsewhere" for number, kind in elsewhere if number]
    what = circuit.serves or "not recorded (add serves)"
    return f"{what}, at {listing(points) if points else 'no point yet'}; {count(circuit.outlets, 'outlet')} in all"


def _point(fed: Fed, circuit: CircuitCard) -> str:
    told = [] if circuit.serves in (fed.kind, f"{fed.kind}s") else [fed.kind]
    told += [f"{fed.outlets} outlets"] if fed.outlets > 1 else []
    return f"{fed.name} ({', '.join(told)})" if told else fed.name


def _breaker(circuit: CircuitCard) -> str:
    rating = circuit.breaker.said if circuit.breaker else "rating not recorded (add breaker.rating)"
    return f"{rating}, {f'curve {circuit.curve}' if circuit.curve else 'curve not recorded (add breaker.curve)'}"


def _rcd(circuit: CircuitCard) -> str:
    if circuit.rcd is None:
        return "RCD not recorded (add rcd)"
    return f"RCD {circuit.rcd.said}" if isinstance(circuit.rcd, Figure) else "no RCD"


def _cable(circuit: CircuitCard) -> str:
    kind = _CABLES[circuit.cable] if circuit.cable else "kind not recorded (add cable)"
    section = circuit.section.said if circuit.section else ""
    others = [f"{figure.said} on {_below(place, circuit)}" for place, figure in circuit.other_sections]
    sections = listing([*([section] if section else []), *others]) if section or others else ""
    earth = f", earth {circuit.earth_section.said}" if circuit.earth_section else ""
    ring = ", laid as a ring" if circuit.is_ring else ""
    return f"{sections or 'section not recorded (add section)'}{earth}; {kind}{ring}"


def _below(place: str, circuit: CircuitCard) -> str:
    """A run of the circuit as one says it: `to S1`."""
    return f"the run {place.removeprefix(f'{circuit.place}.run-').replace('-', ' ', 1)}"


def _carries(carrying: Carrying) -> str:
    stages = "; ".join(f"{step.how} = {step.result}" for step in carrying.working.steps[1:-1])
    said = f"{carrying.carried.said} (Iz). By the table {carrying.table.said}; {stages}"
    if carrying.at_best is None:
        return said
    add = to_add(carrying.missing)
    return f"{said}. Perhaps {carrying.at_best.said}, once it is recorded how it lies{add}"


def _drop(drop: Drop, circuit: CircuitCard) -> str:
    drawn = "with the recorded loads"
    if not drop.by_loads and circuit.breaker:
        drawn = f"with {circuit.breaker.said}, the breaker's rating, drawn there, since not every load is known"
    return (
        f"{drop.share.said} ({drop.volts.said}) at {drop.point}, {drop.way.said} from the distribution board, {drawn}; "
        f"{_limit(drop.allowed, is_within=drop.is_within)}"
    )


def _loop(loop: Loop) -> str:
    limit = f"{_limit(loop.allowed, is_within=loop.is_within)}, at which {loop.cleared_by}"
    if loop.point is None:
        return f"{loop.ohms.said} of earth electrode (RA), beside which the cable counts for little; {limit}"
    return f"{loop.ohms.said} (Zs) at {loop.point}; {limit}"


def _limit(allowed: Figure, *, is_within: bool) -> str:
    return f"the limit is {allowed.said}" if is_within else f"above the limit of {allowed.said}"


def _left(circuit: CircuitCard) -> Iterator[tuple[str, str]]:
    for outlets in circuit.outlets_left:
        name = "Outlets" if isinstance(outlets, Unknown) else outlets.what.capitalize()
        yield name, not_worked_out(outlets) if isinstance(outlets, Unknown) else _outlets(outlets)
    metres = circuit.metres_left
    yield "Length", not_worked_out(metres) if isinstance(metres, Unknown) else _metres(metres)
    yield from _amperes(circuit.amperes_left, circuit.breaker)


def _outlets(outlets: OutletsLeft) -> str:
    if outlets.left is None:
        return f"no limit; {outlets.why}, and it feeds {outlets.fed}"
    if outlets.left < 0:
        return f"none, {-outlets.left} too many; {outlets.why}, and it feeds {outlets.fed}"
    return f"{outlets.left or 'none'}; {outlets.why}, and it feeds {outlets.fed}"


def _metres(metres: MetresLeft) -> str:
    if metres.left.value <= 0:
        return f"none; the {metres.ends_by} has reached its limit"
    said = f"{metres.left.said} more cable on the way to {metres.to}; then the {metres.ends_by} is at its limit"
    return "; ".join((said, *(f"or sooner, since {not_worked_out(unknown)}" for unknown in metres.unknown)))


def _amperes(amperes: AmperesLeft, breaker: Figure | None) -> Iterator[tuple[str, str]]:
    above = "the breaker's rating (Iz - In)"
    if breaker and amperes.has_to_carry and amperes.has_to_carry.value < breaker.value:
        above = f"the {amperes.has_to_carry.said} that a ring behind {breaker.said} has to carry"
    yield "Amperes in the cable", _room(amperes.cable, above)
    yield "Amperes in the breaker", _room(amperes.breaker, "the recorded loads (In - Ib)")


def _room(left: Figure | Unknown, above: str) -> str:
    if isinstance(left, Unknown):
        return not_worked_out(left)
    if left.value < 0:
        return f"none; it is {left.said.removeprefix('-')} below {above}"
    return f"{left.said} above {above}"


def _sums(circuit: CircuitCard, page: Page) -> Iterator[str]:
    sums = (
        ("current that the cable may carry", circuit.capacity),
        ("voltage drop", circuit.drop),
        ("fault loop", circuit.loop),
    )
    for name, found in sums:
        if not isinstance(found, Unknown):
            yield working(f"How the {name} comes about", found.working, page)
