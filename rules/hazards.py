"""Hazards in what is there and in what is done: asbestos, lead paint, dust, foam and ladders."""

from dataclasses import dataclass

from planlint.api import (
    NOT_APPLICABLE,
    PASS,
    Duration,
    Fail,
    Given,
    HoldPoint,
    Length,
    Level,
    Open,
    Outcome,
    Remedy,
    Review,
    Room,
    Survey,
    Task,
    TaskKind,
    at_most,
    is_done,
    listed,
    rule,
    walls_of,
)

ASBESTOS_CAUTION = (
    "The year suggests that asbestos is possible. Have the work area surveyed before anything there is cut, drilled, "
    "sanded or taken out, and take no samples yourself; insulation, boards and sprayed coats may be for licensed "
    "people alone. The local law decides."
)
LEAD_CAUTION = (
    "Old paint counts as leaded until it is tested. Its dust harms children most: no dry sanding and no torch; in some "
    "countries only firms with a licence may disturb it. The local law decides."
)
DUST_CAUTION = (
    "Keep dust down with water or extraction, wear a fitting mask, and keep others out. Foam: air the room, gloves and "
    "glasses, and follow the label; who uses it for a living in the EU needs training. Steps are for short, light work "
    "with three contacts; for more, use a platform. The local law decides."
)


@rule(
    "asbestos-survey",
    judges=Room,
    level=Level.ERROR,
    guards=HoldPoint.CLOSING_IN,
    needs=(
        "building.built",
        "building.country",
        "building.surveys.asbestos",
        "building.surveys.asbestos.covers",
        "building.surveys.asbestos.date",
    ),
    reads=("asbestos_ban_years", "asbestos_disturbing", "survey_age"),
    guards_life=True,
    caution=ASBESTOS_CAUTION,
)
def asbestos_survey(room: Room, given: Given) -> Outcome:
    """A room of a building from before the ban of asbestos is surveyed for it before work disturbs what is there.

    Why: fibres that are set free once are breathed for years, and nobody sees them.
    Source: Directive 1999/77/EC and national bans (the years); CAR 2012, regulation 5, as quoted (the survey).
    """
    disturbs = _disturbing(room, given.words("asbestos_disturbing"), given) or _planned(room)
    if not disturbs:
        return NOT_APPLICABLE
    built, country = room.building.built, room.building.country
    years = {str(row["country"]): int(row["year"]) for row in given.table("asbestos_ban_years") or ()}
    unknown = [key for key, value in {"built": built, "country": country}.items() if value is None]
    is_old = None
    if built is not None and (country is not None or built <= min(years.values(), default=built)):
        # For a country without a row no year is known after which a building is free of it.
        is_old, unknown = country not in years or built <= years[country], []
    return _surveyed(room, room.building.asbestos, _Hazard("asbestos", disturbs, is_old, tuple(unknown)), given)


@rule(
    "lead-paint-survey",
    judges=Room,
    level=Level.ERROR,
    guards=HoldPoint.FILLING,
    needs=(
        "building.built",
        "building.country",
        "building.surveys.lead-paint",
        "building.surveys.lead-paint.covers",
        "building.surveys.lead-paint.date",
    ),
    reads=("lead_paint_year", "lead_paint_years", "lead_disturbing", "survey_age"),
    guards_life=True,
    caution=LEAD_CAUTION,
)
def lead_paint_survey(room: Room, given: Given) -> Outcome:
    """A room of an old building is surveyed for lead paint before anything is sanded or stripped in it.

    Why: sanding turns old paint into dust that poisons, children first.
    Source: 16 CFR 1303 and the EPA on US housing built before 1978; weak pages on other countries.
    """
    disturbs = _disturbing(room, given.words("lead_disturbing"), given)
    if not disturbs:
        return NOT_APPLICABLE
    built, country = room.building.built, room.building.country
    years = {str(row["country"]): int(row["year"]) for row in given.table("lead_paint_years") or ()}
    elsewhere = given.count("lead_paint_year") or 0
    unknown = [key for key, value in {"built": built, "country": country}.items() if value is None]
    possible = [elsewhere, *years.values()] if country is None else [years.get(country, elsewhere)]
    verdicts = {built < year for year in possible} if built is not None else set()
    is_old = verdicts.pop() if len(verdicts) == 1 else None
    keys = () if is_old is not None else tuple(unknown)
    return _surveyed(room, room.building.lead_paint, _Hazard("lead-paint", disturbs, is_old, keys), given)


@dataclass(frozen=True, slots=True)
class _Hazard:
    """A hazard in a room: what would disturb it, and whether the building is old enough for it (None: not known)."""

    name: str
    disturbed_by: str
    is_old: bool | None
    unknown: tuple[str, ...]
    """The keys of the building that would tell."""


