"""A reading of the set-up that is taken away clears nothing: of the clamp, perches, square, ends and support bearing.

Whole set-ups near their lines, each again with one reading after the other left out, thousands of rows of the judge.
"""

from typing import Any

import numpy as np
import pytest

from geometry import Build, edited
from geometry.document.entries import variants
from geometry.judge.clamp import NEEDS as CLAMP
from geometry.judge.codes import CLEAR, NOT_ASKED, finding_id
from geometry.judge.judging import judge
from geometry.judge.perches import NEEDS as PERCHES
from geometry.judge.square import NEEDS as SQUARE
from tests.geometry.strategies import entries_of, sample

OWN = {*CLAMP, *PERCHES, *SQUARE, "end_fits", "cap_size", "bearing_square", "bearing_centred", "perches_equal"}
FLANGE = {"type": "flange", "pilot_mm": 60.3, "bolt_circle_mm": 79.4, "bolts": 4.0, "bolt_mm": 9.5}
SPLINE = {"type": "spline", "spline_teeth": 27.0, "spline_diameter_mm": 33.0, "seal_mm": 38.0}
CAPS = {"cap_mm": 30.2, "span_mm": 92.1, "clip": "outside"}
SET_UP: dict[str, Any] = {
    "obstacles": (), "flexible_lines": (), "shocks": (), "torque_bars": (), "plan": None,
    "gauge": {"angle_uncertainty_deg": 0.1, "tape_uncertainty_mm": 1.0},
    "axle.tube_diameter_mm": 82.0, "axle.perch_spacing_mm": 1010.0, "axle.flange_to_perch_left_mm": 208.5,
    "axle.flange_to_perch_right_mm": 208.5,
    "perches": {"seat_left_deg": 0.5, "seat_right_deg": 0.5, "springs_apart_mm": 1010.0, "flange_to_flange_mm": 1427.0,
                "casting_gap_mm": 14.0},
    "clamp": {"pack_height_mm": 50.0, "perch_height_mm": 20.0, "block_mm": 25.0, "wedge_mm": 5.0, "plate_mm": 10.0,
              "rod_mm": 14.0, "leg_mm": 216.0},
    "square": {
        "wheelbase_left_mm": 3238.0, "wheelbase_right_mm": 3238.0, "holes_apart_mm": 850.0, "ends_apart_mm": 1400.0,
        "diagonal_left_mm": 1800.0, "diagonal_right_mm": 1800.0, "holes_above_mm": 300.0, "offset_left_mm": 300.0,
        "offset_right_mm": 300.0, "toe_over_mm": 600.0, "toe_front_before_mm": 1500.0, "toe_rear_before_mm": 1500.0,
        "toe_front_after_mm": 1500.0, "toe_rear_after_mm": 1500.0, "camber_left_before_deg": 0.0,
        "camber_right_before_deg": 0.0, "camber_left_after_deg": 0.0, "camber_right_after_deg": 0.0,
    },
}  # fmt: skip
SPREAD = {
    "cap_mm": 0.3, "span_mm": 0.5, "pilot_mm": 0.2, "bolt_circle_mm": 0.6, "bolt_mm": 0.6, "spline_diameter_mm": 0.4,
    "seal_mm": 0.2, "holes_above_mm": 250.0, "block_mm": 4.0, "wedge_mm": 2.0, "offset_left_mm": 8.0,
    "offset_right_mm": 8.0, "bearing_slope_deg": 2.0, "bearing_plan_deg": 2.0, "bearing_off_centre_mm": 2.0,
}  # fmt: skip
"""How far the readings of a kind lie about the true ones, where that is not 1.5 mm or 0.2°."""
ROWS = 40


