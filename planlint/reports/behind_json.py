"""What lies behind a spot, for programs: version 1, whose form `schemas/behind-1.json` describes."""

import json
from dataclasses import asdict

from planlint.behind_records import BehindReport, Figure, LayerCard, NearCard, Unknown

Json = dict[str, object]


def render(report: BehindReport, version: str) -> str:
    """The whole answer as JSON; the same answer gives the same text."""
    # Named one by one, in the order that people read them: what the records gain later is not promised to programs.
    found = {
        "behind": 1,
        "tool": {"name": "planlint", "version": version},
        "plan": report.plan,
        "title": report.title,
        "digest": report.digest,
        "limits": list(report.limits),
        "overridden": list(report.overridden),
        "place": report.place,
        "kind": report.kind,
        "at": _known(report.at),
        "height": _known(report.height),
        "heights_from": report.heights_from,
        "height_now": _known(report.now),
        "from_walls": [{"wall": wall, "distance": _known(distance)} for wall, distance in report.from_walls],
        "within": _known(report.within),
        "near": [_near(one) for one in report.near],
        "beyond": report.beyond,
        "layers": [_layer(one) for one in report.layers],
        "photos": report.photos,
        "unrecorded": [_known(one) for one in report.unrecorded],
        "assumed": list(report.assumed),
        "caution": report.caution,
    }
    return json.dumps(found, ensure_ascii=False, indent=2) + "\n"


def _near(one: NearCard) -> Json:
    return {
        "kind": one.kind,
        "what": one.what,
        "place": one.place,
        "other_face": one.other_face,
        "distance": _known(one.distance),
        "least": _known(one.least),
        "direction": one.direction or None,
        "certain": one.is_certain,
        "said": one.said,
        "depth": _known(one.depth),
        "missing": list(one.missing),
    }


def _layer(one: LayerCard) -> Json:
    return {"layer": one.words, "thickness": _known(one.thickness), "begins": _known(one.begins)}


def _known(found: Figure | Unknown | None) -> Json | None:
    if isinstance(found, Unknown):
        return {"unknown": found.what, "missing": list(found.missing)}
    return None if found is None else asdict(found)
