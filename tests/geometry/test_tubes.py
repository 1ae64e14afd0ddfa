"""The choice of a tube: every row's verdicts are what `solve` says of the build that has it, the best comes first."""

import numpy as np
import pytest

from geometry import Build, Solution, edited, solve, value_at
from geometry.document.vehicle import Display
from geometry.mechanics.trade_sizes import STOCK_TUBES
from geometry.words.tubes import OWN_LIST, PRESENT, TubeOption, bearing_words, diameters_had, tube_name, tube_options
from tests.geometry.strategies import WHOLE, sample
from tests.geometry.told_build import as_planned

RANCH, VAN, RIG = sample("ranch_truck_swap"), sample("long_van_two_piece"), sample("front_axle_lift")
NAMES = [build.title.partition(":")[0] for build in WHOLE]
OWN: dict[str, object] = {
    "tube_stock": (
        {"outer_diameter_mm": 80.0, "wall_mm": 3.0, "yield_mpa": 420.0},
        {"outer_diameter_mm": 100.0, "wall_mm": 4.0, "material": "aluminium"},
        {"outer_diameter_mm": 100.0},
    )
}


def verdict_of(solution: Solution, name: str) -> str | None:
    return next((one.verdict for one in solution.findings if one.id == name), None)


def against(solution: Solution) -> tuple[int, ...]:
    """How many findings hold, and how many warn."""
    verdicts = [one.verdict for one in solution.findings]
    return verdicts.count("hold"), verdicts.count("caution")


def agree(build: Build, option: TubeOption) -> None:
    """One row against the whole answer of the build with its changes."""
    solution = solve(edited(build, option.changes))
    assert option.verdict == solution.verdict
    assert option.holds == sum(one.verdict == "hold" for one in solution.findings)
    assert option.cautions == sum(one.verdict == "caution" for one in solution.findings)
    assert option.critical_verdict == verdict_of(solution, "critical_speed")
    assert option.shear_verdict == verdict_of(solution, "tube_shear")
    shaft = solution.shaft
    for told, expected in (
        (option.critical_rpm, shaft.critical_rpm), (option.mass_kg, shaft.mass_kg), (option.shear_mpa, shaft.shear_mpa),
    ):  # fmt: skip
        assert (told is None) == (expected is None)
        assert told is None or told == pytest.approx(expected, rel=1e-9)
    angles = [one.operating_deg for one in solution.joints if one.operating_deg is not None]
    assert option.least_angle_deg == pytest.approx(min(angles))
    worst = {"hold": 0, "caution": 1, "unknown": 2, "clear": 3}
    gaps = [one for one in solution.findings if one.id.startswith("gap_")]
    assert (option.gap_verdict is None) == (not gaps)
    if gaps:
        assert option.gap_verdict == min(gaps, key=lambda one: worst[one.verdict]).verdict
    assert len(solution.joints) == option.pieces + 1
    assert option.bearing_mm == value_at(edited(build, option.changes), "shaft.bearing_mm")