def _disturbing(room: Room, kinds: tuple[str, ...], given: Given) -> str:
    """The first task to come in a room that disturbs what is there; empty where there is none."""
    tasks = dict.fromkeys([*room.floor.tasks, *(task for wall in room.walls for task in wall.tasks)])
    return next((task.name for task in tasks if task.kind in kinds and not is_done(task, given.today)), "")


def _planned(room: Room) -> str:
    """What else is planned in a room without a task for it: a lining on what is there, or a slot in it."""
    for wall in room.walls:
        if wall.lining and not any(task.kind is TaskKind.CLOSING_IN for task in wall.tasks):
            return f"the lining of {wall.place}"
        if (wall.chases or wall.notches) and not wall.tasks:
            return f"cutting into {wall.place}"
    overhead = [*([room.ceiling] if room.ceiling else []), *room.slopes]
    lined = [surface for surface in overhead if surface.lining]
    if lined and not any(task.kind is TaskKind.CLOSING_IN for task in room.floor.tasks):
        return f"the lining of {lined[0].place}"
    return ""


def _surveyed(room: Room, survey: Survey | None, hazard: _Hazard, given: Given) -> Outcome:
    """Whether a survey for a hazard covers a room, is not of days to come and not too old."""
    if hazard.is_old is False:
        return PASS
    name, key = hazard.name.replace("-", " "), f"building.surveys.{hazard.name}"
    what = f"whether {room.name} was surveyed for {name}, which {hazard.disturbed_by} would disturb"
    if survey is None:
        return Open(what, *[f"building.{one}" for one in hazard.unknown], key)
    gaps = {f"{key}.covers": survey.covers, f"{key}.date": survey.date}
    missing = [path for path, value in gaps.items() if value is None]
    if survey.covers is not None and room.name not in survey.covers:
        covered = listed(survey.covers, "and") if survey.covers else "no room"
        says = f"the survey for {name} covers {covered}, not {room.name}, where {hazard.disturbed_by} would disturb it"
        return Fail(says, measured=covered, allowed=room.name, remedy=Remedy(f"have {room.name} surveyed before that"))
    if survey.date is None or missing:
        return Open(what, *missing)
    if survey.date > given.today:
        remedy = Remedy(f"leave {room.name} as it is until the survey is made, and record its day then")
        says = f"the survey for {name} is dated {{measured}}, and today is {{allowed}}"
        return Fail(says, measured=f"{survey.date}", allowed=f"{given.today}", remedy=remedy)
    most = given.quantity("survey_age", Duration)
    age = most.like((given.today - survey.date).total_seconds())
    if not at_most(age, most):
        says = f"the survey for {name}, of {survey.date}, is {{measured}} old; at most {{allowed}} is allowed"
        remedy = Remedy("have whoever made it look again, or have a new one made, before anything more is disturbed")
        return Fail(says, measured=age, allowed=most, remedy=remedy)
    return PASS


@rule(
    "dust-and-foam-precautions",
    judges=Task,
    level=Level.NOTE,
    guards=None,
    reads=("dust_tasks", "foam_tasks", "foam_words", "overhead_tasks", "reach_without_steps"),
    caution=DUST_CAUTION,
)
def dust_and_foam_precautions(task: Task, given: Given) -> Outcome:
    """Who cuts, sands, sprays foam or works overhead has thought of dust, fumes and falls before the task begins.

    Why: silica, isocyanates and ladders hurt more people on small sites than anything that is built there.
    Source: directive 2017/2398 (silica), Regulation (EU) 2020/1149 (isocyanates); common practice (the rest).
    """
    if is_done(task, given.today):
        return NOT_APPLICABLE
    parts = {
        "dust that may hold silica": task.kind in given.words("dust_tasks"),
        "foam with isocyanates": task.kind in given.words("foam_tasks") and _foams(task, given.words("foam_words")),
        "work from steps or a platform": task.kind in given.words("overhead_tasks") and _is_high(task, given),
    }
    brings = [what for what, comes in parts.items() if comes]
    if not brings:
        return NOT_APPLICABLE
    remedy = Remedy("see to it before the task begins, and record under `reviews` who did")
    return Review(f"{task.name} brings {listed(brings, 'and')}", remedy=remedy)


def _foams(task: Task, words: tuple[str, ...]) -> bool:
    """Whether foam is used in a task: by its product, for glued boards, or round the frames."""
    said = [task.product or ""]
    for wall in walls_of(task):
        if task.kind is TaskKind.CLOSING_IN and wall.lining:
            said.append(wall.lining.adhesive or "")
        if task.kind is TaskKind.WINDOWS:
            said += [held for opening in wall.openings for held in opening.held_by or ()]
    return any(word in one.casefold() for word in words for one in said)


def _is_high(task: Task, given: Given) -> bool:
    """Whether it is known that one cannot reach all of it from the floor."""
    reach = given.quantity("reach_without_steps", Length)
    heights = [height for wall in walls_of(task) for height in (wall.height_left, wall.height_right)]
    return any(height is not None and not at_most(height, reach) for height in heights)
