"""Schematic outlines hang on the output joint along the output line."""

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from geometry import edited
from geometry.outline import (
    ENGINE_HEIGHT_MM,
    ENGINE_LENGTH_MM,
    GEARBOX_HEIGHT_MM,
    GEARBOX_LENGTH_MM,
    case_outline_mm,
    engine_outline_mm,
    gearbox_outline_mm,
)
from geometry.pose import placed, setting

SIZES = {
    "powertrain.gearbox_length_mm": 800.0,
    "powertrain.gearbox_height_mm": 300.0,
    "powertrain.engine_length_mm": 500.0,
    "powertrain.engine_height_mm": 700.0,
}


def level(build):
    return edited(build, {"powertrain.slope_deg": 0.0, "powertrain.output_joint_mm": (1000.0, 0.0, 500.0)})


def extents(corners):
    return (*np.ptp(corners, axis=0), *corners.min(axis=0), *corners.max(axis=0))


@pytest.mark.parametrize("entered", [True, False])
def test_gearbox_reaches_its_length_ahead_of_the_joint(one_piece, entered):
    build = level(edited(one_piece, SIZES if entered else {}))
    long, tall = (800.0, 300.0) if entered else (GEARBOX_LENGTH_MM, GEARBOX_HEIGHT_MM)
    corners = gearbox_outline_mm(build.powertrain, placed(build, setting()), entered_only=entered)
    _, high, left, low, _, top = extents(corners)
    assert left == pytest.approx(1000.0 - long)
    assert high == pytest.approx(tall)
    assert low < 500.0 < top


@pytest.mark.parametrize("entered", [True, False])
def test_engine_stands_ahead_of_the_gearbox(one_piece, entered):
    build = level(edited(one_piece, SIZES if entered else {}))
    long, tall, box = (500.0, 700.0, 800.0) if entered else (ENGINE_LENGTH_MM, ENGINE_HEIGHT_MM, GEARBOX_LENGTH_MM)
    corners = engine_outline_mm(build.powertrain, placed(build, setting()), entered_only=entered)
    wide, high, left, _, right, _ = extents(corners)
    assert (right, left) == (pytest.approx(1000.0 - box), pytest.approx(1000.0 - box - long))
    assert wide == pytest.approx(long)
    assert high == pytest.approx(tall)


def test_transfer_case_stands_behind_a_front_output(one_piece):
    build = level(one_piece)
    corners = case_outline_mm(placed(build, setting()))
    assert corners[:, 0].min() > 1000.0


@pytest.mark.parametrize("outline", [gearbox_outline_mm, engine_outline_mm])
def test_outlines_turn_with_the_output_line_about_its_joint(one_piece, outline):
    build = level(one_piece)
    flat = outline(build.powertrain, placed(build, setting()))
    tipped = edited(build, {"powertrain.slope_deg": 6.0})
    turned = outline(tipped.powertrain, placed(tipped, setting()))
    joint = np.array([1000.0, 0.0, 500.0])
    arms = np.insert(flat, 1, 0.0, axis=1) - joint
    expected = Rotation.from_euler("y", 6.0, degrees=True).apply(arms) + joint
    np.testing.assert_allclose(turned, expected[:, [0, 2]], atol=1e-9)


@pytest.mark.parametrize("left_out", ["gearbox_length_mm", "gearbox_height_mm"])
def test_gearbox_counts_only_with_both_dimensions(one_piece, left_out):
    build = edited(one_piece, {**SIZES, f"powertrain.{left_out}": None})
    pose = placed(build, setting())
    assert gearbox_outline_mm(build.powertrain, pose, entered_only=True) is None
    assert gearbox_outline_mm(build.powertrain, pose) is not None


@pytest.mark.parametrize("left_out", ["engine_length_mm", "engine_height_mm", "gearbox_length_mm"])
def test_engine_counts_only_with_its_dimensions_and_its_place(one_piece, left_out):
    build = edited(one_piece, {**SIZES, f"powertrain.{left_out}": None})
    pose = placed(build, setting())
    assert engine_outline_mm(build.powertrain, pose, entered_only=True) is None
    assert engine_outline_mm(build.powertrain, pose) is not None


@pytest.mark.parametrize("entry", ["powertrain.slope_deg", "powertrain.output_joint_mm"])
def test_without_joint_or_line_there_is_nothing_to_hang_it_on(one_piece, entry):
    build = edited(one_piece, {entry: None})
    assert gearbox_outline_mm(build.powertrain, placed(build, setting())) is None


def test_a_shim_that_the_mounts_cannot_take_hangs_nothing(one_piece):
    pose = placed(one_piece, setting(mount_shim_mm=5000.0))
    assert engine_outline_mm(one_piece.powertrain, pose) is None
