"""What lies behind a spot as text and JSON, from records made up by hand."""

import json
from dataclasses import replace

import pytest
from jsonschema import Draft202012Validator, ValidationError

from planlint.behind_records import BehindReport, Figure, LayerCard, NearCard, Unknown
from planlint.reports import behind, behind_json
from planlint.reports.page import Page
from planlint.schema import load_schema


def figure(value: float, unit: str) -> Figure:
    return Figure(value, unit, f"{value:g} {unit}")


@pytest.fixture
def sawpit() -> BehindReport:
    """A spot with a cable that was worked out, and much that nobody wrote down."""
    cable = NearCard(
        kind="cable",
        what="the cable of saws from S1 to S2",
        place="circuits.saws.run-to-S2",
        other_face=True,
        distance=figure(80, "mm"),
        least=figure(0, "mm"),
        direction="to the left",
        is_certain=False,
        said="not drawn",
        depth=figure(25, "mm"),
        missing=("circuits.saws.run-to-S2.path",),
    )
    box = replace(cable, kind="box", what="the box of S1", other_face=False, distance=figure(0, "mm"), direction="")
    return BehindReport(
        plan="pit.plan.yaml",
        title="Saw pit",
        digest="sha256:" + "0" * 64,
        limits=("general",),
        overridden=(),
        place="pit.long-side",
        kind="wall",
        at=figure(1.2, "m"),
        height=figure(1, "m"),
        heights_from="finished",
        now=Unknown("how much is still to be laid on the floor", ("pit.floor.build_up",)),
        from_walls=(),
        within=figure(0.3, "m"),
        near=(cable, replace(box, is_certain=True, said="", depth=None, missing=())),
        beyond=1,
        layers=(
            LayerCard("film", None, figure(0, "mm")),
            LayerCard("wool", Unknown("how thick wool is", ("linings.warm.layers.1.thickness",)), figure(0, "mm")),
            LayerCard("the wall", figure(300, "mm"), None),
        ),
        photos=None,
        unrecorded=(Unknown("where the ends of joists rest in it", ()),),
        assumed=("the bare floors on both sides are level",),
        caution="Use a detector.",
    )


@pytest.fixture(scope="module")
def validator() -> Draft202012Validator:
    return Draft202012Validator(load_schema("behind-1"))


def said(report: BehindReport) -> str:
    return " ".join(behind.render(report, Page()).split())


def test_what_the_text_says(sawpit: BehindReport) -> None:
    text = said(sawpit)
    for words in (
        "1.2 m from its left end, 1 m above the finished floor; how high above the floor as it is now, is not recorded",
        "(add pit.floor.build_up).",
        "Taken for granted: the bare floors on both sides are level.",
        "80 mm to the left, perhaps right behind the spot: on the other face, the cable of saws from S1 to S2;",
        "not drawn; 25 mm below the bare wall (add circuits.saws.run-to-S2.path).",
        "Right behind the spot: the box of S1.",
        "1 thing is recorded further away.",
        "Film: too thin to measure. Wool: thickness not recorded (add linings.warm.layers.1.thickness). The wall: 300",
        "Where the ends of joists rest in it.",
    ):
        assert words in text
    assert text.endswith("Before you drill Use a detector.")
    assert "photograph" not in text


def test_what_the_text_says_of_a_raw_floor(sawpit: BehindReport) -> None:
    text = said(replace(sawpit, heights_from="raw", now=figure(1, "m"), photos=2))
    assert "1.2 m from its left end, 1 m above the floor as it is now." in text
    assert "2 photographs of it from before it was closed: look there first." in text


def test_colour_only_sets_off(sawpit: BehindReport) -> None:
    coloured = behind.render(sawpit, Page(colour=True))
    assert "\x1b[1mBefore you drill\x1b[0m" in coloured
    assert coloured.replace("\x1b[1m", "").replace("\x1b[0m", "") == behind.render(sawpit, Page())


def test_the_json_holds_to_its_schema(sawpit: BehindReport, validator: Draft202012Validator) -> None:
    report = json.loads(behind_json.render(sawpit, "1.2.3"))
    validator.validate(report)
    assert [one["certain"] for one in report["near"]] == [False, True]
    assert report["layers"][1]["thickness"]["missing"] == ["linings.warm.layers.1.thickness"]


@pytest.mark.parametrize(("key", "value"), [("behind", 2), ("near", [{}]), ("kind", "floor"), ("caution", "")])
def test_the_schema_refuses_what_is_wrong(
    sawpit: BehindReport, validator: Draft202012Validator, key: str, value: object
) -> None:
    report = json.loads(behind_json.render(sawpit, "1.2.3"))
    report[key] = value
    with pytest.raises(ValidationError):
        validator.validate(report)
