"""Schematic outlines hang on the output joint along the output line."""

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from geometry.mechanics.outline import (
    ENGINE_HEIGHT_MM,
    ENGINE_LENGTH_MM,
    GEARBOX_HEIGHT_MM,
    GEARBOX_LENGTH_MM,
    case_outline,
    engine_outline,
    gearbox_outline,
)
from geometry.mechanics.vectors import Vector, line_of, number

JOINT = Vector(number(1000.0), number(0.0), number(500.0))
LEVEL = line_of(number(0.0))


def gearbox(joint=JOINT, line=LEVEL, long=800.0, tall=300.0):
    return gearbox_outline(joint, line, long, tall)


def engine(joint=JOINT, line=LEVEL, box=800.0, long=500.0, tall=700.0):
    return engine_outline(joint, line, box, long, tall)


def extents(corners):
    return (*np.ptp(corners, axis=0), *corners.min(axis=0), *corners.max(axis=0))


@pytest.mark.parametrize(("long", "tall"), [(800.0, 300.0), (GEARBOX_LENGTH_MM, GEARBOX_HEIGHT_MM)])
def test_gearbox_reaches_its_length_ahead_of_the_joint(long, tall):
    _, high, left, low, _, top = extents(gearbox(long=long, tall=tall))
    assert left == pytest.approx(1000.0 - long)
    assert high == pytest.approx(tall)
    assert low < 500.0 < top


@pytest.mark.parametrize(
    ("long", "tall", "box"), [(500.0, 700.0, 800.0), (ENGINE_LENGTH_MM, ENGINE_HEIGHT_MM, GEARBOX_LENGTH_MM)]
)
def test_engine_stands_ahead_of_the_gearbox(long, tall, box):
    wide, high, left, _, right, _ = extents(engine(box=box, long=long, tall=tall))
    assert (right, left) == (pytest.approx(1000.0 - box), pytest.approx(1000.0 - box - long))
    assert wide == pytest.approx(long)
    assert high == pytest.approx(tall)


def test_transfer_case_stands_behind_a_front_output():
    assert case_outline(JOINT, LEVEL)[:, 0].min() > 1000.0


@pytest.mark.parametrize("outline", [gearbox, engine, case_outline])
@pytest.mark.parametrize("plan", [0.0, 5.0])
def test_outlines_turn_with_the_output_line_about_its_joint(outline, plan):
    flat = outline(JOINT, LEVEL)
    line = line_of(number(6.0), number(plan))
    turned = outline(JOINT, line)
    joint = np.array([1000.0, 0.0, 500.0])
    arms = np.insert(flat, 1, 0.0, axis=1) - joint
    slope = np.degrees(np.arctan2(-line.z, line.x))  # as seen from the side
    expected = Rotation.from_euler("y", slope, degrees=True).apply(arms) + joint
    np.testing.assert_allclose(turned, expected[:, [0, 2]], atol=1e-9)


@pytest.mark.parametrize("outline", [gearbox, engine, case_outline])
def test_rows_are_the_single_outlines_one_by_one(outline):
    joint = Vector(np.array([[900.0, 1000.0, 1100.0]]), number(0.0), np.array([[500.0], [520.0]]))
    slopes = np.array([0.0, 3.0, -5.0])
    rows = outline(joint, line_of(slopes))
    assert rows.shape == (2, 3, 8, 2)
    for state, height in enumerate((500.0, 520.0)):
        for row, (x, slope) in enumerate(zip((900.0, 1000.0, 1100.0), slopes, strict=True)):
            one = outline(Vector(number(x), number(0.0), number(height)), line_of(number(slope)))
            np.testing.assert_allclose(rows[state, row], one, atol=1e-9)


@pytest.mark.parametrize(("long", "bell"), [(500.0, 140.0), (700.0, 196.0), (715.0, 200.0), (1000.0, 200.0)])
def test_a_gearbox_has_a_bell_of_a_good_quarter_and_no_longer_than_usual(long, bell):
    """As it is drawn: 0.28 of its length, at most 200 mm, then slimmer to 0.42 and to the yoke, 55 mm off the joint."""
    ahead = (1000.0 - gearbox(long=long)[:, 0]).tolist()
    assert ahead == pytest.approx([55.0, 0.42 * long, long - bell, long, long, long - bell, 0.42 * long, 55.0])


def test_gearbox_and_engine_have_their_proportions():
    up = (gearbox(tall=300.0)[:, 1] - 500.0) / 300.0
    assert up.tolist() == pytest.approx([0.30, 0.40, 0.46, 0.55, -0.45, -0.45, -0.42, -0.34])
    ahead, up = (200.0 - engine()[:, 0]) / 500.0, (engine()[:, 1] - 500.0) / 700.0
    assert ahead.tolist() == pytest.approx([0.0, 0.12, 0.88, 1.0, 1.0, 0.62, 0.10, 0.0])
    assert up.tolist() == pytest.approx([0.55, 0.66, 0.66, 0.42, -0.18, -0.34, -0.34, -0.20])


def test_a_transfer_case_is_as_it_is_drawn():
    """Of usual size, 250 mm high: rises from the yoke to 0.60 of it, and hangs down to 0.52."""
    corners = case_outline(JOINT, LEVEL) - np.array([1000.0, 500.0])
    assert corners[:, 0].tolist() == pytest.approx([55.0, 130.0, 330.0, 390.0, 390.0, 330.0, 130.0, 55.0])
    assert (corners[:, 1] / 250.0).tolist() == pytest.approx([0.34, 0.6, 0.6, 0.35, -0.3, -0.52, -0.52, -0.34])


def test_sizes_may_be_rows_too():
    long = np.array([700.0, 800.0])
    rows = gearbox(long=long, tall=np.array([250.0, 300.0]))
    np.testing.assert_array_equal(rows[1], gearbox())
    np.testing.assert_array_equal(engine(box=long)[1], engine())


@pytest.mark.parametrize("entry", ["joint", "line", "size"])
def test_what_is_not_known_hangs_nothing(entry):
    unknown = Vector(*[np.array([np.nan, 1.0])] * 3)
    given = {"joint": {"joint": unknown}, "line": {"line": unknown}, "size": {"long": np.array([np.nan, 1.0])}}[entry]
    for outline in (gearbox, engine):
        corners = outline(**given)
        assert np.isnan(corners[0]).any()
        assert np.isfinite(corners[1]).all()


def test_a_line_straight_across_the_car_has_no_side_view():
    assert np.isnan(case_outline(JOINT, Vector(number(0.0), number(1.0), number(0.0)))).all()