@pytest.mark.parametrize("build", WHOLE, ids=NAMES)
def test_a_rows_verdicts_are_what_solve_says(build: Build) -> None:
    options = tube_options(build)
    assert {one.pieces for one in options} == {1, 2}
    for pieces in (1, 2):
        some = [one for one in options if one.pieces == pieces]
        for option in (some[0], some[len(some) // 2], some[-1]):
            agree(build, option)


@pytest.mark.parametrize("build", WHOLE, ids=NAMES)
def test_all_stock_in_one_piece_and_in_two_and_the_present_tube_once(build: Build) -> None:
    options = tube_options(build)
    present = [one for one in options if one.present]
    assert [one.source for one in present] == [PRESENT]
    assert present[0].pieces == len(solve(build).joints) - 1
    assert edited(build, present[0].changes) == build
    others = [one for one in options if one.pieces != present[0].pieces]
    assert {(one.material, one.outer_mm, one.wall_mm) for one in others} == {one[:3] for one in STOCK_TUBES}
    assert all("from memory" in one.source for one in options if not one.present)
    sizes = [(one.pieces, one.material, round(one.outer_mm), round(one.wall_mm, 1)) for one in options]
    assert len(set(sizes)) >= len(sizes) - 1  # one stocked tube may be near the present one, and no nearer


def test_the_best_comes_first() -> None:
    ranks = [(one.holds, one.cautions, one.mass_kg) for one in tube_options(RANCH)]
    assert ranks == sorted(ranks)


def test_the_question_on_the_shop_floor() -> None:
    """Heavy wall at 3.5 in, 4 in, or 5 in of aluminium: each is there, with its margin, its shear and its weight."""
    found = {(one.material, round(one.outer_mm / 25.4, 2), round(one.wall_mm / 25.4, 3)): one
             for one in tube_options(RANCH) if one.pieces == 1}  # fmt: skip
    heavy, four, five = (
        found[key] for key in (("steel", 3.5, 0.095), ("steel", 4.0, 0.083), ("aluminium", 5.0, 0.125))
    )
    length_m = (as_planned(RANCH).length_mm or 0.0) / 1e3
    for one, modulus, density in ((heavy, 207e9, 7850.0), (four, 207e9, 7850.0), (five, 68.9e9, 2700.0)):
        outer, inner = one.outer_mm * 1e-3, (one.outer_mm - 2.0 * one.wall_mm) * 1e-3
        # Pinned beam, any vibration text: n = 30 pi / L² √(E (D² + d²)/(16 rho)).
        critical = 30.0 * np.pi / length_m**2 * np.sqrt(modulus * (outer**2 + inner**2) / 16.0 / density)
        assert one.critical_rpm == pytest.approx(critical, rel=1e-6)
        assert one.mass_kg == pytest.approx(density * np.pi / 4.0 * (outer**2 - inner**2) * length_m, rel=1e-6)
        assert one.share == pytest.approx((one.highest_rpm or 0.0) / critical)
        assert one.swing_mm == pytest.approx(max(one.outer_mm, np.hypot(3.625, 1.188) * 25.4))
    assert five.mass_kg < heavy.mass_kg  # type: ignore[operator]
    assert "3.50 × 0.095 in steel in one piece, from memory: measure the part." in heavy.says
    assert "at most 0.65 is wanted" in heavy.says


def test_a_list_of_one_material_offers_no_other() -> None:
    stock = ({"outer_diameter_mm": 88.9, "wall_mm": 2.1, "material": "steel"},)
    options = tube_options(edited(RANCH, {"tube_stock": stock}))
    assert {one.material for one in options} == {"steel"}
    assert {one.outer_mm for one in options if not one.present} == {88.9}


def test_a_persons_own_list_wins() -> None:
    options = [one for one in tube_options(edited(RANCH, OWN)) if not one.present]
    assert {one.source for one in options} == {OWN_LIST}
    assert {(one.material, one.outer_mm, one.wall_mm) for one in options} == {
        ("steel", 80.0, 3.0), ("aluminium", 100.0, 4.0),
    }  # fmt: skip
    for option in options:
        agree(edited(RANCH, OWN), option)
    strong = next(one for one in options if one.outer_mm == 80.0 and one.pieces == 1)
    assert strong.changes["shaft.tube.yield_mpa"] == 420.0


def test_a_stocked_tubes_own_yield_counts_and_else_that_of_its_material() -> None:
    """The same tube soft, as usual, and hard: only the soft one is too weak."""
    size = {"outer_diameter_mm": 88.9, "wall_mm": 3.0, "material": "steel"}
    stock = tuple(
        size | {"wall_mm": 3.0 + 0.01 * number, "yield_mpa": of} for number, of in enumerate((90.0, None, 700.0))
    )
    build = edited(RANCH, {"tube_stock": stock})
    options = {round(one.wall_mm, 2): one for one in tube_options(build) if one.pieces == 1 and not one.present}
    assert [options[wall].shear_verdict for wall in (3.0, 3.01, 3.02)] == ["hold", "clear", "clear"]
    for option in options.values():
        agree(build, option)


def test_the_bearing_of_two_pieces_lies_between_and_the_first_joint_nearly_straight() -> None:
    for build in (RANCH, RIG):
        output, centre = value_at(build, "powertrain.output_joint_mm"), value_at(build, "axle.centre_mm")
        two = next(one for one in tube_options(build) if one.pieces == 2)
        assert two.bearing_mm is not None
        assert min(output[0], centre[0]) < two.bearing_mm[0] < max(output[0], centre[0])
        made = solve(edited(build, two.changes))
        at_output = made.joints[-1 if build is RIG else 0].operating_deg
        assert at_output is not None
        assert 0.5 <= at_output <= 1.5
        one, other = (part.length_mm or 0.0 for part in made.shaft.sections)
        assert 0.6 < one / other < 1.6
        where = "ahead of" if build is RIG else "behind"
        assert f"{where} the output's joint, " in two.says
        assert "Its support bearing sits" in two.says


def test_where_the_bearing_of_two_pieces_sits_is_told_along_the_floor_and_up_from_it() -> None:
    at = {"shaft.bearing_mm": (1700.0, 40.0, 520.0), "display.length": "millimetre"}
    for x, where in (
        (1490.0, "210 mm (8.27 in) behind the output's joint"),
        (1750.0, "50 mm (1.97 in) ahead of the output's joint"),
    ):
        says = bearing_words(edited(VAN, {**at, "powertrain.output_joint_mm": (x, 0.0, 600.0)}))
        assert says == f", its support bearing {where}, 520 mm (20.47 in) up from the floor"
    says = bearing_words(edited(VAN, {**at, "powertrain.output_joint_mm": None}))
    assert says == ", its support bearing 520 mm (20.47 in) up from the floor"


def test_a_longer_shaft_that_whirls_is_better_in_two() -> None:
    """The van's two pieces as one would turn beyond its critical speed with every tube."""
    options = tube_options(VAN)
    assert options[0].pieces == 2
    assert {one.critical_verdict for one in options if one.pieces == 1} == {"hold"}
    assert {one.critical_verdict for one in options if one.pieces == 2} == {"clear"}
    assert all(one.changes.keys() == {"shaft"} for one in options if one.pieces == 1)


def test_tubes_that_differ_are_no_present_one() -> None:
    mixed = edited(VAN, {"shaft.front_tube.wall_mm": 3.0})
    assert not [one for one in tube_options(mixed) if one.present]


@pytest.mark.parametrize(
    "build", [Build(), sample("three_angles_and_a_length"), edited(RANCH, {"axle": None, "readings": None})]
)
def test_with_little_known_what_is_unknown_says_so(build: Build) -> None:
    options = tube_options(build)
    assert {one.pieces for one in options} == {1}  # nobody knows where a bearing would sit
    assert {one.critical_verdict for one in options} == {"unknown"}
    assert not [one for one in options if one.verdict == "clear"]
    assert edited(build, options[0].changes).shaft is not None


def test_two_pieces_become_one_though_nothing_else_is_known() -> None:
    bare = edited(Build(), {"shaft": {"kind": "two_piece"}})
    options = tube_options(bare)
    assert {one.pieces for one in options} == {1, 2}
    assert {one.bearing_mm for one in options} == {None}


def test_joints_that_are_not_described_are_not_made_up() -> None:
    plain = edited(RANCH, {"shaft.front_joint": None, "shaft.rear_joint": None})
    two = next(one for one in tube_options(plain) if one.pieces == 2)
    made = edited(plain, two.changes)
    assert value_at(made, "shaft.centre_joint.series") is None
    kept = edited(RANCH, next(one for one in tube_options(RANCH) if one.pieces == 2).changes)
    assert value_at(kept, "shaft.centre_joint.series") == "1350"
    assert value_at(kept, "shaft.front_end") == value_at(RANCH, "shaft.front_end")


def test_a_build_without_trouble_says_so() -> None:
    quiet = edited(RANCH, {"plan": None})
    says = {one.says for one in tube_options(quiet) if not one.holds and not one.cautions}
    assert all(one.endswith("No finding holds or warns.") for one in says)
    rough = next(one for one in tube_options(VAN) if one.holds and one.cautions)
    assert f"Of all findings {rough.holds} hold and {rough.cautions} warn." in rough.says


def test_names_in_both_units() -> None:
    assert tube_name("steel", 101.6, 3.4036, Display(length="inch")) == "4.00 × 0.134 in steel"
    assert tube_name("aluminium", 127.0, 3.175, Display(length="millimetre")) == "127.0 × 3.2 mm aluminium"


def test_another_diameter_is_of_no_weaker_steel_and_of_the_persons_own_list() -> None:
    """The plan changes the diameter alone: a soft one of the list was judged with the yield of the one it replaces.

    And a list of 80 and 100 mm was answered with a tube of 88.9 mm.
    """
    tube = {"outer_diameter_mm": 63.5, "wall_mm": 3.0, "yield_mpa": 400.0}
    stock = tuple(
        {"outer_diameter_mm": outer, "wall_mm": wall, "yield_mpa": of, "material": material}
        for outer, wall, of, material in (
            (80.0, 3.0, 400.0, "steel"), (85.0, 3.0, 399.0, "steel"), (90.0, 3.0, None, "steel"),
            (95.0, 3.1, 500.0, "steel"), (100.0, 3.0, 450.0, "steel"), (105.0, 3.0, 500.0, "aluminium"),
        )
    )  # fmt: skip
    thin = edited(RANCH, {"shaft.tube": tube})
    own = edited(thin, {"tube_stock": stock})
    assert diameters_had(own) == {"shaft.tube": (80.0, 100.0)}
    usual = edited(own, {"shaft.tube.yield_mpa": None})  # 379 MPa, as of the one without
    assert diameters_had(usual) == {"shaft.tube": (80.0, 85.0, 90.0, 100.0)}
    for build, sizes in (
        (own, {80.0, 100.0}),
        (thin, {69.85, 76.2, 88.9, 101.6}),
        (edited(own, {"tube_stock": stock[2:5]}), {100.0}),
    ):
        whole = solve(build)
        asked = {
            way.changes["shaft.tube.outer_diameter_mm"]: way
            for one in whole.findings
            for way in (one.remedy, *one.alternatives)
            if way is not None and "shaft.tube.outer_diameter_mm" in way.changes
        }
        assert asked.keys() <= sizes
        assert asked
        for way in asked.values():
            assert against(solve(edited(build, way.changes))) < against(whole)
    assert not [
        way for one in solve(edited(own, {"tube_stock": stock[1:4]})).findings
        for way in (one.remedy, *one.alternatives) if way is not None and "shaft.tube.outer_diameter_mm" in way.changes
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("name", "joint"),
    [("ranch_truck_swap", "front"), ("ranch_truck_swap", "rear"), ("long_van_two_piece", "front"),
     ("long_van_two_piece", "centre"), ("long_van_two_piece", "rear")],
)  # fmt: skip
def test_a_shaft_swings_as_wide_as_its_widest_joint(name: str, joint: str) -> None:
    """At either end or between its pieces."""
    build = edited(sample(name), {f"shaft.{joint}_joint.swing_mm": 190.0})
    pieces = 2 if build.shaft is not None and build.shaft.kind == "two_piece" else 1
    assert {one.swing_mm for one in tube_options(build) if one.pieces == pieces} == {190.0}
