"""The few words of the drawing: short, one for every finding, values with their line and their place."""

import pytest

from app.drawing.wording import (
    MOST_OF_A_NAME,
    SHORT,
    kind_of,
    numbered,
    offset_words,
    short_name,
    value_words,
    where_worst,
)
from app.units import show
from geometry import solve
from geometry.document.vehicle import Display
from geometry.judge.limits import LIMITS
from geometry.judge.states import MEASURED
from geometry.words.solution import Finding
from tests.app.drawing.drawn import SAMPLES, changed, sample, subject, subject_of


def finding(name: str, kind: str, part: str = "") -> Finding:
    """A finding of a sample."""
    shown = subject(name)
    assert shown is not None
    return next(one for one in shown.whole.findings if one.id == kind and one.part.startswith(part))


def test_every_limit_has_a_short_name_and_no_other_has() -> None:
    assert set(SHORT) == set(LIMITS)


@pytest.mark.parametrize("name", SHORT.values())
def test_a_short_name_has_seventeen_letters_at_most(name: str) -> None:
    assert len(name) <= MOST_OF_A_NAME == 17
    assert name.strip() == name


def test_no_two_findings_have_the_same_short_name() -> None:
    assert len(set(SHORT.values())) == len(SHORT)


@pytest.mark.parametrize("words", ["fuel line", "a crossmember with a long name"])
def test_a_gap_says_to_what_in_as_few_letters(words: str) -> None:
    build = changed("ranch_truck_swap", obstacles=(
        {"name": words, "view": "side", "outline_mm": ((2000.0, 560.0), (2100.0, 560.0), (2100.0, 600.0))},
    ))  # fmt: skip
    shown = subject_of(build)
    assert shown is not None
    gap = next(one for one in shown.whole.findings if one.id.startswith("gap"))
    said = short_name(gap)
    assert said.startswith(f"gap, {words[:9]}")
    assert len(said) <= MOST_OF_A_NAME
    assert kind_of(gap) == "gap"


def test_findings_are_numbered_worst_first_as_in_the_list() -> None:
    shown = subject("lifted_short_shaft")
    assert shown is not None
    found = numbered(shown.whole)
    assert [number for number, _ in found] == list(range(1, len(found) + 1))
    verdicts = [one.verdict for _, one in found]
    assert verdicts == sorted(verdicts, key=("hold", "caution").index)


@pytest.mark.parametrize(("name", "kind", "part", "said"), [
    ("ranch_truck_swap", "ends_parallel", "", "1.8° laden, most 1.0°"),
    ("ranch_truck_swap", "pinion_residual", "", "349 rad/s², most 300"),
    ("long_van_two_piece", "operating_angle_least", "front", "0.48°, least 0.50°"),
    ("lifted_short_shaft", "gauge_resolution", "", "± 0.16°"),
    ("lifted_short_shaft", "travel_reach", "", "both stops"),
])  # fmt: skip
def test_a_value_is_told_with_the_line_up_to_which_it_is_clear(name: str, kind: str, part: str, said: str) -> None:
    assert value_words(finding(name, kind, part), sample(name).display) == said


def test_a_stop_that_is_not_reached_is_told_as_so_much_short() -> None:
    far = changed("ranch_truck_swap", suspension__droop_mm=250.0)
    found = next(one for one in solve(far).findings if one.id == "travel_reach")
    assert found.verdict == "caution"
    assert found.value is not None
    assert value_words(found, far.display) == f"{show(found.value, 'mm', far.display)} short"


def test_of_a_joints_reach_the_angle_itself_is_told_and_where() -> None:
    """The joint turns 22°, 3° are to be left, and at full droop it would need 26.0°."""
    shown = subject("lifted_short_shaft")
    assert shown is not None
    reach = finding("lifted_short_shaft", "joint_bind", "front")
    assert (
        value_words(reach, Display(), 22.0, where_worst(reach, shown.whole, Display())) == "26.0° at droop, most 19.0°"
    )


def test_the_place_of_the_worst_is_the_findings_own() -> None:
    display = Display()
    for name in SAMPLES:
        shown = subject(name)
        assert shown is not None
        travel = shown.whole.travel
        for one in shown.whole.findings:
            said = where_worst(one, shown.whole, display)
            assert ("at launch" in said) == one.launch
            elsewhere = one.state not in {None, MEASURED}
            assert bool(said) == (elsewhere or one.launch or bool(one.travel_mm))
            if "droop" in said or "bump" in said:
                assert travel is not None
                assert one.travel_mm is not None
                assert (one.travel_mm < 0.0) == ("droop" in said)
                at_end = abs(one.travel_mm - travel.axle_mm[0 if one.travel_mm < 0.0 else -1]) < 0.5
                assert at_end == (not any(letter.isdecimal() for letter in said))


@pytest.mark.parametrize(("across", "plan", "said"), [
    (0.0, 0.0, "no offset · straight in plan"), (0.0, None, "no offset"),
    (45.0, 2.0, "pinion 45.0 mm to the right of the output · shaft 2.0° in plan"),
    (-45.0, -2.0, "pinion 45.0 mm to the left of the output · shaft 2.0° in plan"),
])  # fmt: skip
def test_the_offset_is_told_to_its_side(across: float, plan: float | None, said: str) -> None:
    assert offset_words(across, plan, Display(length="millimetre")) == said
