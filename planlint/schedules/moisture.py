"""The outside walls of a plan: their layers, what condenses and dries in them, and how they come out of it."""

from collections.abc import Iterator
from datetime import date

from planlint import moisture_records as records
from planlint.inspection import limits_of, plan_of, things_at
from planlint.model.readings import Judged
from planlint.model.rooms import Wall
from planlint.model.words import Faces
from planlint.moisture_records import Standing
from planlint.registry import Rulebook
from planlint.rule import Given, Open
from planlint.schedules.figures import figure, known, overridden, source
from planlint.source import Document
from planlint.sum_records import Figure, StepCard, Unknown, Working
from planlint.sums.climate import MONTHS
from planlint.sums.condensation import LEFT_OUT, LIMITS_OF_CONDENSATION, Condensation, Row, Spot, condensation
from planlint.sums.condensation_steps import steps
from planlint.sums.dampness import LIMITS_OF_DAMPNESS, wettest
from planlint.sums.lined import faces_key
from planlint.sums.surface import LIMITS_OF_SURFACE, Surface, surface
from planlint.sums.vapour_layer import LIMITS_OF_VAPOUR_LAYER, least_vapour_layer, too_wet
from planlint.sums.working import Lacking
from planlint.units import Pressure, Ratio, SurfaceMass, at_most

FORMULA = (
    "R = thickness ÷ λ; sd = μ × thickness; temperature falls with R, vapour pressure with sd; where the straight line "
    "of pressure would pass above saturation, it bends at the layers' faces, and what comes there and does not go on "
    "condenses"
)
_LIMITS = tuple(
    dict.fromkeys((*LIMITS_OF_DAMPNESS, *LIMITS_OF_CONDENSATION, *LIMITS_OF_SURFACE, *LIMITS_OF_VAPOUR_LAYER))
)


def moisture(
    document: Document, rulebook: Rulebook, today: date, limits: str | None = None, place: str | None = None
) -> records.MoistureSchedule:
    """The outside walls of a plan that lie under `place` or bear on it, by the limit set `limits` or the plan's own.

    Raises PlanFaults where it cannot be read as a plan, UsageError for a place that it does not hold, LimitError for
    a limit set that there is not.
    """
    plan = plan_of(document)
    in_force = limits_of(document, plan, rulebook, limits)
    given = Given(in_force, today, _LIMITS)
    walls = [thing for thing in plan.things() if isinstance(thing, Wall)]
    asked = [thing for thing in things_at(plan, place) if isinstance(thing, Wall)]
    outside = [wall for wall in asked if _may_face_outside(wall)]
    return records.MoistureSchedule(
        plan=document.file,
        title=plan.title,
        digest=document.digest,
        limits=in_force.names,
        overridden=overridden(in_force),
        today=today.isoformat(),
        place=place,
        walls_in_plan=len(walls),
        outside_in_plan=sum(map(_may_face_outside, walls)),
        walls=tuple(_card(wall, given) for wall in outside),
        not_outside=tuple(
            (wall.place, str(wall.faces)) for wall in asked if place is not None and not _may_face_outside(wall)
        ),
        sources=tuple(source(name, in_force) for name in _LIMITS) if outside else (),
        left_out=LEFT_OUT,
    )


def _may_face_outside(wall: Wall) -> bool:
    return wall.faces in (None, Faces.OUTSIDE)


def _card(wall: Wall, given: Given) -> records.WallCard:
    found = _asked(wall) or condensation(wall, given)
    at_surface = _asked(wall) or surface(wall, wall.lining, given)
    worst, unjudged = wettest(wall, given)
    inside = _unknown(found) if isinstance(found, Lacking) else _inside(found, given)
    reasons = list(_reasons(wall, worst, found, at_surface, given))
    standing = Standing.EXCEEDS if reasons else Standing.KEEPS
    if not reasons and (isinstance(found, Lacking) or isinstance(at_surface, Lacking) or (wall.lining and unjudged)):
        standing = Standing.UNKNOWN
        reasons = [f"not recorded: {one.what}" for one in (found, at_surface) if isinstance(one, Lacking)][:1]
        reasons += [unjudged.what if isinstance(unjudged, Open) else unjudged.message] if unjudged else []
    wanted = not isinstance(found, Lacking) and not (found.is_within_limits and too_wet(found, given) is None)
    return records.WallCard(
        place=wall.place,
        lining=wall.lining.name if wall.lining else None,
        undecided=wall.undecided,
        readings=_read(worst, unjudged),
        inside=inside,
        surface=_unknown(at_surface) if isinstance(at_surface, Lacking) else _surface(at_surface),
        standing=standing,
        reasons=tuple(reasons),
        vapour_layer=figure(least_vapour_layer(wall, given)) if wanted and wall.lining else None,
    )


