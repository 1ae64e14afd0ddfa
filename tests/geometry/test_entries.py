"""Entries as a flat mapping: every number of the document has its path, and a row is a build again."""

from typing import Any

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from geometry.document import Build, edited
from geometry.document.entries import numeric_paths, range_of, variants
from tests.geometry.strategies import WHOLE, builds, entries_of, parts_of, plausible, sample

SLOW = settings(max_examples=15, suppress_health_check=list(HealthCheck))


def schema_numbers(
    schema: dict[str, Any], node: dict[str, Any], path: str, found: dict[str, tuple[float, float]]
) -> None:
    """Dotted paths of all numbers of a JSON schema, with their ranges: pydantic's own account of the document."""
    if "$ref" in node:
        schema_numbers(schema, schema["$defs"][node["$ref"].rsplit("/", 1)[1]], path, found)
    for kind in ("anyOf", "oneOf"):
        for one in node.get(kind, ()):
            schema_numbers(schema, one, path, found)
    if node.get("type") == "number":
        found[path] = node["minimum"] if "minimum" in node else node["exclusiveMinimum"], node["maximum"]
    for name, one in node.get("properties", {}).items():
        schema_numbers(schema, one, f"{path}.{name}" if path else name, found)
    for number, one in enumerate(node.get("prefixItems", ())):
        schema_numbers(schema, one, f"{path}.{number}", found)
    if isinstance(node.get("items"), dict) and not path.endswith("outline_mm"):
        schema_numbers(schema, node["items"], f"{path}.*", found)


def test_every_number_of_the_document_has_a_path_and_its_range():
    schema = Build.model_json_schema()
    found: dict[str, tuple[float, float]] = {}
    schema_numbers(schema, schema, "", found)
    assert {path: range_of(path) for path in numeric_paths()} == found
    assert len(found) > 120


@given(build=builds())
@SLOW
def test_every_entry_stands_under_its_path(build):
    v = variants(build)
    whole = {part: one for path, value in entries_of(build) for part, one in parts_of(path, value).items()}
    for path in numeric_paths():
        if "*" not in path:
            value = whole.get(path)
            assert np.isnan(v[path]) if value is None else v[path] == value
            assert v.absent(path) == (value is None)
    for path, value in whole.items():
        assert v[path] == value
    assert v.rows == 1


@given(build=plausible(holes=3), seed=st.integers(0, 2**32 - 1))
@SLOW
def test_a_row_is_a_build_again(build, seed):
    """Whatever the columns hold stands in the build of that row, and nothing else is changed."""
    rng = np.random.default_rng(seed)
    entered = [(path, value) for path, value in entries_of(build) if not path.startswith(("obstacles.", "plan."))]
    chosen = [entered[place] for place in rng.choice(len(entered), 5, replace=False)]
    wanted = [dict(build_entries(build)) for _ in range(3)]
    columns: dict[str, list[float]] = {}
    for path, value in chosen:
        counted = path.endswith(("_teeth", ".bolts"))  # which is whole
        rows = [np.add(value, row) if counted else np.multiply(value, 1.0 + 1e-6 * row) for row in range(3)]
        if not path.endswith("gear_ratios"):
            rows[2] = np.full_like(rows[2], np.nan)
        for row in range(3):
            wanted[row][path] = tuple(rows[row].tolist()) if rows[row].ndim else float(rows[row])
        if np.isnan(rows[2]).any():
            del wanted[2][path]
        for number, part in enumerate(zip(*(np.atleast_1d(one) for one in rows), strict=True)):
            columns[path if not rows[0].ndim else f"{path}.{number}"] = list(part)
    v = variants(build, columns)
    for row in range(3):
        assert dict(build_entries(v.build_at(row))) == wanted[row]
    assert v.build is build


def build_entries(build: Build) -> dict[str, Any]:
    return dict(entries_of(build))


def test_a_part_of_a_point_leaves_the_others_alone():
    build = sample("ranch_truck_swap")
    v = variants(build, {"axle.centre_mm.2": [400.0, np.nan], "powertrain.gear_ratios.0": [4.9, 5.0]})
    assert v.build_at(0) == edited(
        build, {"axle.centre_mm": (3239.0, 15.0, 400.0), "powertrain.gear_ratios": (4.9, 2.6, 1.5, 1.0)}
    )
    assert v.build_at(1).axle.centre_mm is None


def test_a_column_makes_a_section_that_was_not_there():
    v = variants(Build(), {"axle.pinion_slope_deg": [3.0], "readings.shaft_slope_deg": [9.0]})
    assert v.build_at(0) == edited(Build(), {"axle.pinion_slope_deg": 3.0, "readings.shaft_slope_deg": 9.0})


