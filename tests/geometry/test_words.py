"""What the findings say: for every finding and every verdict that it can have, a build that shows it.

The words must carry the value as it is worded everywhere, never contradict the verdict, and want only what is lacking.
Lines are those of the limits table; the values come from builds just beside them.
"""

import re

import numpy as np
import pytest

from geometry import edited, value_at
from geometry.judge.limits import LIMITS
from geometry.words.finding import ORDER, help_for
from geometry.words.helps import HELP
from geometry.words.names import field_of
from geometry.words.one import One
from geometry.words.wants import wants_of
from geometry.words.wording import worded
from tests.geometry.words_builds import (
    CRITICAL_RPM,
    LEVEL,
    NOTHING,
    PLACE_BAND,
    ROLLED,
    SPAN,
    STICK_BAND,
    TAPE,
    TUBE,
    Case,
    across,
    apart,
    at_cruise,
    base,
    beside,
    both_turn,
    caps,
    clamped,
    double,
    drag,
    flanges,
    found_in,
    front,
    hanging,
    lasting,
    lateral,
    leaning,
    lifted,
    lines,
    one_cross,
    seats,
    sheared,
    shock,
    standing,
    toed,
    torque_bar,
    turned,
    up_to,
    wheelbases,
    whole,
)

ROWS: list[tuple[str, str, str, Case, str]] = [
    ("pinion_residual", "rear_joint", "empty", one_cross("rear", 300.4), "caution"),
    ("pinion_residual", "rear_joint", "empty", one_cross("rear", 299.0), "clear"),
    ("pinion_residual", "rear_joint", "empty", one_cross("rear", 401.0), "hold"),
    ("pinion_residual", "rear_joint", "empty", lines(0.0, 6.0, 0.0), "unknown"),
    ("residual_at_top", "rear_joint", "empty", one_cross("rear", 200.0, 1.7), "clear"),
    ("residual_at_top", "rear_joint", "empty", one_cross("rear", 200.0, 1.8), "caution"),
    ("residual_at_top", "rear_joint", "empty", one_cross("rear", 200.0), "unknown"),
    (
        "equivalent_angle",
        "rear_joint",
        "two_piece",
        {"vehicle.cruise_speed_kmh": None, "axle.pinion_plan_deg": 0.0},
        "clear",
    ),
    (
        "equivalent_angle",
        "rear_joint",
        "two_piece",
        {"vehicle.cruise_speed_kmh": None, "axle.pinion_plan_deg": 0.0, "axle.pinion_slope_deg": 12.0},
        "hold",
    ),
    (
        "equivalent_angle",
        "rear_joint",
        "two_piece",
        {"vehicle.cruise_speed_kmh": None, "axle.pinion_slope_deg": None},
        "unknown",
    ),
    ("ends_parallel", "shaft", "empty", lines(0.0, 8.0, 0.97), "clear"),
    ("ends_parallel", "shaft", "empty", lines(0.0, 8.0, 1.01), "caution"),
    ("ends_parallel", "shaft", "empty", lines(0.0, 8.0, 3.04), "hold"),
    ("ends_parallel", "shaft", "empty", lines(None, 8.0, 3.0), "unknown"),
    ("straight_end", "rear_joint", "empty", double(5.0, 2500.0), "clear"),
    ("straight_end", "rear_joint", "empty", double(5.0, 2500.0) | {"axle.pinion_slope_deg": 2.996}, "caution"),
    ("straight_end", "rear_joint", "empty", double(5.0, 2500.0) | {"axle.pinion_slope_deg": 0.0}, "hold"),
    ("straight_end", "rear_joint", "empty", double(5.0, 2500.0) | {"axle.pinion_slope_deg": None}, "unknown"),
    ("operating_angle_most", "front_joint", "empty", double(13.9, 2500.0), "clear"),
    ("operating_angle_most", "front_joint", "empty", double(14.1, 2500.0), "caution"),
    ("operating_angle_most", "front_joint", "empty", double(17.6, 2500.0), "hold"),
    ("operating_angle_most", "front_joint", "empty", double(17.6, 6000.0), "hold"),
    ("operating_angle_most", "front_joint", "empty", double(2.0, 6000.0), "unknown"),
    ("first_joint", "front_joint", "two_piece", {"axle.pinion_plan_deg": 0.0}, "clear"),
    ("first_joint", "front_joint", "two_piece", {"powertrain.slope_deg": 5.0}, "caution"),
    ("first_joint", "front_joint", "two_piece", {"powertrain.slope_deg": None}, "unknown"),
    *(
        (f"shaft_inertia_{doing}", "shaft", "empty", one_cross(at, value), verdict)
        for doing, at in (("drive", "front"), ("coast", "rear"))
        for value, verdict in ((999.0, "clear"), (1000.3, "caution"), (2001.0, "hold"))
    ),
    ("shaft_inertia_drive", "shaft", "empty", lines(0.0, 6.0, 0.0), "unknown"),
    ("shaft_inertia_coast", "shaft", "empty", lines(0.0, 6.0, 0.0), "unknown"),
    ("inertia_at_top", "shaft", "empty", one_cross("front", 900.0, 1.4), "clear"),
    ("inertia_at_top", "shaft", "empty", one_cross("front", 900.0, 1.5), "caution"),
    ("inertia_at_top", "shaft", "empty", one_cross("front", 900.0), "unknown"),
    ("speeds_agree", "vehicle", "empty", one_cross("rear", 200.0, 0.999), "caution"),
    ("operating_angle_least", "front_joint", "empty", lines(0.0, 0.5, 0.0), "clear"),
    ("operating_angle_least", "front_joint", "empty", lines(0.0, 0.496, 0.0), "caution"),
    ("operating_angle_least", "front_joint", "empty",
     lines(0.0, 0.6, 0.0) | {"gauge.angle_uncertainty_deg": 0.1}, "clear"),
    ("operating_angle_least", "front_joint", "empty",
     lines(0.0, 0.4, 0.0) | {"gauge.angle_uncertainty_deg": 0.1}, "caution"),
    ("operating_angle_least", "front_joint", "empty",
     lines(0.0, 0.1, 0.0) | {"gauge.angle_uncertainty_deg": 0.1}, "caution"),
    ("operating_angle_least", "front_joint", "empty", lines(None, 0.496, 0.0), "unknown"),
    ("joint_bind", "rear_joint", "one_piece", whole(shaft__rear_joint__max_angle_deg=40.0), "clear"),
    ("joint_bind", "rear_joint", "one_piece", whole(shaft__rear_joint__max_angle_deg=11.0), "caution"),
    ("joint_bind", "rear_joint", "one_piece", whole(shaft__rear_joint__max_angle_deg=5.0), "hold"),
    ("joint_bind", "rear_joint", "one_piece", whole(shaft__rear_joint__max_angle_deg=None), "unknown"),
    ("joint_bind", "rear_joint", "one_piece", whole(suspension=None), "unknown"),
    ("shaft_slope", "shaft", "empty", lines(0.0, -6.96, 0.0), "clear"),
    ("shaft_slope", "shaft", "empty", lines(0.0, 7.03, 0.0), "caution"),
    ("shaft_slope", "shaft", "empty", lines(0.0, 15.01, 0.0), "hold"),
    ("shaft_slope", "shaft", "empty", {"powertrain.slope_deg": 3.0, "axle.pinion_slope_deg": 3.0}, "unknown"),
    ("shaft_slope", "shaft", "empty", lines(10.0, 15.6, 10.0) | at_cruise(2000.0) | {"shaft.phase_deg": 0.0}, "clear"),
    ("critical_speed", "shaft", "empty", TUBE | up_to(0.649 * CRITICAL_RPM), "clear"),
    ("critical_speed", "shaft", "empty", TUBE | up_to(0.6501 * CRITICAL_RPM), "caution"),
    ("critical_speed", "shaft", "empty", TUBE | up_to(0.701 * CRITICAL_RPM), "hold"),
    ("critical_speed", "shaft", "empty", TUBE, "unknown"),
    ("half_critical_speed", "shaft", "empty", TUBE | ROLLED | at_cruise(CRITICAL_RPM / 2.0 * 1.081), "clear"),
    ("half_critical_speed", "shaft", "empty", TUBE | ROLLED | at_cruise(CRITICAL_RPM / 2.0 * 0.921), "caution"),
    ("half_critical_speed", "shaft", "empty", TUBE, "unknown"),
    ("tube_shear", "shaft", "empty", sheared(0.499), "clear"),
    ("tube_shear", "shaft", "empty", sheared(0.5004), "caution"),
    ("tube_shear", "shaft", "empty", sheared(0.802), "hold"),
    ("tube_shear", "shaft", "empty", TUBE, "unknown"),
    ("tube_shear", "shaft", "empty", sheared(0.499) | {"powertrain.low_range": None}, "unknown"),
    ("joint_torque", "rear_joint", "empty", turned(999.0) | {"shaft.rear_joint.torque_limit_nm": 1000.0}, "clear"),
    ("joint_torque", "rear_joint", "empty", turned(1000.2) | {"shaft.rear_joint.torque_limit_nm": 1000.0}, "hold"),
    ("joint_torque", "rear_joint", "empty", turned(1000.2), "unknown"),
    ("joint_life", "rear_joint", "empty", lasting(5003.0), "clear"),
    ("joint_life", "rear_joint", "empty", lasting(4999.0), "caution"),
    ("joint_life", "rear_joint", "empty", lasting(5003.0) | {"axle.ratio": None}, "unknown"),
    ("lift", "suspension", "one_piece", lifted(30.0), "clear"),
    ("lift", "suspension", "one_piece", lifted(900.0), "hold"),
    ("lift", "suspension", "one_piece", lifted(30.0, "block", suspension__seat="under"), "hold"),
    ("lift", "suspension", "one_piece", lifted(30.0, suspension__front_half_mm=None), "unknown"),
    ("front_block", "suspension", "one_piece", whole(plan__front_lift_mm=30.0, plan__front_lift_by="block"), "hold"),
    ("block_room", "suspension", "one_piece", lifted(-10.0, "block"), "caution"),
    (
        "block_room",
        "suspension",
        "one_piece",
        lifted(-10.0, "block", suspension__seat_to_axle_mm=90.0, axle__tube_diameter_mm=80.0),
        "clear",
    ),
    ("block_room", "suspension", "one_piece", lifted(-30.0, "block"), "hold"),
    ("block_room", "suspension", "one_piece", lifted(-10.0, "block", axle__tube_diameter_mm=None), "unknown"),
    ("bump_left", "suspension", "one_piece", lifted(-54.0), "clear"),
    ("bump_left", "suspension", "one_piece", lifted(-55.0), "caution"),
    ("bump_left", "suspension", "one_piece", lifted(-81.0), "hold"),
    ("bump_left", "suspension", "one_piece", lifted(-81.0, suspension__bump_mm=None), "unknown"),
    ("shackle_lean", "suspension", "one_piece", lifted(40.0, "shackle"), "clear"),
    (
        "shackle_lean",
        "suspension",
        "one_piece",
        lifted(-10.0, "shackle", suspension__shackle_pivot_mm=(3160.0, 545.0)),
        "caution",
    ),
    (
        "shackle_lean",
        "suspension",
        "one_piece",
        lifted(-20.0, "shackle", suspension__shackle_pivot_mm=(3140.0, 535.0)),
        "hold",
    ),
    ("shackle_lean", "suspension", "one_piece", lifted(40.0, "shackle", suspension__front_half_mm=None), "unknown"),
    ("shackle_lift", "suspension", "one_piece", lifted(40.0, "shackle"), "clear"),
    ("shackle_lift", "suspension", "one_piece", lifted(52.0, "shackle"), "caution"),
    ("travel_reach", "suspension", "one_piece", whole(), "clear"),
    ("travel_reach", "suspension", "one_piece", whole(suspension__droop_mm=900.0), "caution"),
    ("travel_reach", "suspension", "one_piece", whole(suspension__droop_mm=None), "unknown"),
    ("slip_left", "shaft", "one_piece", whole(shaft__slip={"stroke_mm": 120.0, "engaged_mm": 70.0}), "clear"),
    ("slip_left", "shaft", "one_piece", whole(shaft__slip={"stroke_mm": 120.0, "engaged_mm": 94.5}), "caution"),
    ("slip_left", "shaft", "one_piece", whole(shaft__slip={"stroke_mm": 120.0, "engaged_mm": 120.0}), "hold"),
    ("slip_left", "shaft", "one_piece", whole(shaft__slip=None), "unknown"),
    ("slip_engaged", "shaft", "one_piece", whole(), "clear"),
    ("slip_engaged", "shaft", "one_piece", whole(shaft__slip__engaged_mm=50.0), "caution"),
    ("slip_engaged", "shaft", "one_piece", whole(shaft__slip__engaged_mm=20.0), "hold"),
    (
        "slip_engaged",
        "shaft",
        "one_piece",
        whole(shaft__slip__engaged_mm=55.0, shaft__slip__spline_diameter_mm=None),
        "unknown",
    ),
    ("gap_1", "obstacles", "one_piece", beside(700.0), "clear"),
    ("gap_1", "obstacles", "one_piece", beside(634.0), "caution"),
    ("gap_1", "obstacles", "one_piece", beside(560.0), "hold"),
    ("gap_1", "obstacles", "one_piece", beside(700.0) | {"shaft.rear_joint.series": None}, "unknown"),
    ("pair_gap_1", "obstacles", "one_piece", apart(40.0), "clear"),
    ("pair_gap_1", "obstacles", "one_piece", apart(24.0), "caution"),
    ("pair_gap_1", "obstacles", "one_piece", apart(10.0), "hold"),
    ("pair_gap_1", "obstacles", "one_piece", apart(-5.0), "hold"),
    ("pair_gap_1", "obstacles", "one_piece", apart(30.0, None), "unknown"),
    ("line_slack_1", "flexible_lines", "one_piece", hanging(500.0), "clear"),
    ("line_slack_1", "flexible_lines", "one_piece", hanging(410.0), "caution"),
    ("line_slack_1", "flexible_lines", "one_piece", hanging(395.0), "hold"),
    ("line_slack_1", "flexible_lines", "one_piece", hanging(300.0), "hold"),
    ("line_slack_1", "flexible_lines", "one_piece", hanging(None), "unknown"),
    ("windup_cruise", "suspension", "one_piece", whole(axle__pinion_slope_deg=3.3), "clear"),
    ("windup_cruise", "suspension", "one_piece", whole(axle__pinion_slope_deg=10.0), "caution"),
    ("windup_cruise", "suspension", "one_piece", whole(axle__pinion_slope_deg=0.0), "hold"),
    ("windup_cruise", "suspension", "one_piece", whole(suspension__rate_n_per_mm=None), "unknown"),
    ("windup_launch", "suspension", "one_piece", whole(suspension__rate_n_per_mm=200.0), "clear"),
    ("windup_launch", "suspension", "one_piece", whole(suspension__rate_n_per_mm=50.0), "caution"),
    ("windup_launch", "suspension", "one_piece", whole(suspension__rate_n_per_mm=12.0), "hold"),
    ("windup_launch", "suspension", "one_piece", whole(suspension__rate_n_per_mm=None), "unknown"),
    ("lateral_lift", "lateral_link", "one_piece", lateral(30.0), "clear"),
    ("lateral_lift", "lateral_link", "one_piece", lateral(60.0, low=300.0), "caution"),
    ("lateral_lift", "lateral_link", "one_piece", lateral(100.0, low=200.0), "hold"),
    (
        "lateral_lift",
        "lateral_link",
        "one_piece",
        lateral(30.0) | {"lateral_link": {"frame_point_mm": (0.0, 0.0, 0.0)}},
        "unknown",
    ),
    ("lateral_shift", "lateral_link", "one_piece", lateral(), "clear"),
    ("lateral_shift", "lateral_link", "one_piece", lateral(low=300.0), "caution"),
    ("lateral_shift", "lateral_link", "one_piece", lateral(low=200.0), "hold"),
    ("lateral_shift", "lateral_link", "one_piece", lateral(suspension=None), "unknown"),
    ("shock_bump_1", "shocks", "one_piece", shock(), "clear"),
    ("shock_bump_1", "shocks", "one_piece", shock(compressed_mm=333.0), "caution"),
    ("shock_bump_1", "shocks", "one_piece", shock(compressed_mm=339.0), "hold"),
    ("shock_bump_1", "shocks", "one_piece", shock(compressed_mm=400.0), "hold"),
    ("shock_bump_1", "shocks", "one_piece", shock(compressed_mm=None), "unknown"),
    ("shock_droop_1", "shocks", "one_piece", shock(), "clear"),
    ("shock_droop_1", "shocks", "one_piece", shock(extended_mm=537.0), "caution"),
    ("shock_droop_1", "shocks", "one_piece", shock(extended_mm=525.0), "hold"),
    ("shock_droop_1", "shocks", "one_piece", shock(extended_mm=450.0), "hold"),
    ("shock_droop_1", "shocks", "one_piece", shock(axle_point_mm=None), "unknown"),
    ("shock_crossed_1", "shocks", "one_piece", shock(), "clear"),
    ("shock_crossed_1", "shocks", "one_piece", shock(compressed_mm=339.0), "caution"),
    ("shock_crossed_1", "shocks", "one_piece", shock(compressed_mm=400.0), "hold"),
    ("shock_crossed_1", "shocks", "one_piece", shock(extended_mm=480.0), "hold"),
    ("shock_crossed_1", "shocks", "one_piece", shock() | {"axle.perch_spacing_mm": None}, "unknown"),
    ("shock_place_1", "shocks", "one_piece", shock(), "clear"),
    ("shock_place_1", "shocks", "one_piece", shock(extended_mm=480.0), "caution"),
    ("shock_place_1", "shocks", "one_piece", shock(extended_mm=420.0), "hold"),
    ("shock_place_1", "shocks", "one_piece", shock(compressed_mm=440.0), "hold"),
    ("shock_place_1", "shocks", "one_piece", shock(extended_mm=None), "unknown"),
    ("shock_lean_1", "shocks", "one_piece", shock(), "clear"),
    ("shock_lean_1", "shocks", "one_piece", shock(frame_point_mm=(2500.0, 100.0, 760.0)), "caution"),
    ("shock_lean_1", "shocks", "one_piece", shock(frame_point_mm=(2100.0, 300.0, 400.0)), "hold"),
    ("shock_lean_1", "shocks", "one_piece", shock() | {"suspension.rear_half_mm": None}, "unknown"),
    ("bar_bind_1", "torque_bars", "one_piece", torque_bar(), "clear"),
    ("bar_bind_1", "torque_bars", "one_piece", torque_bar(float_mm=0.0), "caution"),
    ("bar_bind_1", "torque_bars", "one_piece", torque_bar(frame_point_mm=(2250.0, 100.0, 330.0), float_mm=0.0), "hold"),
    ("bar_bind_1", "torque_bars", "one_piece", torque_bar(float_mm=None), "unknown"),
    ("bar_lever_1", "torque_bars", "one_piece", torque_bar(), "clear"),
    ("bar_lever_1", "torque_bars", "one_piece", torque_bar(axle_point_mm=(2560.0, 100.0, 300.0)), "caution"),
    ("bar_lever_1", "torque_bars", "one_piece", torque_bar(axle_point_mm=(2560.0, 100.0, 390.0)), "hold"),
    ("bar_lever_1", "torque_bars", "one_piece", torque_bar(frame_point_mm=None), "unknown"),
    ("link_slope", "lateral_link", "one_piece", lateral(), "clear"),
    ("link_slope", "lateral_link", "one_piece", lateral(low=300.0), "caution"),
    ("link_slope", "lateral_link", "one_piece", whole(lateral_link={"frame_point_mm": (0.0, 0.0, 0.0)}), "unknown"),
    ("drag_slope", "lateral_link", "one_piece", drag((2600.0, -400.0, 410.0), (2600.0, 400.0, 400.0)), "clear"),
    ("drag_slope", "lateral_link", "one_piece", drag((2600.0, -400.0, 450.0), (2600.0, 400.0, 400.0)), "caution"),
    ("drag_slope", "lateral_link", "one_piece", drag((2600.0, -400.0, 550.0), (2600.0, 400.0, 400.0)), "hold"),
    ("drag_slope", "lateral_link", "one_piece", drag((2600.0, -400.0, 550.0), None), "unknown"),
    ("pinion_nose_up", "axle", "empty", {"axle.pinion_slope_deg": 7.96}, "clear"),
    ("pinion_nose_up", "axle", "empty", {"axle.pinion_slope_deg": 8.04}, "caution"),
    ("pinion_nose_up", "axle", "empty", {"axle.pinion_slope_deg": 20.01}, "hold"),
    ("pinion_nose_up", "axle", "empty", NOTHING, "unknown"),
    ("pinion_nose_down", "axle", "empty", {"axle.pinion_slope_deg": -3.96}, "clear"),
    ("pinion_nose_down", "axle", "empty", {"axle.pinion_slope_deg": -4.04}, "caution"),
    ("pinion_nose_down", "axle", "empty", {"axle.pinion_slope_deg": -10.01}, "hold"),
    ("tail_down", "powertrain", "empty", {"powertrain.slope_deg": 4.96}, "clear"),
    ("tail_down", "powertrain", "empty", {"powertrain.slope_deg": 5.04}, "caution"),
    ("tail_down", "powertrain", "empty", {"powertrain.slope_deg": 10.01}, "hold"),
    ("tail_down", "powertrain", "empty", NOTHING, "unknown"),
    ("tail_up", "powertrain", "empty", {"powertrain.slope_deg": -0.96}, "clear"),
    ("tail_up", "powertrain", "empty", {"powertrain.slope_deg": -1.04}, "caution"),
    ("tail_up", "powertrain", "empty", {"powertrain.slope_deg": -4.01}, "hold"),
    ("wedge_size", "perches", "empty", {"plan.axle_shim_deg": -4.0}, "clear"),
    ("wedge_size", "perches", "empty", {"plan.axle_shim_deg": 4.5}, "caution"),
    ("wedge_size", "perches", "empty", {"plan.axle_shim_deg": 6.5}, "hold"),
    ("caster", "axle", "one_piece", front(), "caution"),
    ("stick_slope", "readings", "empty", LEVEL | {"readings.shaft_slope_deg": 0.99 * STICK_BAND}, "clear"),
    ("stick_slope", "readings", "empty", LEVEL | {"readings.shaft_slope_deg": 1.004 * STICK_BAND}, "caution"),
    ("stick_slope", "readings", "empty", LEVEL | {"readings.shaft_slope_deg": -3.01 * STICK_BAND}, "hold"),
    ("stick_slope", "readings", "empty", LEVEL | {"readings.shaft_slope_deg": 1.0, "gauge": None}, "unknown"),
    ("tape_length", "readings", "empty", LEVEL | {"readings.shaft_length_mm": SPAN + 0.99 * 1.96 * TAPE}, "clear"),
    ("tape_length", "readings", "empty", LEVEL | {"readings.shaft_length_mm": SPAN + 1.004 * 1.96 * TAPE}, "caution"),
    ("tape_length", "readings", "empty", LEVEL | {"readings.shaft_length_mm": SPAN - 3.01 * 1.96 * TAPE}, "hold"),
    ("tape_length", "readings", "empty", LEVEL | {"readings.shaft_length_mm": SPAN, "gauge": None}, "unknown"),
    ("axle_station", "axle", "empty", LEVEL | {"vehicle.wheelbase_mm": 2300.0 + 0.99 * PLACE_BAND}, "clear"),
    ("axle_station", "axle", "empty", LEVEL | {"vehicle.wheelbase_mm": 2300.0 + 1.004 * PLACE_BAND}, "caution"),
    ("axle_station", "axle", "empty", LEVEL | {"vehicle.wheelbase_mm": 2300.0 - 3.01 * PLACE_BAND}, "hold"),
    ("axle_station", "axle", "empty", LEVEL | {"vehicle.wheelbase_mm": 2300.0, "gauge": None}, "unknown"),
    ("axle_height", "axle", "empty", LEVEL | {"vehicle.rear_tyre_radius_mm": 500.0 + 0.99 * PLACE_BAND}, "clear"),
    ("axle_height", "axle", "empty", LEVEL | {"vehicle.rear_tyre_radius_mm": 500.0 + 1.004 * PLACE_BAND}, "caution"),
    ("axle_height", "axle", "empty", LEVEL | {"vehicle.rear_tyre_radius_mm": 500.0 - 3.01 * PLACE_BAND}, "hold"),
    ("axle_height", "axle", "empty", LEVEL | {"vehicle.rear_tyre_radius_mm": 500.0, "gauge": None}, "unknown"),
    ("spring_station", "suspension", "one_piece", whole(gauge__tape_uncertainty_mm=25.0), "clear"),
    ("spring_station", "suspension", "one_piece", whole(axle__centre_mm=(2640.0, 0.0, 390.0)), "caution"),
    ("spring_station", "suspension", "one_piece", whole(gauge=None), "unknown"),
    ("gauge_resolution", "readings", "one_piece", whole(axle__pinion_slope_deg=3.4), "clear"),
    ("gauge_resolution", "readings", "one_piece", whole(gauge__angle_uncertainty_deg=3.0), "caution"),
    ("gauge_resolution", "readings", "one_piece", whole(gauge=None), "unknown"),
    (
        "perches_equal",
        "perches",
        "empty",
        {"axle.flange_to_perch_left_mm": 240.0, "axle.flange_to_perch_right_mm": 241.59},
        "clear",
    ),
    (
        "perches_equal",
        "perches",
        "empty",
        {"axle.flange_to_perch_left_mm": 240.0, "axle.flange_to_perch_right_mm": 241.61},
        "caution",
    ),
    (
        "perches_equal",
        "perches",
        "empty",
        {"axle.flange_to_perch_left_mm": 240.0, "axle.flange_to_perch_right_mm": 236.79},
        "hold",
    ),
    ("perches_equal", "perches", "empty", {"axle.flange_to_perch_left_mm": 240.0}, "unknown"),
    ("end_fits", "front_joint", "empty", flanges(), "clear"),
    ("end_fits", "front_joint", "empty", flanges(pilot_mm=69.8, bolts=6.0), "hold"),
    ("end_fits", "front_joint", "empty", flanges(bolts=None), "unknown"),
    ("end_fits", "rear_joint", "empty", caps("1350", read=True), "clear"),
    ("end_fits", "rear_joint", "empty", caps("1350"), "unknown"),
    ("end_fits", "rear_joint", "empty", caps("1410"), "hold"),
    ("end_fits", "rear_joint", "empty", caps(None), "unknown"),
    ("cap_size", "rear_joint", "empty", caps("1350", read=True), "clear"),
    ("cap_size", "rear_joint", "empty", caps("1350") | {"shaft.rear_end.cap_mm": 28.6}, "caution"),
    ("cap_size", "rear_joint", "empty", caps("1350") | {"shaft.rear_end.cap_mm": 30.4}, "unknown"),
    ("seal_travel", "shaft", "one_piece", whole(shaft__slip__seal_travel_mm=80.0), "clear"),
    ("seal_travel", "shaft", "one_piece", whole(shaft__slip__seal_travel_mm=5.0), "caution"),
    ("seal_travel", "shaft", "empty", {"shaft.slip.seal_travel_mm": 5.0}, "unknown"),
    ("bearing_square", "bearing", "two_piece",
     {"shaft.bearing_slope_deg": 3.2, "shaft.bearing_plan_deg": 0.0}, "clear"),
    ("bearing_square", "bearing", "two_piece",
     {"shaft.bearing_slope_deg": 6.0, "shaft.bearing_plan_deg": 0.0}, "caution"),
    ("bearing_square", "bearing", "two_piece",
     {"shaft.bearing_slope_deg": -5.0, "shaft.bearing_plan_deg": 1.0}, "hold"),
    ("bearing_square", "bearing", "two_piece", {"shaft.bearing_slope_deg": -5.0}, "hold"),
    ("bearing_square", "bearing", "two_piece", {"shaft.bearing_slope_deg": 3.2}, "unknown"),
    ("bearing_square", "bearing", "two_piece",
     {"shaft.bearing_slope_deg": 3.0, "powertrain.output_joint_mm": None}, "unknown"),
    ("bearing_centred", "bearing", "two_piece", {"shaft.bearing_off_centre_mm": 1.0}, "clear"),
    ("bearing_centred", "bearing", "two_piece", {"shaft.bearing_off_centre_mm": 6.0}, "caution"),
    ("pad_twist", "perches", "empty", seats(0.5, 0.69), "clear"),
    ("pad_twist", "perches", "empty", seats(0.5, 0.1), "caution"),
    ("pad_twist", "perches", "empty", seats(1.1, 0.5), "hold"),
    ("pad_twist", "perches", "empty", seats(1.1, None), "unknown"),
    ("perch_spacing", "perches", "empty", across(1010.0, springs=1011.0), "clear"),
    ("perch_spacing", "perches", "empty", across(1010.0, springs=1012.0), "caution"),
    ("perch_spacing", "perches", "empty", across(1014.0, springs=1010.0), "hold"),
    ("perch_spacing", "perches", "empty", across(None, springs=1010.0), "unknown"),
    ("perch_chain", "perches", "empty", across(1010.0, flanges=1431.0), "clear"),
    ("perch_chain", "perches", "empty", across(1010.0, flanges=1426.0), "caution"),
    ("perch_chain", "perches", "empty", across(1010.0, flanges=1460.0), "hold"),
    ("perch_chain", "perches", "empty", across(1010.0, flanges=1430.0) | {"gauge": None}, "unknown"),
    ("perch_casting", "perches", "empty", {"perches.casting_gap_mm": 12.8}, "clear"),
    ("perch_casting", "perches", "empty", {"perches.casting_gap_mm": 12.6}, "caution"),
    ("perch_casting", "perches", "empty", {"perches.casting_gap_mm": 0.0}, "caution"),
    ("ubolt_reserve", "perches", "empty", clamped(76.0, 63.5, leg=156.0 + 3.2 + 14.0 + 6.4), "clear"),
    ("ubolt_reserve", "perches", "empty", clamped(76.0, 63.5, leg=156.0 + 3.2 + 14.0 + 6.3), "caution"),
    ("ubolt_reserve", "perches", "empty", clamped(76.0, 63.5, leg=156.0 + 3.2 + 14.0 - 0.1), "hold"),
    ("ubolt_reserve", "perches", "empty", clamped(76.0, 63.5, leg=180.0) | {"clamp.plate_mm": None}, "unknown"),
    ("wheelbases_equal", "axle", "empty", wheelbases(3238.0, 3241.0), "clear"),
    ("wheelbases_equal", "axle", "empty", wheelbases(3238.0, 3242.0), "caution"),
    ("wheelbases_equal", "axle", "empty", wheelbases(3245.0, 3238.0), "hold"),
    ("wheelbases_equal", "axle", "empty", wheelbases(3245.0, None), "unknown"),
    ("thrust_angle", "axle", "empty", standing(0.19), "clear"),
    ("thrust_angle", "axle", "empty", standing(-0.21), "caution"),
    ("thrust_angle", "axle", "empty", standing(0.41), "hold"),
    ("thrust_angle", "axle", "empty", standing(0.31) | {"square.offset_left_mm": None}, "unknown"),
    ("thrust_angle", "axle", "empty", standing(0.31) | {"square.holes_above_mm": None}, "unknown"),
    ("thrust_angle", "axle", "empty", standing(-0.41) | {"square.holes_above_mm": None}, "hold"),
    ("thrust_angle", "axle", "empty", standing(0.41) | {"axle.end": "front"}, "hold"),
    ("axle_centred", "axle", "empty", {"square.offset_left_mm": 300.0, "square.offset_right_mm": 312.0}, "clear"),
    ("axle_centred", "axle", "empty", {"square.offset_left_mm": 300.0, "square.offset_right_mm": 313.0}, "caution"),
    ("axle_centred", "axle", "empty", {"square.offset_left_mm": 340.0, "square.offset_right_mm": 300.0}, "hold"),
    ("axle_centred", "axle", "empty", {"square.offset_left_mm": 340.0}, "unknown"),
    ("toe_before", "axle", "empty", toed(0.19), "clear"),
    ("toe_before", "axle", "empty", toed(-0.21), "caution"),
    ("toe_before", "axle", "empty", toed(0.51), "hold"),
    ("toe_before", "axle", "empty", toed(0.51) | {"square.toe_over_mm": None}, "unknown"),
    ("toe_welded", "axle", "empty", toed(0.1, -0.09), "clear"),
    ("toe_welded", "axle", "empty", toed(-0.1, 0.12), "caution"),
    ("toe_welded", "axle", "empty", toed(0.1, 0.51), "hold"),
    ("toe_welded", "axle", "empty", toed(0.1, 0.51) | {"square.toe_rear_before_mm": None}, "unknown"),
    ("camber_before", "axle", "empty", leaning(0.3, -0.2), "clear"),
    ("camber_before", "axle", "empty", leaning(-0.3, -0.2), "caution"),
    ("camber_before", "axle", "empty", leaning(0.3, 0.3), "hold"),
    ("camber_before", "axle", "empty", leaning(0.3, None), "unknown"),
    ("camber_welded", "axle", "empty", leaning(0.1, 0.0) | leaning(-0.1, 0.1, "after"), "clear"),
    ("camber_welded", "axle", "empty", leaning(0.1, 0.0) | leaning(-0.1, -0.1, "after"), "caution"),
    ("camber_welded", "axle", "empty", leaning(0.1, 0.0) | leaning(0.4, 0.3, "after"), "hold"),
    ("camber_welded", "axle", "empty", leaning(0.1, None) | leaning(0.4, 0.3, "after"), "unknown"),
    ("front_against_rear", "axle", "empty", both_turn(504.9, 500.0, "part_time"), "clear"),
    ("front_against_rear", "axle", "empty", both_turn(494.9, 500.0, "part_time"), "caution"),
    ("front_against_rear", "axle", "empty", both_turn(494.9, 500.0, None), "unknown"),
    ("front_against_rear", "axle", "empty", both_turn(450.0, 500.0, "full_time"), "clear"),
]  # fmt: skip
NEVER_UNKNOWN = {"speeds_agree", "front_block", "pinion_nose_down", "tail_up", "wedge_size", "caster",
                 "shackle_lift", "bearing_centred", "perch_casting"}  # fmt: skip