def van() -> Build:
    caps = {"shaft.rear_end": {"type": "caps", **CAPS}, "axle.pinion_end": {"type": "clips", **CAPS, "series": "1350"}}
    flanges = {"shaft.front_end": FLANGE | {"pilot": "male"}, "powertrain.output_end": FLANGE | {"pilot": "female"}}
    series = {f"shaft.{joint}_joint.series": "1350" for joint in ("front", "centre", "rear")}
    bearing = {"shaft.centre_end": CAPS, "shaft.bearing_slope_deg": 3.2, "shaft.bearing_plan_deg": 0.0,
               "shaft.bearing_off_centre_mm": 3.0}  # fmt: skip
    return edited(
        sample("long_van_two_piece"), SET_UP | caps | flanges | series | bearing | {"axle.pinion_drop_mm": 0.0}
    )


def ranch() -> Build:
    splines = {"shaft.front_end": SPLINE, "powertrain.output_end": SPLINE, "shaft.slip.sits": "gearbox"}
    slip = {"shaft.slip.spline_teeth": 27.0, "shaft.slip.spline_diameter_mm": 33.0}
    return edited(sample("ranch_truck_swap"), SET_UP | splines | slip)


def rig() -> Build:
    return edited(sample("front_axle_lift"), SET_UP)


@pytest.mark.parametrize("build", [van(), ranch(), rig()], ids=["van", "ranch", "rig"])
def test_a_reading_of_the_set_up_taken_away_clears_nothing(build: Build) -> None:
    rng = np.random.default_rng(17)
    sections = ("perches.", "clamp.", "square.", "gauge.", "axle.", "powertrain.output_end.")
    paths, near = [], {}
    for path, value in entries_of(build):
        name = path.rpartition(".")[2]
        if isinstance(value, tuple) or not (path.startswith(sections) or "_end." in path or "bearing_" in name
                                            or path.startswith("shaft.slip.spline")):  # fmt: skip
            continue
        paths.append(path)
        off = rng.normal(size=ROWS) * SPREAD.get(name, 0.2 if name.endswith("deg") else 1.5)
        if name in {"bolts", "spline_teeth"}:
            off = rng.choice([0.0, 0.0, 0.0, 1.0], ROWS)
        elif path.startswith("gauge.") or name in {"ratio", "efficiency"}:
            off = np.zeros(ROWS)
        near[path] = np.maximum(value + off, 0.0) if value >= 0.0 and name.endswith("mm") else value + off
    columns = {path: np.tile(near[path], len(paths) + 1) for path in paths}
    for place, path in enumerate(paths, 1):
        columns[path][place * ROWS : (place + 1) * ROWS] = np.nan
    found = {key: one for key, one in judge(variants(build, columns)).items() if finding_id(key) in OWN}
    assert len(found) >= 16
    for key, one in found.items():
        verdicts = one.verdict.reshape(len(paths) + 1, ROWS)
        before = verdicts[0]
        assert {bool(code == CLEAR) for code in before} == {True, False}, f"{key} is near no line"
        cleared = (verdicts[1:] == CLEAR) & (before != CLEAR) & (before != NOT_ASKED)
        assert not cleared.any(), f"{key} by {[paths[place] for place in np.flatnonzero(cleared.any(axis=1))]}"


@pytest.mark.parametrize("word", ["type", "clip", "pilot"])
@pytest.mark.parametrize("half", ["shaft.front_end", "powertrain.output_end", "shaft.rear_end", "axle.pinion_end"])
def test_a_word_of_an_end_left_out_clears_nothing(half: str, word: str) -> None:
    """Both pilots alike, clips on the wrong side, and halves that do not meet."""
    wrong = edited(van(), {"powertrain.output_end.pilot": "male", "axle.pinion_end.clip": "inside"})
    for build in (wrong, edited(wrong, {"shaft.rear_end.type": "flange", "shaft.front_end.type": "caps"})):
        left = edited(build, {f"{half}.{word}": None})
        before, after = (
            {key: one.verdict[0] for key, one in judge(variants(of)).items() if key[0] in {"end_fits", "cap_size"}}
            for of in (build, left)
        )
        assert all(code != CLEAR or before[key] == CLEAR for key, code in after.items())
