"""The panels as they are drawn: lines and tints on the right side, dashes, values at the slider, words whole."""

import itertools
from dataclasses import replace

import numpy as np
import pytest

from app.curves.curves import Curves, LimitLine, Panel, Series, at_travel, curves_of, worst_of
from app.curves.panels import Panels, Plot, panels
from app.drawing.fonts import application, width
from app.drawing.items import Disc, Shape, Words
from app.drawing.palette import LIGHT, THEMES, Theme, contrast, mixed
from app.units import show
from geometry import Build, edited, solve
from tests.app.desk import SAMPLES, sample

application()
TRAVELLING = sorted(path.stem for path in SAMPLES.glob("*.json") if path.stem != "three_angles_and_a_length")
SIZES = [(694.0, 104.0), (793.0, 110.0), (1238.0, 169.0)]
"""As in a window 1280, 1366 and 1920 pixels wide."""
EVERY = pytest.mark.parametrize(("name", "size"), [(name, size) for name in TRAVELLING for size in SIZES])
AT = np.linspace(-50.0, 50.0, 11)


def curves(build: Build) -> Curves:
    made = curves_of(build, solve(build))
    assert made is not None
    return made


def drawn(*shown: Panel, travel_mm: float = 0.0, size: tuple[float, float] = (300.0, 130.0)) -> Panels:
    return panels(Curves(AT, shown, Build().display), size, LIGHT, travel_mm)


def most(values: object, *limits: tuple[str, float], name: str = "") -> Panel:
    lines = tuple(LimitLine(word, value, word) for word, value in limits)  # type: ignore[arg-type]
    return Panel("uneven running", "rad/s²", (Series(name, np.asarray(values, float), "most"),), lines)


def shapes(page: Panels) -> list[Shape]:
    return [one for layer in page.layers for one in layer.items if isinstance(one, Shape)]


def lines(page: Panels, colour: str) -> list[Shape]:
    return [one for one in shapes(page) if not one.closed and one.stroke is not None and one.stroke.colour == colour]


def discs(page: Panels) -> list[Disc]:
    return [one for layer in page.layers for one in layer.items if isinstance(one, Disc)]


def said(page: Panels) -> list[str]:
    return [text for _, text in page.words]


def y_of(plot: Plot, value: float) -> float:
    return plot.box[3] - (value - plot.low) / (plot.high - plot.low) * (plot.box[3] - plot.box[1])


@EVERY
@pytest.mark.parametrize("share", [0.0, 0.4, 1.0])
def test_words_are_whole_on_the_page_in_their_panel_on_no_others_and_nine_points_at_least(
    name: str, size: tuple[float, float], share: float
) -> None:
    made = curves(sample(name))
    low, high = float(made.travel_mm[0]), float(made.travel_mm[-1])
    page = panels(made, size, LIGHT, low + share * (high - low))
    for (left, top, right, bottom), text in page.words:
        assert any(one.box[0] - 0.5 <= left and right <= one.box[2] + 0.5 for one in page.plots), text
        assert top >= 0.0
        assert bottom <= size[1], text
        assert "…" not in text
    for (one, text), (two, other) in itertools.combinations(page.words, 2):
        apart = one[2] <= two[0] or two[2] <= one[0] or one[3] <= two[1] or two[3] <= one[1]
        assert apart, (text, other)
    assert min(one.pt for layer in page.layers for one in layer.items if isinstance(one, Words)) >= 9.0


@EVERY
def test_five_panels_in_one_order_and_each_says_its_value_at_the_slider(name: str, size: tuple[float, float]) -> None:
    made = curves(sample(name))
    at = float(made.travel_mm[3]) + 1.0
    page = panels(made, size, LIGHT, at)
    titles = ["joint angles", "uneven running", "slip left", "slip engaged", "least gap"]
    assert [one.panel.title for one in page.plots] == titles
    assert [one.box[0] for one in page.plots] == sorted(one.box[0] for one in page.plots)
    for panel in made.panels:
        here = [at_travel(made, one, at) for one in panel.series]
        if here:
            assert " / ".join("–" if one is None else show(one, panel.kind, made.display) for one in here) in said(page)
        else:
            assert all(word in " ".join(said(page)) for word in panel.wants.split())


