"""A rigid axle whose two ends stand at different heights, as when one wheel hangs: where a point on it goes, by rows.

Each end of the axle follows the springs' or links' path in side view by itself. The line between the ends then leans
across the vehicle, and swings a little in plan as well; the axle's middle lies halfway between its ends.
"""

import numpy as np

from geometry.mechanics.vectors import Floats, Vector, turned


def carried(arm: Vector, turn_deg: Floats, apart: Vector) -> Vector:
    """Where an arm from the axle's middle points with the axle turned in side view, then tilted, mm.

    The axle is tilted the shortest way that brings the cross-car direction onto `apart`.

    Parameters
    ----------
    arm
        From the axle's middle to the point, as measured, mm.
    turn_deg
        How far the axle is turned in side view, nose up, degrees.
    apart
        From the axle's left end to its right one, of any length: nothing rearward and up where both stand alike.

    Examples
    --------
    >>> from geometry.mechanics.vectors import ZERO, number
    >>> arm, apart = Vector(ZERO, number(500.0), ZERO), Vector(ZERO, number(4.0), number(3.0))
    >>> [round(float(part), 9) for part in carried(arm, ZERO, apart)]  # 500 along 4 to 3
    [0.0, 400.0, 300.0]

    Source: Rodrigues' formula for the shortest turn of one direction onto another, any textbook on rotations.
    """
    x, y, z = turned(arm, turn_deg)
    size = np.sqrt(apart.x * apart.x + apart.y * apart.y + apart.z * apart.z)
    across = Vector(apart.x / size, apart.y / size, apart.z / size)
    share = (x * across.x + z * across.z) / (1.0 + across.y)
    return Vector(
        x - share * across.x + y * across.x,
        y * across.y - share * (1.0 + across.y),
        z - share * across.z + y * across.z,
    )


def ends_apart(spacing_mm: Floats, rearward_mm: Floats, up_mm: Floats) -> Vector:
    """From an axle's left end to its right one, which stands so far rearward and up of it, mm; nan where it cannot.

    >>> from geometry.mechanics.vectors import ZERO, number
    >>> round(float(ends_apart(number(1000.0), ZERO, number(280.0)).y), 9)
    960.0
    """
    across = np.sqrt(spacing_mm * spacing_mm - rearward_mm * rearward_mm - up_mm * up_mm)
    return Vector(rearward_mm + 0.0 * across, across, up_mm + 0.0 * across)
