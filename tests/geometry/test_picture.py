"""The points of the drawing, against places worked by hand."""

import numpy as np
import pytest

from geometry.document import Build, edited
from tests.geometry.strategies import sample
from tests.geometry.told_build import answer_of


def test_joints_lie_where_they_were_measured(one_piece: Build) -> None:
    """The pinion's joint: 350 mm along a line of 3.4°, 8 mm below it, 25 mm to the right of the axle's centre."""
    drawn = answer_of(one_piece).picture
    slope = np.radians(3.4)
    expected = (
        2600.0 - 350.0 * np.cos(slope) - 8.0 * np.sin(slope), 25.0, 390.0 + 350.0 * np.sin(slope) - 8.0 * np.cos(slope),
    )  # fmt: skip
    assert drawn.output_joint_mm == pytest.approx((1100.0, 30.0, 560.0))
    assert drawn.pinion_joint_mm == pytest.approx(expected)
    assert drawn.joint_centres_mm == (drawn.output_joint_mm, drawn.pinion_joint_mm)
    assert drawn.bearing_mm is None
    assert np.linalg.norm(drawn.output_direction) == pytest.approx(1.0)  # type: ignore[arg-type]


def test_the_bearing_stands_between(two_piece: Build) -> None:
    drawn = answer_of(two_piece).picture
    assert drawn.bearing_mm == (2200.0, 20.0, 500.0)
    assert len(drawn.section_directions) == 2


def test_hubs_perches_and_rail(one_piece: Build) -> None:
    """The rail is 600 mm up beside the output joint at 1100 mm and falls by tan 0.5° to the rear."""
    drawn = answer_of(one_piece).picture
    assert (drawn.front_hub_mm, drawn.rear_hub_mm) == ((0.0, 390.0), (2600.0, 390.0))
    assert drawn.perches_mm == ((2600.0, -500.0), (2600.0, 500.0))
    corners = dict(drawn.frame_rail_mm[:2])
    rear = max(corners)
    assert corners[rear] == pytest.approx(600.0 - np.tan(np.radians(0.5)) * (rear - 1100.0))


def test_engine_and_gearbox_hang_on_the_output_joint(one_piece: Build) -> None:
    drawn = answer_of(one_piece).picture
    box = np.array(drawn.powertrain_outline_mm)
    assert box[:, 0].max() == pytest.approx(1100.0, abs=80.0)
    assert np.array(drawn.engine_outline_mm)[:, 0].max() < box[:, 0].max()


def test_nothing_measured_nothing_drawn() -> None:
    drawn = answer_of(Build()).picture
    assert drawn.joint_centres_mm == ()
    assert (drawn.powertrain_outline_mm, drawn.housing_outline_mm, drawn.frame_rail_mm, drawn.perches_mm) == ((),) * 4
    assert (drawn.output_joint_mm, drawn.front_hub_mm, drawn.rear_hub_mm) == (None,) * 3


def test_without_a_wheelbase_the_rear_hub_stands_at_the_axle(one_piece: Build) -> None:
    build = edited(one_piece, {"vehicle.wheelbase_mm": None, "axle.centre_mm": (2595.0, 0.0, 390.0)})
    assert answer_of(build).picture.rear_hub_mm == (2595.0, 390.0)


@pytest.mark.parametrize("drop_mm", [None, 30.0, -20.0])
@pytest.mark.parametrize("adapter_mm", [None, 12.0])
def test_a_front_pinion_whose_offset_nobody_entered_is_drawn_in_line_and_true_from_the_side(
    drop_mm: float | None, adapter_mm: float | None
) -> None:
    """As with any offset, but for how far it lies aside; and a section runs from joint to joint."""
    build = edited(sample("front_axle_lift"), {
        "axle.pinion_drop_mm": drop_mm, "axle.pinion_plan_deg": 0.0, "plan.pinion_adapter_mm": adapter_mm,
    })  # fmt: skip
    entered, lost = (answer_of(edited(build, {"axle.pinion_offset_mm": off})).picture for off in (150.0, None))
    (ours, output), (theirs, _) = (np.array(one.joint_centres_mm) for one in (lost, entered))
    assert ours[[0, 2]] == pytest.approx(theirs[[0, 2]], abs=1e-6)
    assert ours[1] == pytest.approx(output[1], abs=1e-6)
    section = (output - ours) / np.linalg.norm(output - ours)
    assert lost.section_directions[0] == pytest.approx(section, abs=1e-6)
