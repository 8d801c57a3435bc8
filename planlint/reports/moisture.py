"""The schedule of outside walls for people: how each comes out, its layers as a table, what condenses and dries."""

from collections.abc import Iterator

from planlint.moisture_records import Inside, MoistureSchedule, ReadCard, Standing, SurfaceCard, WallCard
from planlint.reports.page import Page, Tone, count, listing, sentence, to_add
from planlint.reports.sums_text import head, not_worked_out, origins, working
from planlint.sum_records import Figure, Unknown

_HEADS = ("outside to inside", "thick", "λ", "R", "sd", "°C", "psat", "p", "RH")
_NARROW = 12
"""A layer's name is cut no shorter than this, however narrow the page."""


def render(schedule: MoistureSchedule, page: Page, *, show_working: bool = False) -> str:
    """Every outside wall; with `show_working` each sum step by step, and where its figures come from."""
    return "\n\n".join(_parts(schedule, page, show_working=show_working)) + "\n"


def _parts(schedule: MoistureSchedule, page: Page, *, show_working: bool) -> Iterator[str]:
    said = f"{_shown(schedule)}, on {schedule.today}, by the limits {listing(schedule.limits)}."
    others = (
        f"{place} faces {faces}: only walls that face outside are worked out." for place, faces in schedule.not_outside
    )
    yield "\n".join(head(schedule, page, said, *others))
    for wall in schedule.walls:
        lines = [page.tone(page.paragraph(wall.place.replace(".", ", ")), Tone.HEADING)]
        lines.append(page.paragraph(_verdict(wall, schedule.left_out), 4, "  "))
        lines += [page.paragraph(f"{name}: {sentence(text)}", 4, "  ") for name, text in _described(wall)]
        yield "\n".join(lines)
        if isinstance(wall.inside, Inside):
            yield "\n".join(_table(wall.inside, page))
            if show_working:
                yield working("How this comes about", wall.inside.working, page)
    if show_working and schedule.sources:
        yield origins(schedule.sources, page)


def _shown(schedule: MoistureSchedule) -> str:
    if not schedule.walls_in_plan:
        return "It records no walls; `planlint words wall` says how one is written"
    if schedule.place is None:
        faces = "faces" if schedule.outside_in_plan == 1 else "face"
        return f"{schedule.outside_in_plan or 'None'} of its {count(schedule.walls_in_plan, 'wall')} {faces} outside"
    outside = count(schedule.outside_in_plan, "wall that faces outside", "walls that face outside")
    return f"{len(schedule.walls) or 'None'} of its {outside}: what lies under {schedule.place} or bears on it"


def _verdict(wall: WallCard, left_out: str) -> str:
    limits = f"The sum does not count {left_out}: where one of them is there, it decides nothing."
    what = f"lined with {wall.lining}" if wall.lining else "as it stands"
    undecided = " (its lining is not decided)" if wall.undecided else ""
    why = f": {'; '.join(wall.reasons)}" if wall.reasons else ""
    if wall.standing is Standing.UNKNOWN:
        return f"Not known, {what}{undecided}{why}. {limits}"
    verdict = "Keeps to the limits" if wall.standing is Standing.KEEPS else "Does not keep to the limits"
    damp = _also(wall.readings) if wall.standing is Standing.KEEPS else ""
    return f"{verdict}, {what}{undecided}{why}.{damp} {limits}"


def _also(readings: ReadCard) -> str:
    if readings.says == "damp" and readings.value and readings.warn:
        return f" Yet it reads {readings.value.said}, and above {readings.warn.said} a wall is damp: read it again."
    return ""


