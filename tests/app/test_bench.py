"""What stands beside the set-points: checks by tape, how far off each may be, what to buy; on the sheet where begun."""

import pytest

from app.bench import BUY, TAPED, check_words, may_be_off, sections_of, to_buy, wind_up
from app.measuring.sections import is_begun
from app.report import report_text
from app.setpoints import TACKED, set_points
from geometry import Build, edited, solve
from geometry.words.solution import TapeCheck
from tests.geometry.strategies import sample

VAN, HAULER = sample("long_van_two_piece"), sample("lifted_short_shaft")


@pytest.mark.parametrize(("unit", "by", "tenth"), [
    ("inch", "1.00 in (25.4 mm)", "0.020 in (0.51 mm)"), ("millimetre", "25.4 mm (1.00 in)", "0.51 mm (0.020 in)"),
])  # fmt: skip
def test_a_check_says_which_point_is_higher_by_how_much_and_what_a_tenth_is(unit: str, by: str, tenth: str) -> None:
    build = edited(Build(), {"display.length": unit})
    words = f"the pinion joint's centre {by} below the axle's centre; 1/10° is {tenth}"
    assert check_words(build, TapeCheck("pinion", -25.4, 0.508)) == ("Pinion", words)


def test_the_sections_stand_only_where_something_of_them_is_begun() -> None:
    assert [is_begun(build, "set_up") for build in (Build(), HAULER, VAN)] == [False, False, True]
    titles = [title for title, _ in sections_of(VAN, solve(VAN))]
    assert titles == [TAPED, "How far off each may be, until a verdict gets worse", BUY]
    assert wind_up(Build(), solve(Build())) == ()
    assert may_be_off(Build()) == ()


def test_what_to_buy_is_said_with_its_sizes_and_what_is_still_to_be_measured() -> None:
    (name, words), (pin, _) = to_buy(VAN, solve(VAN))
    assert (name, pin) == ("4 × U-bolt, round", "2 × Centre pin")
    assert "inside width 95.0 mm / 3.74 in" in words
    assert "again after the first drive" in words
    without = edited(VAN, {"clamp.plate_mm": None})
    assert "measure: spring plate" in to_buy(without, solve(without))[0][1]


def test_the_report_has_checks_and_list() -> None:
    told = report_text(VAN, solve(VAN), "van.json")
    assert TAPED in told
    assert BUY in told
    assert BUY not in report_text(HAULER, solve(HAULER), "hauler.json")


def test_a_mount_is_lower_or_higher_and_a_nose_too() -> None:
    rows = dict(may_be_off(VAN))
    assert "nose lower" in rows["Pinion slope"]
    assert "nose higher" in rows["Pinion slope"]
    assert "lower" in rows["Rear mount"]
    spacing = edited(HAULER, {"perches": {"casting_gap_mm": 50.0}})
    assert dict(may_be_off(spacing))["Perch to perch"] == "nothing turns by it as far as is looked"


def test_the_seat_to_tack_at_stands_behind_the_seat_to_come_to() -> None:
    welded = edited(VAN, {"perches.first_weld": "front"})
    labels = [one.label for one in set_points(welded, solve(welded))]
    assert labels[labels.index("Seat to pinion") + 1] == TACKED
    assert TACKED not in [one.label for one in set_points(VAN, solve(VAN))]


def test_perches_say_from_which_flange_and_what_they_are_now_only_where_they_are_moved() -> None:
    rows = {one.label: one for one in set_points(VAN, solve(VAN))}
    assert (rows["End flange to perches"].value, rows["End flange to perches"].now) == ("240.0 mm", "")
    moved = edited(VAN, {"perches.springs_apart_mm": 1044.0, "perches.measured_from": "wheel_flange"})
    rows = {one.label: one for one in set_points(moved, solve(moved))}
    assert (rows["Perch to perch"].value, rows["Perch to perch"].now) == ("1,044 mm", "1,050 mm")
    assert (rows["Wheel flange to perches"].value, rows["Wheel flange to perches"].now) == ("243.0 mm", "240.0 mm")


def test_of_two_sections_the_rear_one_is_taped_against_the_joint_at_the_bearing() -> None:
    """On the van the points differ by more than the whole shaft would: 455 mm is the bearing, 520 mm the gearbox."""
    [(_, words)] = [check_words(VAN, one) for one in solve(VAN).setpoints.checks if one.of == "shaft"]
    assert "the one at the support bearing" in words
    assert "the front one" in check_words(Build(), TapeCheck("shaft", -25.4, 0.5))[1]