"""Asked only where what they judge is known."""
NEVER_CLEAR = {"speeds_agree", "front_block", "caster"}
"""Asked only where something is amiss."""
CONTRARY = {
    "clear": r"\btoo\b|more than|not cancel|bind\b|bottoms:|falls?\b|whirl and|pulls out|strikes|weak|stand still",
    "caution": r"\bfine\b|well below|strong enough|stays wet|it suits|joints cancel:|within its limit|usual[;.]",
    "hold": r"\bfine\b|well below|strong enough|stays wet|it suits|joints cancel:|in its limit|usual[;.]|no harm",
}
"""Words that would contradict a verdict."""


@pytest.mark.parametrize(("name", "part", "of", "changes", "verdict"), ROWS, ids=[f"{row[0]}-{row[4]}" for row in ROWS])
@pytest.mark.parametrize("unit", ["inch", "millimetre"])
def test_every_finding_says_its_verdict(
    request: pytest.FixtureRequest, name: str, part: str, of: str, changes: Case, verdict: str, unit: str
) -> None:
    build = edited(base(of, request), changes | {"display.length": unit})
    told, found = found_in(build)
    finding, one = found[name, part], One(told, (name, part))
    assert finding.verdict == verdict, finding.says
    row = LIMITS[one.id]
    title = row.trouble if verdict in {"caution", "hold"} else row.title
    gaps = {"gap_1": "Gap to beam", "pair_gap_1": "Gap, pan to beam"}
    assert finding.title == gaps.get(name, title.replace("Line", "Hose"))
    assert finding.says[0].isupper()
    assert finding.says.endswith(".")
    assert not re.search(r"\bnan\b|\binf\b|None|jerk|  |\.\.|\(\(", finding.says)
    assert field_of(build, finding.entry) is not None
    assert (finding.sense, finding.basis, finding.remedy) == (f"at {row.sense}", row.basis_text, None)
    if verdict == "unknown":
        assert finding.value is None
        assert finding.says.startswith("Not judged: ")
        wanted = wants_of(one)
        assert all(value_at(build, path) is None for want in wanted for path in want.paths)
        assert all(want.name in finding.says for want in wanted)
        return
    assert not re.search(CONTRARY[verdict], finding.says), finding.says
    assert finding.value is not None
    assert (
        any(worded(abs(finding.value), row.unit, build.display, finer) in finding.says for finer in range(7))
        or one.id in {"travel_reach", "end_fits"}  # which name what is short, or apart
    ), finding.says
    if finding.limit is not None and verdict != "clear":
        beyond = finding.value > finding.limit if row.sense == "most" else finding.value < finding.limit
        assert beyond
    if verdict == "hold" and finding.hold_limit is not None:
        assert finding.value > finding.hold_limit if row.sense == "most" else finding.value < finding.hold_limit
    if verdict == "hold":
        helps = help_for(told, (name, part))
        assert helps[0].isupper()
        assert helps.endswith(".")
        assert "{" not in helps


def possible(name: str) -> set[str]:
    row = LIMITS[name]
    verdicts = {
        "clear",
        "unknown",
        *(("caution",) if row.clear != row.hold else ()),
        *(("hold",) if np.isfinite(row.hold) else ()),
    }
    verdicts -= {"unknown"} if name in NEVER_UNKNOWN else set()
    return verdicts - ({"clear"} if name in NEVER_CLEAR else set())


@pytest.mark.parametrize("name", ORDER)
def test_every_verdict_that_a_finding_can_have_is_shown(name: str) -> None:
    assert {row[4] for row in ROWS if re.sub(r"_\d+$", "", row[0]) == name} == possible(name)


def test_every_limit_has_its_words_and_every_hold_its_help() -> None:
    assert set(ORDER) == set(LIMITS)
    assert set(HELP) == {name for name in LIMITS if "hold" in possible(name)}
