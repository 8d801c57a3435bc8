"""What the schedules of every subject say to programs in one way: their head, figures, steps and sources."""

import json
from dataclasses import asdict

from planlint.sum_records import About, Figure, Source, StepCard, Unknown, Working

Json = dict[str, object]


def written(name: str, about: About, version: str, body: Json) -> str:
    """A whole schedule, version 1 of its form: its head, then its own keys; the same schedule gives the same text."""
    head = {
        name: 1,
        "tool": {"name": "planlint", "version": version},
        "plan": about.plan,
        "title": about.title,
        "digest": about.digest,
        "limits": list(about.limits),
        "overridden": list(about.overridden),
    }
    return json.dumps(head | body, ensure_ascii=False, indent=2) + "\n"


def known(found: Figure | Unknown | str | None) -> Json | str | None:
    """A figure, a word, or what is not recorded; null where there is nothing to say."""
    if isinstance(found, Unknown):
        return unknown(found)
    return figure(found) if isinstance(found, Figure) else found


def figure(found: Figure) -> Json:
    """A quantity."""
    return asdict(found)


def unknown(found: Unknown) -> Json:
    """What is not recorded, with the keys to add."""
    return {"unknown": found.what, "missing": list(found.missing)}


def steps(found: tuple[StepCard, ...]) -> list[Json]:
    """The lines of a sum."""
    return [{"what": step.what, "how": step.how, "result": step.result} for step in found]


def working(found: Working) -> Json:
    """A sum to be followed by hand."""
    return {"formula": found.formula, "steps": steps(found.steps), "limits": list(found.limits)}


def source(found: Source) -> Json:
    """Where the figures of one limit come from."""
    return {
        "limit": found.name,
        "said": found.said or None,
        "set": found.set,
        "basis": found.basis,
        "source": found.source,
        "note": found.note or None,
    }
