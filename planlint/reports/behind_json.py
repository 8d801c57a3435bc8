"""What lies behind a spot, for programs: version 1, whose form `schemas/behind-1.json` describes."""

from planlint.behind_records import BehindReport, LayerCard, NearCard
from planlint.reports.sums_json import Json, known, written


def render(report: BehindReport, version: str) -> str:
    """The whole answer as JSON; the same answer gives the same text."""
    # Named one by one, in the order that people read them: what the records gain later is not promised to programs.
    body: Json = {
        "place": report.place,
        "kind": report.kind,
        "at": known(report.at),
        "height": known(report.height),
        "heights_from": report.heights_from,
        "height_now": known(report.now),
        "from_walls": [{"wall": wall, "distance": known(distance)} for wall, distance in report.from_walls],
        "within": known(report.within),
        "near": [_near(one) for one in report.near],
        "beyond": report.beyond,
        "layers": [_layer(one) for one in report.layers],
        "photos": report.photos,
        "unrecorded": [known(one) for one in report.unrecorded],
        "assumed": list(report.assumed),
        "caution": report.caution,
    }
    return written("behind", report, version, body)


def _near(one: NearCard) -> Json:
    return {
        "kind": one.kind,
        "what": one.what,
        "place": one.place,
        "other_face": one.other_face,
        "distance": known(one.distance),
        "least": known(one.least),
        "direction": one.direction or None,
        "certain": one.is_certain,
        "said": one.said,
        "depth": known(one.depth),
        "missing": list(one.missing),
    }


def _layer(one: LayerCard) -> Json:
    return {"layer": one.words, "thickness": known(one.thickness), "begins": known(one.begins)}
