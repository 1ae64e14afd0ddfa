"""Torque bars by rows: their lever on the axle, the force in them, and the wind-up that their float leaves.

A bar is a rod with a pivot at the frame and one on the axle's housing. Every number is one number or an array; all
broadcast. Call under `np.errstate(all="ignore")`.
"""

import numpy as np

from geometry.mechanics.vectors import RADIAN, Floats, Vector


def lever_mm(frame: Vector, axle: Vector, centre: Vector) -> Floats:
    """How far a bar's line passes from the axle's centre in side view, mm; positive where it passes below.

    nan where both pivots lie in one point of the side view.

    >>> from geometry.mechanics.vectors import ZERO, number
    >>> frame, pivot = Vector(number(2000.0), ZERO, number(300.0)), Vector(number(2600.0), ZERO, number(300.0))
    >>> float(lever_mm(frame, pivot, Vector(number(2640.0), ZERO, number(420.0))))
    120.0

    Source: plane geometry: the distance of a point from a line.
    """
    along_x, along_z = axle.x - frame.x, axle.z - frame.z
    reach = np.hypot(along_x, along_z)
    over = (centre.z - frame.z) * along_x - (centre.x - frame.x) * along_z
    found: Floats = np.sign(along_x) * over / np.where(reach > 0.0, reach, np.nan)
    return found


def force_n(torque_nm: Floats, levers_mm: Floats) -> Floats:
    """Force along a bar that holds the axle's housing against a torque, N: T over the lever, or over all bars' levers.

    The springs are taken to bear nothing of the torque, only the force that is opposite to the bar's, at the axle's
    centre.

    >>> from geometry.mechanics.vectors import number
    >>> round(float(force_n(number(5000.0), number(200.0))))
    25000

    Source: statics: the moments about the axle's centre.
    """
    return torque_nm / (levers_mm * 1e-3)


def held_deg(play_mm: Floats, lever_mm: Floats) -> Floats:
    """How far the axle winds up before a bar with so much play holds it, degrees: play over the lever.

    >>> from geometry.mechanics.vectors import number
    >>> round(float(held_deg(number(10.0), number(200.0))), 3)
    2.865

    Source: arc over radius; the bar's line keeps its distance from the centre over so small a turn.
    """
    turn: Floats = play_mm / np.abs(lever_mm) / RADIAN
    return turn
