"""The view from above, at the same stations and scale: the shaft in plan, and the pinion's offset from the output."""

from __future__ import annotations

import itertools
from typing import TYPE_CHECKING

from app.drawing.axle import Housing, draw_axle, draw_yoke
from app.drawing.board import CENTRE_DASH
from app.drawing.fonts import shortened, width
from app.drawing.places import Hung, Pair, View, level
from app.drawing.powertrain import has_transfer_case, sizes_of
from app.drawing.running_gear import ABOVE, draw_brackets, draw_flexible_lines, draw_obstacle, draw_plate
from app.drawing.shaft import Section, ShaftPainter
from app.drawing.subject import TUBE_MM
from app.drawing.wording import offset_words
from geometry.document import value_at

if TYPE_CHECKING:
    from app.drawing.board import Board
    from app.drawing.subject import Subject

WORD_PT, QUIET_PT = 11.0, 9.0


def draw_above(board: Board, view: View, subject: Subject, *, busy: bool) -> None:
    """Draw the view from above; the words under it are `write_above`'s."""
    joints = tuple((x, y) for x, y, _ in subject.joints)
    output, nose = (joints[-1], joints[0]) if subject.ahead else (joints[0], joints[-1])
    for number, (obstacle, outline) in enumerate(
        zip(subject.build.obstacles, subject.picture.obstacles_mm, strict=True)
    ):
        if obstacle.view == "top":
            made = draw_obstacle(board, view, outline, number)
            xs, ys = [x for x, _ in made], [y for _, y in made]
            top, bottom = max(min(ys), view.box[1]), min(max(ys), view.box[3])
            if bottom - top > 13.0 * board.k:
                middle = (max(min(xs), view.box[0]) + min(max(xs), view.box[2])) / 2.0
                half = width(obstacle.name, QUIET_PT * board.k) / 2.0
                if not view.box[0] <= middle - half <= middle + half <= view.box[2]:
                    continue  # its name would be cut off with it
                board.write(
                    middle, (top + bottom) / 2.0 + 4.0 * board.k, obstacle.name, QUIET_PT * board.k, board.tint(0.78),
                    align="middle", z=3.0,
                )  # fmt: skip
    _powertrain(board, view, subject, output)
    _axle(board, view, subject, nose)
    draw_brackets(board, view, subject, ABOVE)
    draw_flexible_lines(board, view, subject, ABOVE)
    way, r = (1.0 if subject.ahead else -1.0), subject.joint_radius_mm
    draw_yoke(board, view, output, (way, 0.0), r)
    draw_yoke(board, view, nose, (-way, 0.0), r)
    painter, tubes, types = ShaftPainter(board, view, r), subject.tubes_mm, subject.joint_types
    slips = 0 if subject.ahead else len(joints) - 2
    for place, (one, two) in enumerate(itertools.pairwise(joints)):
        tube = tubes[min(place, len(tubes) - 1)]
        part = Section(one, two, tube or TUBE_MM, known=tube is not None)
        slip = subject.slip if place == slips else None
        painter.section(part, (types[place], types[place + 1]), slip, sleeve_first=not subject.ahead)
        board.line(view.all_px((one, two)), board.theme.ink, 1.0, z=9.0, dash=CENTRE_DASH)
        painter.joint(one, part.hung.along, types[place])
        if place == len(joints) - 2:
            painter.joint(two, part.hung.along, types[-1])
    _offset(board, view, subject, output, nose, busy=busy)


def _powertrain(board: Board, view: View, subject: Subject, output: Pair) -> None:
    hung, powertrain = level(output), subject.build.powertrain
    if subject.output_line is None:
        return
    long, tall, engine, _ = sizes_of(powertrain)
    if subject.ahead:
        board.part(view, hung, [(62.0, 34.0), (150.0, 60.0), (150.0, -60.0), (62.0, -34.0)], 0.11, z=3.0)
        case = [(150.0, 95.0), (385.0, 95.0), (385.0, -95.0), (150.0, -95.0)]
        board.part(view, hung, case, 0.13, z=3.0, round_mm=20.0)
        return

    def taper(first: float, one: float, last: float, two: float, share: float, z: float) -> None:
        board.part(view, hung, [(first, one), (last, two), (last, -two), (first, -one)], share, z=z)

    taper(-long - engine, 0.8 * tall, -long, 0.8 * tall, 0.08, 2.7)
    taper(-long, 0.75 * tall, -0.72 * long, 0.42 * tall, 0.11, 2.8)
    taper(-0.72 * long, 0.42 * tall, -0.42 * long, 0.36 * tall, 0.08, 2.9)
    if has_transfer_case(powertrain):
        taper(-0.42 * long, 0.48 * tall, -62.0, 0.40 * tall, 0.13, 3.0)
    else:
        taper(-0.42 * long, 0.34 * tall, -62.0, 0.18 * tall, 0.11, 3.0)