@EVERY
def test_everything_of_a_panel_lies_in_it(name: str, size: tuple[float, float]) -> None:
    page = panels(curves(sample(name)), size, LIGHT, 0.0)
    for one in shapes(page):
        for x, y in one.points:
            assert any(p.box[0] - 0.01 <= x <= p.box[2] + 0.01 for p in page.plots)
            assert -0.01 <= y <= size[1] + 0.01


def test_a_caution_line_is_dashed_a_hold_line_solid_and_both_stand_at_their_value() -> None:
    page = drawn(most(np.linspace(100.0, 350.0, 11), ("hold", 400.0), ("caution", 300.0)))
    (plot,) = page.plots
    for word, value, dashed in (("hold", 400.0, False), ("caution", 300.0, True)):
        (line,) = lines(page, LIGHT.colour(word))  # type: ignore[arg-type]
        assert [y for _, y in line.points] == pytest.approx([y_of(plot, value)] * 2)
        assert (line.points[0][0], line.points[1][0]) == (plot.box[0], plot.box[2])
        assert line.stroke is not None
        assert bool(line.stroke.dash) == dashed


@pytest.mark.parametrize("worst", ["most", "least"])
def test_tints_lie_on_the_bad_side_of_their_lines(worst: str) -> None:
    hold, caution = (400.0, 300.0) if worst == "most" else (100.0, 150.0)
    series = Series("", np.linspace(120.0, 350.0, 11), worst)  # type: ignore[arg-type]
    limits = (LimitLine("hold", hold, "hold"), LimitLine("caution", caution, "caution"))
    page = drawn(Panel("slip left", "mm", (series,), limits))
    (plot,) = page.plots
    tints = {one.fill: sorted({y for _, y in one.points}) for one in shapes(page) if one.closed and not one.stroke}
    ends = (plot.box[1], y_of(plot, hold)) if worst == "most" else (y_of(plot, hold), plot.box[3])
    assert tints[mixed(LIGHT.hold, LIGHT.paper, 0.13)] == pytest.approx(sorted(ends))
    between = sorted((y_of(plot, hold), y_of(plot, caution)))
    assert tints[mixed(LIGHT.caution, LIGHT.paper, 0.10)] == pytest.approx(between)


def test_a_line_far_off_is_left_to_the_findings() -> None:
    page = drawn(most(np.linspace(1.0, 5.0, 11), ("hold", 400.0), ("caution", 300.0)))
    assert not lines(page, LIGHT.hold)
    assert not lines(page, LIGHT.caution)


def test_curves_of_several_joints_differ_by_their_dashes() -> None:
    three = tuple(
        Series(name, AT / 10.0 + 10.0 + shift, "most") for shift, name in enumerate(("front", "centre", "rear"))
    )
    page = drawn(Panel("joint angles", "deg", three))
    dashes = [one.stroke.dash for one in lines(page, LIGHT.accent) if one.stroke is not None]
    assert len(dashes) == len(set(dashes)) == 3
    assert dashes[0] == ()


def test_what_is_not_known_of_a_curve_is_a_gap_in_it() -> None:
    values = np.linspace(100.0, 200.0, 11)
    values[4:6] = np.nan
    page = drawn(most(values))
    (plot,) = page.plots
    first, second = lines(page, LIGHT.accent)
    assert [len(first.points), len(second.points)] == [4, 5]
    assert first.points[-1][0] == pytest.approx(page.x_of(plot, float(AT[3])))
    assert second.points[0][0] == pytest.approx(page.x_of(plot, float(AT[6])))
    assert "–" in said(drawn(most(values), travel_mm=-5.0))
    assert not [
        one for layer in drawn(most(values), travel_mm=-5.0).layers for one in layer.items if isinstance(one, Disc)
    ]


def test_the_slider_stands_in_every_panel_with_a_ring_on_each_curve() -> None:
    page = panels(curves(sample("long_van_two_piece")), (1238.0, 169.0), LIGHT, 40.0)
    for plot in page.plots:
        x = page.x_of(plot, 40.0)
        upright = [one for one in lines(page, LIGHT.ink) if {px for px, _ in one.points} == {x}]
        assert [sorted(y for _, y in one.points) for one in upright] == [[plot.box[1], plot.box[3]]]
        assert page.travel_in(plot, x) == pytest.approx(40.0)
        rings = [
            one.centre for layer in page.layers for one in layer.items if isinstance(one, Disc) and one.centre[0] == x
        ]
        wanted = [at_travel(page.curves, one, 40.0) for one in plot.panel.series]
        assert [y for _, y in rings] == pytest.approx([y_of(plot, one) for one in wanted if one is not None])