def _asked(wall: Wall) -> Lacking | None:
    """Why nothing can be worked out before any sum is begun."""
    return Lacking("what the wall faces", (faces_key(wall),)) if wall.faces is None else None


def _unknown(found: Lacking) -> Unknown:
    return Unknown(found.what, found.keys)


def _reasons(
    wall: Wall, worst: Judged | None, found: Condensation | Lacking, at_surface: Surface | Lacking, given: Given
) -> Iterator[str]:
    """What keeps the wall from its limits: its readings first, since no sum makes a wet wall dry."""
    if worst and worst.is_wet:
        spot = f" at {worst.reading.where}" if worst.reading.where else ""
        yield f"it reads {worst.value}{spot}, and above {worst.stop} no build-up of a lining keeps it dry"
    if isinstance(found, Condensation):
        if not found.is_within_limits:
            yield from (flaw.text for flaw in found.flaws)
        spot_ = too_wet(found, given)
        if spot_ is not None and wall.lining:
            allowed = given.quantity("timber_humidity", Ratio)
            yield f"the {spot_.words} would come to a moisture of {spot_.moisture}, and {allowed} is the most"
    if isinstance(at_surface, Surface) and not at_most(at_surface.humidity, at_surface.allowed):
        yield (
            f"the air on its surface in the room would be {at_surface.humidity} humid, and above "
            f"{at_surface.allowed} mould can grow"
        )


def _read(worst: Judged | None, unjudged: object) -> records.ReadCard:
    missing = unjudged.missing if isinstance(unjudged, Open) else ()
    if worst is None:
        return records.ReadCard("not known how damp it is", None, None, None, is_wet=False, missing=missing)
    state = "wet" if worst.is_wet else "damp" if worst.is_damp else "dry enough"
    return records.ReadCard(
        says=state,
        value=known(worst.value),
        warn=known(worst.warn),
        stop=known(worst.stop),
        is_wet=worst.is_wet,
        missing=missing,
    )


def _inside(found: Condensation, given: Given) -> records.Inside:
    return records.Inside(
        climate=found.conditions.words,
        rows=tuple(map(_row, found.rows)),
        water=tuple(
            records.WaterCard(found.where(water), known(water.mass), known(water.allowed)) for water in found.water
        ),
        total=known(found.total),
        allowed=known(found.allowed),
        evaporates=figure(found.evaporates),
        dries=found.dries,
        months=tuple(
            records.MonthCard(name, known(SurfaceMass(end.mass, "kg/m²")))
            for name, end in zip(MONTHS, found.year.months, strict=True)
        )
        if found.year
        else (),
        timber=tuple(_timber(spot, found, given) for spot in found.timber),
        transmittance=Figure(float(f"{found.transmittance:.4g}"), "W/(m²·K)", f"{found.transmittance:.2g} W/(m²·K)"),
        working=Working(
            FORMULA,
            tuple(StepCard(step.what, step.how, step.result) for step in steps(found)),
            LIMITS_OF_CONDENSATION,
        ),
    )


def _row(row: Row) -> records.LayerRow:
    stratum = row.stratum
    return records.LayerRow(
        words=row.words,
        thickness=figure(stratum.thickness) if stratum else None,
        conductivity=figure(stratum.conductivity) if stratum else None,
        resistance=figure(stratum.resistance) if stratum else None,
        sd=figure(row.sd),
        temperature=known(row.temperature),
        saturation=known(Pressure(row.saturation, "Pa")),
        pressure=known(Pressure(row.pressure, "Pa")),
        humidity=known(row.humidity),
    )


def _timber(spot: Spot, found: Condensation, given: Given) -> records.TimberCard:
    allowed = given.quantity("timber_humidity", Ratio)
    return records.TimberCard(
        words=spot.words,
        where=found.section.face(spot.face),
        humidity=known(spot.humidity),
        moisture=known(spot.moisture),
        allowed=known(allowed),
        is_within=at_most(spot.moisture, allowed),
    )


def _surface(found: Surface) -> records.SurfaceCard:
    return records.SurfaceCard(
        temperature=known(found.temperature),
        humidity=known(found.humidity),
        allowed=known(found.allowed),
        is_within=at_most(found.humidity, found.allowed),
        factor=float(f"{found.factor:.3f}"),
        least_factor=None if found.least_factor is None else float(f"{found.least_factor:.3f}"),
    )
