"""Builds of all kinds, plausible ones and whatever the document allows, through every output: each one is told.

An ordinary run tries a few; OUTPUT_BUILDS says how many (500 before a release, half an hour).
"""

import os

from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from app.curves.curves import curves_of
from app.curves.panels import panels
from app.drawing.drawing import drawing
from app.drawing.fonts import application
from app.drawing.palette import LIGHT
from app.drawing.subject import Subject
from app.papers.kinds import PAPERS, paper_pages
from app.papers.templates import dxf_text
from app.report import report_text
from app.setpoints import set_points
from geometry import Build, edited
from geometry.document.variant import Variant
from geometry.words.solve import Work, solved
from tests.geometry import conftest  # noqa: F401  (it knows what the document allows)
from tests.geometry.strategies import builds

application()
KEPT = Variant(name="kept", changes={"plan.rear_lift_mm": 30.0, "plan.lateral_link_longer_mm": None})
BUILDS = int(os.environ.get("OUTPUT_BUILDS") or 25)


def with_a_kept_plan(build: Build, kept: Variant | None) -> Build:
    try:
        return build if kept is None else edited(build, {"variants": (kept,)})
    except ValueError:  # no such plan can be kept beside it
        return build


@settings(
    max_examples=BUILDS, derandomize=True, deadline=None, database=None, phases=(Phase.generate,),
    suppress_health_check=list(HealthCheck),
)  # fmt: skip
@given(build=st.builds(with_a_kept_plan, builds(), st.sampled_from((None, KEPT))))
def test_every_output_holds_every_build(build: Build) -> None:
    work = Work(build)
    whole = solved(work)
    places = [0.0] if whole.travel is None else [0.0, whole.travel.axle_mm[0], whole.travel.axle_mm[-1]]
    for at in places:
        for torque in ("none", "launch"):
            here = work.posed(whole, at, torque)
            if here is not None:
                assert drawing(Subject(build, whole, here, at, torque), (1238.0, 719.0)).layers
    set_points(build, whole)
    curves = curves_of(build, whole)
    assert curves is None or panels(curves, (900.0, 160.0), LIGHT, 0.0).layers
    assert report_text(build, whole, "build.json")
    for what in PAPERS:
        assert paper_pages(what, build, whole, "a4", "build.json")
    dxf_text(build, whole)
