"""`planlint words`: the keys of a plan for people who do not read a schema."""

from collections.abc import Iterator
from difflib import get_close_matches
from itertools import groupby

import click

from planlint.cli.output import page, say
from planlint.cli.vocabulary import WHOLE, Key, Thing, find, names, things
from planlint.errors import UsageError
from planlint.materials import Material, load
from planlint.reports.missing import Format
from planlint.reports.page import Page, Tone


@click.command("words", short_help="Explain the keys of a plan and the words that each takes.")
@click.argument("key", required=False, metavar="[KEY]")
def command(key: str | None) -> None:
    """List the keys of a plan by the thing that they belong to, or explain one KEY.

    A KEY may also be a thing, such as wall, or a key of one, such as corner.joint. `planlint words material`
    lists the materials that are known by name, and a material in the place of KEY shows its figures.

    \b
    Examples:
      planlint words
      planlint words corner.joint
      planlint words mineral-wool
    """  # noqa: D301 - \b is click's mark for lines that are not to be wrapped
    if key is None:
        say("\n\n".join(_in_short(thing, page()) for thing in things().values()) + "\n")
        return
    thing, keys = find(key)
    material = load().find(key)
    if material and (thing or keys) and material.name != key:
        material = None  # a key of the plan goes before a by-name of a material
    if not thing and not keys and not material:
        raise UsageError(f"neither a key of a plan nor a known material is called {key}; {_hint(key)}")
    parts = [_in_short(thing, page())] if thing else []
    parts += ["\n".join(_in_full(found, page())) for found in keys]
    if any(found.name == "material" for found in keys):
        parts += _known_materials(page())
    if material:
        parts.append("\n".join(_figures_in_full(material, page())))
    say("\n\n".join(parts) + "\n")


def _hint(key: str) -> str:
    above, dot, name = key.rpartition(".")
    owner, keys = find(above) if dot else (None, [])
    owners = {*([owner.name] if owner else []), *(below for key in keys for below in key.leads_to)}
    known = {inner for below in owners for inner in things()[below].keys}
    if near := get_close_matches(name, known, n=1):
        return f"did you mean {above}.{near[0]}?"
    near = get_close_matches(name, [*names(), *(material.name for material in load())], n=1) or load().nearest(key)
    return f"did you mean {near[0]}?" if near else "`planlint words` and `planlint words material` list them"


def _in_short(thing: Thing, page: Page) -> str:
    lines = [page.tone(page.paragraph(f"{thing.name}: {thing.meaning}", 2, ""), Tone.HEADING, f"{thing.name}:")]
    for key in thing.keys.values():
        meaning = _first_sentence(key.meaning)
        lines.append(page.paragraph(f"{key.name}: {meaning}" if meaning else key.name, 6, "  "))
    return "\n".join(lines)


def _first_sentence(text: str) -> str:
    first, stop, _ = text.partition(". ")
    return first + "." if stop else text


def _in_full(key: Key, page: Page) -> Iterator[str]:
    owner = "at the top of a plan" if key.thing == WHOLE else f"of {things()[key.thing].title}"
    yield page.tone(page.paragraph(f"{key.name}, {owner}"), Tone.HEADING, key.name)
    yield page.paragraph(key.meaning, 2)
    yield page.paragraph(f"Takes: {key.takes}.", 2)
    if key.required:
        yield page.paragraph(f"It must be there in {things()[key.thing].title}.", 2)
    elif "bsent: " not in key.meaning:
        yield page.paragraph("Left out: not recorded, so that a rule which needs it stays open.", 2)
    for example in key.examples:
        yield page.paragraph(f"Example: {key.name}: {example}", 2)
    if key.leads_to:
        yield page.paragraph(f"Its keys: {', '.join(f'`planlint words {name}`' for name in key.leads_to)}.", 2)


def _known_materials(page: Page) -> Iterator[str]:
    """The list of materials, family by family."""
    texts = (_SIGNS, _OTHER_WORDS, _OWN_FIGURES)
    yield "\n".join([page.tone("Materials known by name", Tone.HEADING), *(page.paragraph(text, 2) for text in texts)])
    for family, materials in groupby(load(), key=lambda material: material.family):
        lines = [page.paragraph(f"{one.name}: {_figures(one)}", 6, "  ") for one in materials]
        yield "\n".join([page.tone(family, Tone.HEADING), *lines])


_SIGNS = (
    "λ is the thermal conductivity; μ the vapour resistance factor, from wet to dry; sd the thickness of air that lets "
    "as little vapour through. `planlint words solid-brick` shows where the figures of one come from."
)
_OTHER_WORDS = "Other words are welcome: what is not known here is asked of the plan where a sum needs it."
_OWN_FIGURES = (
    "A layer or a base says figures of its own with conductivity, vapour_resistance and density, a layer also with sd: "
    "{material: mineral-wool, thickness: 60 mm, conductivity: 0.035 W/(m·K), vapour_resistance: 1}."
)


def _figures(material: Material) -> str:
    figures = []
    if material.conductivity is not None:
        figures.append(f"λ {material.conductivity}")
    if material.air_layer:
        figures.append("R by thickness")
    if material.mu_wet is not None and material.mu_dry is not None:
        figures.append(_factors(material.mu_wet, material.mu_dry))
    if material.sd is not None:
        figures.append(f"sd {material.sd}")
    if material.density is not None:
        figures.append(str(material.density))
    return ", ".join(figures) or "its figures are asked of the plan"


def _factors(wet: float, dry: float) -> str:
    return f"μ {wet:g}" if wet == dry else f"μ {wet:g} to {dry:g}"


def _figures_in_full(material: Material, page: Page) -> Iterator[str]:
    yield page.tone(page.paragraph(f"{material.name}, a material ({material.family})"), Tone.HEADING, material.name)
    yield page.paragraph(f"Figures: {_figures(material)}.", 2)
    for grade in material.by_density:
        factors = f", {_factors(grade.mu_wet, grade.mu_dry)}" if grade.mu_wet and grade.mu_dry else ""
        yield page.paragraph(f"At {grade.density}: λ {grade.conductivity}{factors}.", 2)
    for layer in material.air_layer:
        yield page.paragraph(f"At {layer.thickness}: R {layer.resistance}.", 2)
    yield page.paragraph(f"How this is known: {material.basis}; {material.source}.", 2)
    if material.note:
        yield page.paragraph(f"Note: {material.note}.", 2)
    if material.aliases:
        yield page.paragraph(f"Also known as: {', '.join(material.aliases)}.", 2)
    yield page.paragraph(_OWN_FIGURES, 2)


def plan_format() -> Format:
    """What the list of missing keys must know of the plan format."""
    return Format(frozenset(things()[WHOLE].keys), _example)


def _example(path: str) -> str:
    """A value for a key, where all keys of that name show the same one; a word could be the wrong one to copy."""
    # Between the first and the last step of a path there may be names of the user's own.
    keys = find(path)[1] or find(".".join(path.split(".")[:: path.count(".") or 1]))[1]
    examples = {key.examples[0] for key in keys if key.examples}
    return examples.pop() if len(examples) == 1 and not any(key.words for key in keys) else ""
