"""The lateral link, by rows: how far it draws the axle sideways, and how long it must be made to leave it central.

Every number is one number or an array; all broadcast. What is not known or cannot be is nan in its own row. Call under
`np.errstate(all="ignore")`.
"""

import numpy as np

from geometry.mechanics.vectors import NAN, RADIAN, ZERO, Floats, Vector, apart_mm, minus


def side_shift(frame: Vector, axle: Vector, dz_mm: Floats, dx_mm: Floats, longer_mm: Floats = ZERO) -> Floats:
    """Sideways displacement of the axle, mm, positive to the right: the link's end stays on its arc in rear view.

    With (X, Y, Z) from frame bolt to axle bolt and l the link's length as made, the new Y is
    `sqrt(l² − (X + dx)² − (Z + dz)²)` with Y's own sign; its change is computed without cancellation. Exact for an axle
    that moves straight up and sideways; that the axle's turning shifts the bolt a little is left out.

    >>> from geometry.mechanics.vectors import number
    >>> frame, axle = (Vector(number(0.0), number(y), number(300.0)) for y in (450.0, -450.0))
    >>> round(float(side_shift(frame, axle, number(100.0), ZERO)), 4)
    5.5728

    Parameters
    ----------
    frame, axle
        Bolt centres at ride height, mm.
    dz_mm, dx_mm
        Axle relative to the frame: up, and rearward on its path, mm.
    longer_mm
        How much longer the link is made than the distance between its bolts as measured, mm; below nil: shorter.

    Returns
    -------
    Floats
        From where the axle stood when measured; exactly nil at no travel with the link as measured. Nan beyond the
        travel at which the link would stand upright, where both bolts have one y (such a link cannot hold the axle
        sideways), and where the link is shortened to nothing.

    Source: plane geometry of the circle.
    """
    ahead, across, above = minus(axle, frame)
    length = apart_mm(frame, axle)
    change = longer_mm * (2.0 * length + longer_mm) - _square_grown(ahead, above, dz_mm, dx_mm)
    width = abs(across)
    left = np.sqrt(across * across + change) + 0.0 / (length + longer_mm > 0.0)
    return (across / width) * (change / (left + width))


def slope_behind_deg(one: Vector, two: Vector) -> Floats:
    """Slope of the line through two points seen from behind, degrees, −90 to 90; nan where they are one point there.

    >>> from geometry.mechanics.vectors import number
    >>> low, high = (Vector(number(0.0), number(y), number(z)) for y, z in ((400.0, 350.0), (-400.0, 450.0)))
    >>> round(float(slope_behind_deg(high, low)), 3), round(float(slope_behind_deg(low, high)), 3)  # 100 over 800
    (-7.125, -7.125)

    Source: plane geometry.
    """
    across, up = two.y - one.y, two.z - one.z
    known = np.where((across == 0.0) & (up == 0.0), NAN, 0.0)
    return np.arctan2(np.where(across < 0.0, -up, up), np.abs(across)) / RADIAN + known


def centring_change_mm(frame: Vector, axle: Vector, dz_mm: Floats, dx_mm: Floats) -> Floats:
    """How much longer than measured the link must be made for no side shift there, mm; below nil: shorter.

    That is where the axle, displaced by dz_mm up and dx_mm rearward, stands sideways as it did when measured: the
    distance between the bolts there less the one now, computed without cancellation. Nan where both bolts have one y.

    >>> from geometry.mechanics.vectors import number
    >>> frame, axle = (Vector(number(0.0), number(y), number(300.0)) for y in (450.0, -450.0))
    >>> round(float(centring_change_mm(frame, axle, number(-100.0), ZERO)), 4)
    5.5385

    Source: plane geometry.
    """
    ahead, across, above = minus(axle, frame)
    length = apart_mm(frame, axle)
    grown = _square_grown(ahead, above, dz_mm, dx_mm)
    known = 0.0 * across / across
    return grown / (np.sqrt(length * length + grown) + length) + known


def _square_grown(ahead: Floats, above: Floats, dz_mm: Floats, dx_mm: Floats) -> Floats:
    """What (X + dx)² + (Z + dz)² is more than X² + Z², mm²."""
    return dz_mm * (2.0 * above + dz_mm) + dx_mm * (2.0 * ahead + dx_mm)
