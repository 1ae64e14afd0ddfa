"""Complaints name the entry, what it may be, and what to do.

What the entries may be is written out here from the public description of the document, not taken from the program.
"""

import re

import pytest
from pydantic import ValidationError

from app.complaints import Complaint, document_schema, first_complaint, nearest, one_line, title_of
from app.units import INCHES
from geometry import Build, edited


def complaint_about(text: str) -> Complaint:
    with pytest.raises(ValidationError) as caught:
        Build.model_validate_json(text)
    return first_complaint(caught.value)


@pytest.mark.parametrize(
    ("text", "path", "title", "what"),
    [
        ('{"axle": {"ratio": -3}}', "axle.ratio", "Axle ratio", "must be more than 0.5 and at most 30; this is -3. "),
        (
            '{"vehicle": {"frame_slope_deg": 21}}',
            "vehicle.frame_slope_deg",
            "Frame rail slope",
            "must be from -20 to 20°;",
        ),
        (
            '{"suspension": {"kind": "leaf", "bump_mm": -1}}',
            "suspension.bump_mm",
            "Travel to bump stop",
            "must be from 0 to 1000 mm; this is -1. ",
        ),
        (
            '{"powertrain": {"output_end": {"spline_teeth": 16.5}}}',
            "powertrain.output_end.spline_teeth",
            "Spline teeth",
            "must be a whole number from 4 to 100; this is 16.5. ",
        ),
        ('{"title": 3}', "title", "Title", "must be text in quotation marks; this is 3. "),
        ('{"title": null}', "title", "Title", "must be text in quotation marks; this is null. "),
        (f'{{"title": "{"x" * 201}"}}', "title", "Title", "must have at most 200 letters; this has 201. "),
        ('{"axle": {"end": "middle"}}', "axle.end", "Which axle", 'must be "rear" or "front"; this is "middle". '),
        ('{"axle": 3}', "axle", "Axle and pinion", "must be a section in { }; this is 3. "),
        ('{"suspension": []}', "suspension", "Springs or links", "must be a section in { }; this is []. "),
        (
            '{"suspension": {"kind": "leaf", "shackle_hangs": 1}}',
            "suspension.shackle_hangs",
            "Shackle hangs down from its bolt",
            "must be true or false; this is 1. ",
        ),
        ('{"shocks": {}}', "shocks", "Shocks", "must be a list in [ ]; this is {}. "),
        ('{"shocks": [4]}', "shocks.0", "Shocks 1", "must be a section in { }; this is 4. "),
        (f'{{"shocks": [{", ".join(["{}"] * 17)}]}}', "shocks", "Shocks", "must have at most 16 items; this has 17. "),
        (
            '{"obstacles": [{"outline_mm": [[0, 0], [1, 1]]}]}',
            "obstacles.0.outline_mm",
            "Obstacles 1: Outline",
            "must have at least 3 items; this has 2. ",
        ),
        ('{"obstacles": [{}]}', "obstacles.0.outline_mm", "Obstacles 1: Outline", "must be given. Add it."),
        (
            '{"obstacles": [{"outline": []}]}',
            "obstacles.0.outline",
            "",
            "is not an entry of this document; did you mean outline_mm? ",
        ),
        (
            '{"obstacles": [{"name": "", "outline_mm": [[0, 0], [1, 1], [2, 0]]}]}',
            "obstacles.0.name",
            "Obstacles 1: Name",
            "must not be empty. ",
        ),
        (
            '{"powertrain": {"output_joint_mm": [1, 2, 3, 4]}}',
            "powertrain.output_joint_mm",
            "Joint at the output",
            "must be a list of 3 numbers, such as [1630.0, 640.0, 35.0]; this has 4. ",
        ),
        (
            '{"powertrain": {"front_mount_mm": [1]}}',
            "powertrain.front_mount_mm",
            "Front mounts",
            "must be a list of 2 numbers, such as [1630.0, 640.0]. ",
        ),
        (
            '{"powertrain": {"gear_ratios": [3, 1.6, 2]}}',
            "powertrain.gear_ratios",
            "Gear ratios, first to top",
            "give them from first to top, each smaller than the one before.",
        ),
        (
            '{"powertrain": {"gear_ratios": [3, null]}}',
            "powertrain.gear_ratios.1",
            "Gear ratios, first to top, item 2",
            "must be a number; this is null. ",
        ),
        (
            '{"shaft": {"kind": "two_piece", "rear_joint": {"type": "rubber"}}}',
            "shaft.rear_joint.type",
            "Joint type",
            'must be "cardan" or "double_cardan" or "constant_velocity"; this is "rubber". ',
        ),
        (
            '{"plan": {"perches": "loose", "axle_shim_deg": 2}}',
            "plan.axle_shim_deg",
            "Wedge at the perches",
            "must be 0 where the perches are loose; turn the pinion with pinion_slope_deg instead.",
        ),
        (
            '{"plan": {"mounts": "loose", "mount_shim_mm": -6}}',
            "plan.mount_shim_mm",
            "Shim under the rear mount",
            "must be 0 where the mounts are loose; tilt the engine with powertrain_slope_deg instead.",
        ),
        (
            '{"plan": {"mounts": true}}',
            "plan.mounts",
            "Mounts are",
            'must be "fixed" or "loose"; this is true. ',
        ),
        (
            '{"plan": {"powertrain_shift_mm": [10, "up"]}}',
            "plan.powertrain_shift_mm.1",
            "Engine and gearbox shift, up",
            "must be a number without quotation marks",
        ),
        (
            '{"obstacles": [{"outline_mm": [[0, 0], [1, 1], [2, 0]], "carries": "fuels"}]}',
            "obstacles.0.carries",
            "Obstacles 1: Carries",
            'must be "fuel" or "brakes"; this is "fuels". ',
        ),
        (
            '{"shaft": {"kind": "one_piece", "front_joint": {"series": 1310}}}',
            "shaft.front_joint.series",
            "Joint series",
            'must be "1310" or "1330" or ',
        ),
        (
            '{"suspension": {"kind": "links", "rigid": 1}}',
            "suspension.rigid",
            "Link ends are rigid",
            "must be true or false; this is 1. ",
        ),
        (
            '{"powertrain": {"shock_factor": 0.5}}',
            "powertrain.shock_factor",
            "Launch shock factor",
            "must be from 1 to 5;",
        ),
        ('{"shaft": {"knid": "one_piece"}}', "shaft.kind", "Kind", 'must be given, as "one_piece" or "two_piece". '),
        ("[]", "", "", "a build document is an object in { }; this is []."),
    ],
)
def test_complaint(text: str, path: str, title: str, what: str) -> None:
    complaint = complaint_about(text)
    assert (complaint.path, complaint.title) == (path, title)
    assert complaint.what.startswith(what)
    assert complaint.sentence.endswith(".")
    assert "Input should" not in complaint.sentence