def test_the_worst_over_the_travel_is_said_where_it_is_worse_than_here() -> None:
    build = sample("ranch_truck_swap")
    made = curves(build)
    found = worst_of(made, made.panels[1].series[0])
    assert found is not None
    told = f"up to {show(found[1], 'rad/s²', made.display)} at droop"
    assert found[0] == made.travel_mm[0]
    assert told in said(panels(made, (1238.0, 169.0), LIGHT, 0.0))
    assert not any(
        one.startswith("up to") and "rad" in one for one in said(panels(made, (1238.0, 169.0), LIGHT, found[0]))
    )
    # Where the panel is narrow its unit is left to the value beside it.
    assert "down to 1.29 at bump" in said(panels(made, (793.0, 110.0), LIGHT, 0.0))


@pytest.mark.parametrize(("value", "shape"), [(250.0, None), (350.0, "caution"), (450.0, "hold")])
def test_a_shape_stands_before_a_value_that_is_not_clear(value: float, shape: str | None) -> None:
    page = drawn(most(np.full(11, value), ("hold", 400.0), ("caution", 300.0)))
    marks = [one.fill for one in shapes(page) if one.closed and one.fill in {LIGHT.hold, LIGHT.caution}]
    assert marks == ([] if shape is None else [LIGHT.colour(shape)])  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("judged", "shape"), [("clear", None), ("unknown", None), ("caution", "caution"), ("hold", "hold")]
)
def test_no_mark_is_worse_than_the_finding_of_the_same_quantity(judged: str, shape: str | None) -> None:
    line = most(np.full(11, 450.0), ("hold", 400.0), ("caution", 300.0))
    capped = replace(line, judged="clear" if judged == "unknown" else judged)  # type: ignore[arg-type]
    marks = [one.fill for one in shapes(drawn(capped)) if one.closed and one.fill in {LIGHT.hold, LIGHT.caution}]
    assert marks == ([] if shape is None else [LIGHT.colour(shape)])  # type: ignore[arg-type]


@EVERY
def test_the_marks_of_every_sample_are_no_worse_than_its_findings(name: str, size: tuple[float, float]) -> None:
    build = sample(name)
    solution = solve(build)
    of = dict(
        zip(("joint_bind", "pinion_residual", "slip_left", "slip_engaged", "gap"), curves(build).panels, strict=True)
    )
    for kind, panel in of.items():
        found = {one.verdict for one in solution.findings if one.id.rstrip("_0123456789") == kind}
        page = panels(Curves(curves(build).travel_mm, (panel,), build.display), size, LIGHT, 0.0)
        marks = {one.fill for one in shapes(page) if one.closed and one.fill in {LIGHT.hold, LIGHT.caution}}
        assert LIGHT.hold not in marks or "hold" in found
        assert LIGHT.caution not in marks or found & {"hold", "caution"}


@EVERY
@pytest.mark.parametrize("share", [0.0, 0.4, 1.0])
def test_beside_a_loaded_axle_each_curve_says_that_it_is_without_torque(
    name: str, size: tuple[float, float], share: float
) -> None:
    made = curves(sample(name))
    low, high = float(made.travel_mm[0]), float(made.travel_mm[-1])
    page = panels(made, size, LIGHT, low + share * (high - low), loaded=True)
    for plot in page.plots:
        left, _, right, _ = plot.box
        own = [text for bounds, text in page.words if left - 0.5 <= bounds[0] and bounds[2] <= right + 0.5]
        assert any(text.startswith("without torque") for text in own) is bool(plot.panel.series), own
    for (one, text), (two, other) in itertools.combinations(page.words, 2):
        apart = one[2] <= two[0] or two[2] <= one[0] or one[3] <= two[1] or two[3] <= one[1]
        assert apart, (text, other)
    assert not any("torque" in one for one in said(panels(made, size, LIGHT, 0.0)))


