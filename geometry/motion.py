"""What the joints do to the motion of shaft and pinion, driven and coasting."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from geometry.document import Build
from geometry.frames import Directions, Floats
from geometry.joints import Homokinetic, bends, out_of_phase_deg, peaks_of, relative_phase_deg, single_joint_peak
from geometry.pose import is_front_axle, joints_of, phases_of


@dataclass(frozen=True)
class ChainMotion:
    """Peak accelerations over the square of the shaft speed, and the joints' angles, for n positions.

    `lines` (k+1, n, 3) run from output to pinion, whichever is in front, and `even` and `phase_deg` go with them;
    `rearward` says whether that is front to rear.
    """

    lines: Directions
    even: Homokinetic
    phase_deg: Floats
    rearward: bool

    @cached_property
    def _bends(self) -> tuple[Floats, Floats]:
        return bends(self.lines)

    @cached_property
    def operating_deg(self) -> Floats:
        """Operating angles, (k, n), front to rear, degrees."""
        angles: Floats = np.degrees(self._bends[0])
        return angles if self.rearward else angles[::-1]

    @property
    def residual(self) -> Floats:
        """Peak acceleration at the pinion with the output turning evenly, (n,)."""
        residual: Floats = self._driven[-1]
        return residual

    @property
    def drive(self) -> Floats:
        """Peak acceleration of the shaft's sections with the output turning evenly, (k-1, n), front to rear."""
        return self._driven[:-1] if self.rearward else self._driven[:-1][::-1]

    @cached_property
    def coast(self) -> Floats:
        """Peak acceleration of the shaft's sections with the pinion turning evenly, (k-1, n), front to rear."""
        bend, turn = self._bends
        if len(bend) == 2:  # one section: what is seen of it from the pinion is one joint's own motion
            return np.zeros_like(bend[1:]) if self.even[1] else single_joint_peak(bend[1:])
        # Seen from the pinion, the sections come first; the output's own motion is not wanted.
        back = peaks_of(bend[:0:-1], turn[:0:-1], self.even[:0:-1], self.phase_deg[:0:-1])
        return back[::-1] if self.rearward else back

    @cached_property
    def _driven(self) -> Floats:
        return peaks_of(*self._bends, self.even, self.phase_deg)

    @cached_property
    def relative_phase_deg(self) -> Floats:
        """Phase of each section less the angle between its joints' planes, (k-1, n), from output to pinion, degrees."""
        return out_of_phase_deg(self._bends[1], self.phase_deg)

    def rows(self, rows: slice) -> "ChainMotion":
        """Return some rows."""
        some = ChainMotion(self.lines[:, rows], self.even, self.phase_deg[:, rows], self.rearward)
        # Worked out for all rows at once, the first time any of them is asked for.
        some.__dict__["_driven"] = self._driven[:, rows]
        some.__dict__["_bends"] = tuple(part[:, rows] for part in self._bends)
        return some


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
    if is_front_axle(build):
        return ChainMotion(-lines[::-1], even[::-1], phase[::-1], rearward=False)
    return ChainMotion(lines, even, phase, rearward=True)


def relative_phases(build: Build, lines: Directions) -> Floats:
    """Relative phase of each section, (k+1, n, 3) -> (k-1, n), degrees; nil is where a pair cancels best."""
    return relative_phase_deg(lines, _phases(build, lines.shape[1]))


def _phases(build: Build, rows: int) -> Floats:
    return np.broadcast_to(np.array(phases_of(build))[:, None], (lines_sections(build), rows))


def lines_sections(build: Build) -> int:
    """How many shaft sections the build has."""
    return len(joints_of(build)) - 1
