"""What the row of numbers says: what is, what to set, what it was at ride height, and in which colour."""

from dataclasses import replace

import pytest

from app.drawing.board import Board
from app.drawing.drawing import drawing
from app.drawing.numbers import cells_of
from app.drawing.palette import DARK, LIGHT, Theme
from app.drawing.subject import Subject
from geometry.words.solution import Verdict
from tests.app.drawing.drawn import SAMPLES, SIZES, STATES, changed, page, shapes, subject, subject_of, written

THEMES = pytest.mark.parametrize("theme", [LIGHT, DARK], ids=["light", "dark"])


def with_pinion_set(off_deg: float, *, by_remedy: bool = False) -> Subject:
    """The ranch truck, told to set its pinion so far from what it is; by the remedy that it has, or without one."""
    shown = subject("ranch_truck_swap")
    assert shown is not None
    now = shown.whole.angles.pinion_slope_deg
    assert now is not None
    points = replace(shown.whole.setpoints, pinion_slope_deg=now + off_deg, output_slope_deg=None)
    findings = shown.whole.findings if by_remedy else tuple(replace(one, remedy=None) for one in shown.whole.findings)
    whole = replace(shown.whole, setpoints=points, findings=findings)
    return replace(shown, whole=whole, here=whole)


@pytest.mark.parametrize(("off", "told"), [(0.0, False), (0.24, False), (-0.24, False), (0.26, True), (-0.26, True)])
def test_what_to_set_is_told_from_half_a_wedges_step(off: float, told: bool) -> None:
    texts = [one.text for one in written(drawing(with_pinion_set(off), (860, 560)))]
    assert (" → " in texts) is told
    assert any(text.endswith("set this") for text in texts) is told


@pytest.mark.parametrize(("off", "told"), [(0.0, False), (0.02, False), (0.12, True), (-0.12, True), (0.26, True)])
def test_what_the_remedy_itself_turns_is_told_even_by_a_tenth(off: float, told: bool) -> None:
    texts = [one.text for one in written(drawing(with_pinion_set(off, by_remedy=True), (860, 560)))]
    assert (" → " in texts) is told


def test_what_to_set_stands_behind_what_is() -> None:
    """3.2° nose up is a slope of 3.2° (nose ahead); 2° more of it is set as 5.2° nose up."""
    row = [one for one in written(drawing(with_pinion_set(2.0), (860, 560))) if one.bold or one.text == " → "]
    x = {one.text: one.x for one in row}
    assert x["3.2°"] < x[" → "] < x["5.2°"]
    assert "nose up · set this" in [one.text for one in written(drawing(with_pinion_set(2.0), (860, 560)))]


@pytest.mark.parametrize("name", SAMPLES)
@pytest.mark.parametrize("state", STATES[1:])
def test_away_from_ride_height_nothing_is_to_be_set(name: str, state: str) -> None:
    for size in SIZES[:2]:
        made = page(name, size, state)
        if made is not None:
            texts = " ".join(text for _, text in made.words)
            assert "→" not in texts
            assert "set this" not in texts
            assert "ride " in texts


@pytest.mark.parametrize("name", SAMPLES)
@pytest.mark.parametrize("state", STATES)
def test_under_every_line_stands_which_way_it_leans(name: str, state: str) -> None:
    shown, made = subject(name, state), page(name, (860, 560), state)
    if shown is None or made is None:
        return
    texts = [text for _, text in made.words]
    for place, slope, ways in (
        ("output", shown.here.angles.output_slope_deg, ("tail down", "tail up")),
        (
            "pinion",
            shown.here.angles.pinion_slope_deg,
            ("nose down", "nose up") if shown.ahead else ("nose up", "nose down"),
        ),
    ):
        assert slope is not None
        note = texts[texts.index(place) + 1]
        assert note.startswith(ways[0] if slope > 0.0 else ways[1])


@pytest.mark.parametrize("name", SAMPLES)
def test_the_head_says_which_state_it_is(name: str) -> None:
    heads = {}
    for state in STATES:
        made = page(name, (860, 560), state)
        if made is not None:
            largest = max((one for one in written(made) if one.base < 30.0), key=lambda one: one.pt)
            assert largest.bold
            assert largest.pt == 15.0
            heads[state] = largest.text
    assert len(set(heads.values())) == len(heads)
    assert heads["ride"] in {"Ride height", "Angles and length only"}
    assert heads.get("droop", "Full droop") == "Full droop"
    assert heads.get("bump", "Full bump") == "Full bump"
    assert heads.get("launch", "Launch torque") == "Launch torque"


@THEMES
def test_a_number_has_the_colour_of_the_verdict_on_its_angle(theme: Theme) -> None:
    """Of the short hauler both joints come to the end of their reach; of the van the first joint's needles stand."""

    def colours(name: str) -> list[tuple[str, Verdict | None]]:
        shown = subject(name)
        assert shown is not None
        return [(one.runs[-1][2], one.verdict) for one in cells_of(Board(theme), shown)]

    assert colours("lifted_short_shaft") == [
        (theme.ink, None), (theme.hold, "hold"), (theme.hold, "hold"), (theme.ink, None),
    ]  # fmt: skip
    assert colours("long_van_two_piece")[1:4] == [
        (theme.caution, "caution"),
        (theme.accent, None),
        (theme.accent, None),
    ]


@THEMES
@pytest.mark.parametrize(("most", "verdict"), [(25.0, "hold"), (28.0, "caution"), (29.5, None), (None, None)])
def test_away_from_ride_height_the_joints_own_reach_colours(
    theme: Theme, most: float | None, verdict: Verdict | None
) -> None:
    """At full droop the short hauler's front joint stands at 26.0°: over 25, within 3 of 28, clear of 29.5."""
    build = changed("lifted_short_shaft", shaft__front_joint__max_angle_deg=most)
    shown = subject_of(build, "droop")
    assert shown is not None
    cell = next(one for one in cells_of(Board(theme), shown) if one.key == "front_joint")
    assert cell.runs[0][0] == "26.0°"
    assert cell.verdict == verdict
    assert cell.runs[0][2] == (theme.colour(verdict) if verdict else theme.accent)


@THEMES
def test_wedge_and_number_have_one_colour(theme: Theme) -> None:
    """Each joint's angle is filled half over the shaft in the colour of its number, with a rim under its arrows."""
    shown = subject("lifted_short_shaft")
    made = page("lifted_short_shaft", (860, 560), "ride", theme)
    assert shown is not None
    assert made is not None
    filled = [one for one in shapes(made) if one.opacity == 0.5]
    assert [one.fill for one in filled] == [theme.hold, theme.hold]
    rims = [one for one in shapes(made) if one.stroke is not None and one.stroke.colour == theme.paper]
    assert len([one for one in rims if one.stroke is not None and one.stroke.width == pytest.approx(3.6)]) == 4