def test_a_limit_that_counts_at_ride_height_alone_is_drawn_and_marked_there_alone() -> None:
    rising = replace(most(450.0 + 4.0 * AT, ("hold", 400.0), ("caution", 300.0)), at_ride=True)
    for travel, marked in ((-50.0, False), (0.0, True), (50.0, False)):
        page = drawn(rising, travel_mm=travel)
        (plot,) = page.plots
        marks = [one for one in shapes(page) if one.closed and one.fill in {LIGHT.hold, LIGHT.caution}]
        assert bool(marks) is marked
        tints = [one for one in shapes(page) if one.closed and one.stroke is None and one not in marks]
        limits = [*lines(page, LIGHT.hold), *lines(page, LIGHT.caution)]
        assert len(tints) == len(limits) == 2
        ride, wide = page.x_of(plot, 0.0), plot.box[2] - plot.box[0]
        for one in (*tints, *limits):
            assert all(abs(x - ride) <= 0.15 * wide for x, _ in one.points)
    words = said(drawn(rising, size=(400.0, 130.0)))
    assert any("judged at ride height" in one for one in words)


@pytest.mark.parametrize("wide", [300.0, 400.0, 700.0])
def test_where_a_limit_counts_is_said_behind_the_panels_title_on_its_line(wide: float) -> None:
    page = drawn(replace(most(450.0 + 4.0 * AT, ("hold", 400.0)), at_ride=True), size=(wide, 130.0))
    written = [one for layer in page.layers for one in layer.items if isinstance(one, Words)]
    (more,) = (one for one in written if one.text.startswith(" · judged at ride"))
    before = [one for one in written if one.base == more.base and one.x < more.x]
    assert any(one.x + width(one.text, one.pt) == pytest.approx(more.x, abs=0.5) for one in before)


@pytest.mark.parametrize("name", TRAVELLING)
def test_no_curve_lies_in_a_tint_that_its_findings_do_not_bear_out(name: str) -> None:
    """A curve in the red without a shape before it would ask which of the two is wrong."""
    build = sample(name)
    solution, made = solve(build), curves(build)
    kinds = ("joint_bind", "pinion_residual", "slip_left", "slip_engaged", "gap")
    for kind, plot in zip(kinds, panels(made, (1238.0, 169.0), LIGHT, 0.0).plots, strict=True):
        found = {one.verdict for one in solution.findings if one.id.rstrip("_0123456789") == kind}
        holds = [one.value for one in plot.panel.limits if one.verdict == "hold"]
        if len(holds) != 1 or "hold" in found:  # joints of unlike reach have lines of their own
            continue
        for series in plot.panel.series:
            near = np.abs(made.travel_mm) < 1.0 if plot.panel.at_ride else np.isfinite(series.values)
            worse = series.values > holds[0] if series.worst == "most" else series.values < holds[0]
            assert not (worse & near).any(), (kind, series.name)


def test_joints_of_unlike_reach_are_not_judged_by_each_others_lines() -> None:
    """The rear joint takes 32°, the front one 25°: 26° at the rear is clear, as the findings say."""
    made = curves(sample("front_axle_lift"))
    angles = made.panels[0]
    bent = tuple(
        replace(one, values=one.values * 0.0 + (5.0 if one.name == "front" else 26.0)) for one in angles.series
    )
    page = drawn(
        replace(angles, series=tuple(replace(one, values=one.values[:11]) for one in bent)), size=(500.0, 130.0)
    )
    assert "5.0° / 26.0°" in said(page)
    assert not [one for one in shapes(page) if one.closed and one.fill in {LIGHT.hold, LIGHT.caution}]


def test_a_panel_without_a_curve_says_in_words_what_to_measure() -> None:
    made = curves(edited(sample("ranch_truck_swap"), {"shaft.slip": None, "obstacles": ()}))
    page = panels(made, (1238.0, 169.0), LIGHT, 0.0)
    told = " ".join(said(page))
    assert "No obstacle is drawn or entered yet." in told
    assert "slip engaged at ride height" in told


@pytest.mark.parametrize("theme", THEMES.values(), ids=THEMES)
def test_words_and_lines_stand_off_their_ground(theme: Theme) -> None:
    tints = [mixed(theme.hold, theme.paper, 0.13), mixed(theme.caution, theme.paper, 0.10), theme.paper]
    for ground in tints:
        for colour in (theme.accent, theme.ink, theme.hold, theme.caution):
            assert contrast(colour, ground) >= 3.0
    page = panels(curves(sample("transfer_case_double_joint")), (1238.0, 169.0), theme, 0.0)
    for layer in page.layers:
        for one in layer.items:
            if isinstance(one, Words):
                assert contrast(one.colour, theme.paper) >= 4.5