def test_sentence_names_path_and_title() -> None:
    assert complaint_about('{"axle": {"ratio": 0.1}}').sentence == (
        "axle.ratio (Axle ratio): must be more than 0.5 and at most 30; this is 0.1. Correct it or leave it out."
    )
    assert complaint_about("[]").sentence == "A build document is an object in { }; this is []."


def test_form_hears_the_range_in_its_own_units() -> None:
    with pytest.raises(ValidationError) as caught:
        edited(Build(), {"vehicle.wheelbase_mm": 25_400_000.0})
    # 15,000 mm is 590.55 in and 25,400,000 mm a million inches, as an inch is 25.4 mm exactly
    assert first_complaint(caught.value, INCHES).what.startswith(
        "must be more than 0.00 in and at most 590.55 in; this is 1,000,000.00 in."
    )


def test_long_values_and_unprintable_letters_stay_in_the_line() -> None:
    sentence = complaint_about('{"axle": {"ratio": "' + "3\\n" * 5_000 + '"}}').sentence
    assert len(sentence) < 200
    assert sentence.isprintable()
    assert one_line("a\x1b[2J\u2028b°") == r"a\x1b[2J\u2028b°"


def test_nearest_word_or_none() -> None:
    assert nearest("wheelbase", ["wheelbase_mm", "tyre_grip"]) == "wheelbase_mm"
    assert nearest("colour", ["wheelbase_mm", "tyre_grip"]) is None


def _bounded(node: dict[str, object], at: str, kind: str | None = None) -> list[tuple[str, dict[str, object]]]:
    """Every numeric entry of the document that has a range, as (kind|dotted path, its schema)."""
    found: list[tuple[str, dict[str, object]]] = []
    definitions = document_schema()["$defs"]
    for name, entry in node.get("properties", {}).items():  # type: ignore[attr-defined]
        options = entry.get("anyOf", [entry])
        path = f"{at}{name}"
        for option in options:
            for part in option.get("oneOf", [option]):
                if "$ref" in part:
                    inner = definitions[part["$ref"].rpartition("/")[2]]
                    tag = inner["properties"].get("kind", {}).get("const")
                    found += _bounded(inner, f"{path}.", tag or kind)
                elif part.get("type") == "number":
                    found.append((f"{kind or ''}|{path}", entry | part))
    return found


@pytest.mark.parametrize(("where", "entry"), _bounded(document_schema(), ""), ids=lambda value: str(value)[:60])
def test_every_number_complains_by_its_own_title_and_unit(where: str, entry: dict[str, object]) -> None:
    kind, _, path = where.partition("|")
    changes: dict[str, object] = {}
    if kind:
        changes[path.partition(".")[0] + ".kind"] = kind
    with pytest.raises(ValidationError) as caught:
        edited(Build(), {**changes, path: 1e30})
    complaint = first_complaint(caught.value)
    assert (complaint.path, complaint.title) == (path, entry["title"])
    highest = re.search(r"(?:at most|to) (\d+)(?:\.\d+)?(°| [^;]+)?;", complaint.what)
    assert highest is not None
    assert float(highest[1]) == entry["maximum"]
    unit = {"deg": "°", "": "", "count": ""}.get(str(entry.get("unit", "")), f" {entry.get('unit', '')}")
    assert (highest[2] or "") == unit
    assert title_of(path) == entry["title"]
    assert "leave it out" in complaint.what