def _axle(board: Board, view: View, subject: Subject, nose: Pair) -> None:
    centre, picture = subject.picture.axle_centre_mm, subject.picture
    if centre is None:
        return
    half = subject.axle_tube_mm / 2.0
    tube = Hung((centre[0], centre[1]), (1.0, 0.0))
    board.part(view, tube, [(-half, 4000.0), (half, 4000.0), (half, -4000.0), (-half, -4000.0)], 0.14, z=2.6)
    for x, y in picture.perches_mm:
        draw_plate(board, view, (x, y), 66.0, 32.0, 0.40, z=2.8)
        if subject.spring:
            first, last = subject.spring[0][0], subject.spring[-1][0]
            draw_plate(board, view, ((first + last) / 2.0, y), (last - first) / 2.0, 30.0, 0.50, z=2.5)
    toward = (1.0, 0.0) if subject.ahead else (-1.0, 0.0)
    draw_axle(board, view, subject, Housing((centre[0], nose[1]), nose, toward, subject.axle_tube_mm))


def _offset(board: Board, view: View, subject: Subject, output: Pair, nose: Pair, *, busy: bool) -> None:
    """Centre lines of output and pinion, and arrows from outside onto both where they lie apart."""
    k, way = board.k, (1.0 if subject.ahead else -1.0)
    long, _, _, _ = sizes_of(subject.build.powertrain)
    centre = subject.picture.axle_centre_mm
    far_nose = 300.0 if centre is None else abs(centre[0] - nose[0]) + 0.9 * subject.housing_mm
    back = 0.47 * abs(nose[0] - output[0]) if busy and len(subject.joints) == 2 else 0.0
    for joint, sense, far in ((output, way, 420.0 if subject.ahead else 0.62 * long), (nose, -way, far_nose)):
        ends = ((joint[0] - sense * back, joint[1]), (joint[0] + sense * far, joint[1]))
        board.line(view.all_px(ends), board.theme.ink, 1.0, z=9.0, dash=CENTRE_DASH)
    first, last = sorted((view.y(output[1]), view.y(nose[1])))
    if last - first <= 2.5 or len(subject.joints) != 2:
        return
    middle = (view.x(output[0]) + view.x(nose[0])) / 2.0
    for joint in (output, nose):
        x, y = view.px(joint)
        end = middle + (8.0 * k if middle > x else -8.0 * k)
        board.line(((x + (middle - x) * 0.9, y), (end, y)), board.theme.ink, 1.0, z=9.0)
    above, below = max(first - 20.0 * k, view.box[1] + 2.0), min(last + 20.0 * k, view.box[3] - 1.0)
    for start, tip in (((middle, below), (middle, last)), ((middle, above), (middle, first))):
        board.arrow(start, tip, board.theme.ink, 1.3 * k, z=10.0, head=7.0 * k, half=2.4 * k)


def write_above(board: Board, subject: Subject, left: float, right: float, base: float, *, under_view: bool) -> None:
    """Write the line under the view, or in its place."""
    joints, k = subject.joints, board.k
    across = joints[-1][1] - joints[0][1]
    words = offset_words(
        -across if subject.ahead else across, subject.here.angles.shaft_plan_deg, subject.build.display
    )
    if subject.ahead and value_at(subject.build, "axle.pinion_offset_mm") is None:
        words = "pinion offset not measured: drawn in line"
    most, pt = right - left, WORD_PT * k
    if width(words, pt) > most:  # beside another view: the offset alone, at the least in smaller type
        words = words.partition(" · ")[0]
        pt = pt if width(words, pt) <= most else QUIET_PT * k
    end = left + width(words, pt)
    board.write(left, base, shortened(words, pt, most), pt, board.theme.ink)
    quiet = "from above, right side up" if under_view else "seen from above"
    if end + 16.0 * k + width(quiet, QUIET_PT * k) < right:
        board.write(right, base, quiet, QUIET_PT * k, board.theme.muted, align="right")
