"""What the joints do to the motion of shaft and pinion, driven and coasting."""

from dataclasses import dataclass

import numpy as np

from geometry.document import Build
from geometry.frames import Directions, Floats
from geometry.joints import Homokinetic, operating_angle_deg, peak_accelerations, relative_phase_deg
from geometry.pose import is_front_axle, joints_of, phases_of


@dataclass(frozen=True, slots=True)
class ChainMotion:
    """Peak accelerations over the square of the shaft speed, and the joints' angles, for n positions.

    `residual` (n,) at the pinion with the output turning evenly; `drive` (k-1, n) of the shaft sections with the
    output turning evenly, `coast` (k-1, n) with the pinion turning evenly; `operating_deg` (k, n), front to rear.
    Sections are front to rear too.
    """

    residual: Floats
    drive: Floats
    coast: Floats
    operating_deg: Floats


def homokinetic_of(build: Build) -> Homokinetic:
    """Which joints, front to rear, pass the motion on evenly."""
    return np.array([joint.type != "cardan" for joint in joints_of(build)])


def chain_motion(build: Build, lines: Directions, phase_deg: Floats | None = None) -> ChainMotion:
    """Exact motion of the driveline's chain, lines (k+1, n, 3) front to rear; phases of the build, or (k-1, n) degrees.

    The chain is followed from the output to the pinion, whichever of them is in front, and back for coasting. The same
    phases serve both ways, see `geometry.joints`.
    """
    even = homokinetic_of(build)
    phase = _phases(build, lines.shape[1]) if phase_deg is None else phase_deg
    rearward = peak_accelerations(lines, even, phase)
    forward = peak_accelerations(-lines[::-1], even[::-1], phase[::-1])
    operating = operating_angle_deg(lines[:-1], lines[1:])
    if is_front_axle(build):
        return ChainMotion(forward[-1], forward[:-1][::-1], rearward[:-1], operating)
    return ChainMotion(rearward[-1], rearward[:-1], forward[:-1][::-1], operating)


def relative_phases(build: Build, lines: Directions) -> Floats:
    """Relative phase of each section, (k+1, n, 3) -> (k-1, n), degrees; nil is where a pair cancels best."""
    return relative_phase_deg(lines, _phases(build, lines.shape[1]))


def _phases(build: Build, rows: int) -> Floats:
    return np.broadcast_to(np.array(phases_of(build))[:, None], (lines_sections(build), rows))


def lines_sections(build: Build) -> int:
    """How many shaft sections the build has."""
    return len(joints_of(build)) - 1