def _described(wall: WallCard) -> Iterator[tuple[str, str]]:
    yield "Readings", _readings(wall.readings)
    if isinstance(wall.inside, Unknown):
        yield "Inside the wall", not_worked_out(wall.inside)
    else:
        yield "Reckoned with", wall.inside.climate
        yield "Condenses", _condenses(wall.inside)
        if wall.inside.evaporates:
            enough = "so all of it dries" if wall.inside.dries else "which is less than condenses"
            yield "Dries", f"up to {wall.inside.evaporates.said} in the warm period, {enough}"
        if wall.inside.months:
            yield "Month by month", _months(wall.inside)
        if wall.inside.timber:
            yield (
                "Timber",
                "; ".join(
                    f"{one.words} {one.moisture.said}, {one.where} ({one.humidity.said} humid); "
                    f"{'the limit is' if one.is_within else 'above the limit of'} {one.allowed.said}"
                    for one in wall.inside.timber
                ),
            )
        if wall.vapour_layer:
            yield (
                "Would do",
                f"a vapour layer of sd {wall.vapour_layer.said} or more on the room side, sealed all round",
            )
    yield (
        "Surface in the room",
        not_worked_out(wall.surface) if isinstance(wall.surface, Unknown) else _surface(wall.surface),
    )
    if isinstance(wall.inside, Inside):
        yield "Heat", f"U {wall.inside.transmittance.said}, on the flat of the wall"


def _readings(found: ReadCard) -> str:
    add = to_add(found.missing)
    if found.value is None or found.warn is None or found.stop is None:
        return f"{found.says}{add}"
    limits = f"damp above {found.warn.said}, wet above {found.stop.said}"
    return f"{found.says}, {found.value.said} at the wettest spot ({limits}){add}"


def _condenses(found: Inside) -> str:
    if not found.water:
        return "nothing"
    where = [f"{one.mass.said} {one.where} (at most {one.allowed.said} there)" for one in found.water]
    total = f"; {found.total.said} in all, and at most {found.allowed.said}" if len(found.water) > 1 else ""
    return f"{listing(where)}{total}"


def _months(found: Inside) -> str:
    wet = [f"{one.month} {one.mass.said}" for one in found.months if one.mass.value > 0]
    end = "dry again within the year" if found.dries else "never dry"
    return f"{', '.join(wet)}; {end}" if wet else "dry all year"


def _surface(found: SurfaceCard) -> str:
    limit = f"{'the limit is' if found.is_within else 'above the limit of'} {found.allowed.said}"
    least = f", {found.least_factor:.2f} needed" if found.least_factor is not None else ""
    return f"{found.temperature.said}, air {found.humidity.said} humid, {limit} (fRsi {found.factor:.2f}{least})"


def _table(found: Inside, page: Page) -> Iterator[str]:
    """The layers, each with what holds at its inner face."""
    cells = [
        (
            row.words,
            _said(row.thickness),
            _bare(row.conductivity),
            _bare(row.resistance),
            _said(row.sd),
            f"{row.temperature.value:.1f}",
            f"{row.saturation.value:.0f}",
            f"{row.pressure.value:.0f}",
            f"{row.humidity.value:.0f} %",
        )
        for row in found.rows
    ]
    widths = [max(len(_HEADS[column]), *(len(row[column]) for row in cells)) for column in range(1, len(_HEADS))]
    first = max(
        _NARROW,
        min(page.width - 2 - sum(widths) - 2 * len(widths), max(len(_HEADS[0]), *(len(row[0]) for row in cells))),
    )
    yield page.tone(_line(_HEADS, first, widths), Tone.QUIET)
    for row in cells:
        yield _line(row, first, widths)
    units = "λ in W/(m·K), R in m²·K/W, pressures in Pa; temperature, pressure and humidity at the inner face"
    yield page.tone(page.paragraph(units, 2, "  "), Tone.QUIET)


def _line(cells: tuple[str, ...], first: int, widths: list[int]) -> str:
    name = cells[0] if len(cells[0]) <= first else f"{cells[0][: first - 1]}…"
    return (
        "  "
        + "  ".join(
            (name.ljust(first), *(cell.rjust(width) for cell, width in zip(cells[1:], widths, strict=True)))
        ).rstrip()
    )


def _said(figure: Figure | None) -> str:
    return figure.said if figure else ""


def _bare(figure: Figure | None) -> str:
    return f"{figure.value:.3g}" if figure else ""