@pytest.mark.parametrize(
    "path",
    ["axle.pinion", "axle", "title", "axle.end", "shaft.tube.material", "obstacles.0.outline_mm.0.0", "plan.perches",
     "axle.centre_mm", "axle.centre_mm.3", "powertrain.gear_ratios", "powertrain.gear_ratios.x", ""],
)  # fmt: skip
def test_a_path_that_is_none_is_a_key_error(path):
    with pytest.raises(KeyError):
        variants(WHOLE[0], {path: [1.0]})
    with pytest.raises(KeyError):
        variants(WHOLE[0])[path]


@pytest.mark.parametrize(
    "columns",
    [
        {"axle.ratio": [3.0, 4.0], "plan.axle_shim_deg": [1.0]},
        {"axle.ratio": []},
        {"axle.ratio": [[3.0, 4.0]]},
        {"axle.ratio": [3.0, 4.0], "plan.axle_shim_deg": 1.0},
    ],
)
def test_columns_of_unequal_length_are_a_value_error(columns):
    with pytest.raises(ValueError, match="one length"):
        variants(WHOLE[0], columns)


@pytest.mark.parametrize("size", [1, 2, 3, 7, 8, 100])
def test_blocks_are_the_whole_in_order(size):
    column = np.arange(7.0)
    v = variants(WHOLE[0], {"plan.rear_lift_mm": column})
    seen = np.full(7, -1.0)
    for part, some in v.blocks(size):
        assert some.rows == part.stop - part.start <= size
        assert (some["plan.rear_lift_mm"] == column[part]).all()
        assert some["axle.ratio"] == v["axle.ratio"]
        assert (seen[part] == -1.0).all()
        seen[part] = some["plan.rear_lift_mm"]
    assert (seen == column).all()


def test_given_stands_in_row_by_row():
    v = variants(Build(), {"plan.rear_lift_mm": [1.0, np.nan]})
    assert v.given("plan.rear_lift_mm", 5.0).tolist() == [1.0, 5.0]
    assert v.given("plan.front_lift_mm", 5.0) == 5.0
    assert [v.absent(f"plan.{end}_lift_mm") for end in ("rear", "front")] == [False, True]


def test_columns_put_in_place_of_others():
    v = variants(WHOLE[0], {"plan.rear_lift_mm": [1.0, 2.0], "axle.ratio": [3.0, 4.0]})
    other = v.with_columns({"axle.ratio": np.float64(5.0), "plan.axle_shim_deg": np.array([1.0, 2.0])})
    assert (other.rows, set(other.columns)) == (2, {"plan.rear_lift_mm", "plan.axle_shim_deg"})
    assert (other["axle.ratio"], v["axle.ratio"].tolist()) == (5.0, [3.0, 4.0])
    assert other.part(slice(1, 2))["plan.axle_shim_deg"].tolist() == [2.0]


def test_cases_stand_behind_one_another():
    v = variants(WHOLE[0], {"plan.rear_lift_mm": [1.0, 2.0]})
    both = v.stacked([{"axle.ratio": np.float64(3.0)}, {"plan.rear_lift_mm": np.array([7.0, np.nan])}])
    assert both.rows == 4
    assert both["axle.ratio"].tolist() == [3.0, 3.0, v["axle.ratio"], v["axle.ratio"]]
    np.testing.assert_array_equal(both["plan.rear_lift_mm"], [1.0, 2.0, 7.0, np.nan])
    only = v.stacked([{"axle.ratio": np.float64(3.0)}])
    assert (only.rows, only["axle.ratio"].ndim) == (2, 0)  # what is one for all stays one


def test_words_are_one_for_all():
    v = variants(sample("transfer_case_double_joint"))
    assert (v.word("suspension.kind"), v.word("suspension.rigid"), v.word("powertrain.gear_ratios")) == (
        "links",
        True,
        4,
    )
    assert v.word("axle.nothing", "otherwise") == "otherwise"


def test_a_point_of_which_a_row_lacks_a_part_is_not_entered_there():
    v = variants(WHOLE[0], {"axle.centre_mm.2": [380.0, np.nan], "powertrain.gear_ratios.1": [2.0, np.nan]})
    for part in range(3):
        assert np.isnan(v[f"axle.centre_mm.{part}"]).tolist() == [False, True]
    assert v["axle.centre_mm.0"][0] == WHOLE[0].axle.centre_mm[0]
    assert not np.isnan(v["powertrain.gear_ratios.0"]).any()  # a list of gears is no point
    assert v.build_at(1).axle.centre_mm is None
