"""Schematic outlines of gearbox, engine and transfer case in side view, hung on the output joint and its line.

Every number may be one or an array; they broadcast to the shape (...) of the outlines, (..., 8, 2) in x and z, mm.
What is nan gives an outline of nan. The usual sizes are for the picture only: a guessed outline judges no gap.
"""

import numpy as np

from geometry.mechanics.vectors import Floats, Vector

GEARBOX_LENGTH_MM, GEARBOX_HEIGHT_MM = 760.0, 250.0
ENGINE_LENGTH_MM, ENGINE_HEIGHT_MM = 620.0, 640.0
"""Usual sizes, for the picture only: common practice."""
YOKE_MM = 55.0
"""How far behind the gearbox's case the output joint lies: usual."""
_BELL_MM = 200.0


def case_outline(joint: Vector, line: Vector) -> Floats:
    """Corners of a transfer case behind a front output joint, (...) -> (..., 8, 2), mm; of usual size.

    Parameters
    ----------
    joint
        Centres of the output joint, mm.
    line
        Output lines followed rearward, of any length.

    Examples
    --------
    >>> one, nil = np.float64(1.0), np.float64(0.0)
    >>> [round(float(part), 9) for part in case_outline(Vector(nil, nil, nil), Vector(one, nil, nil))[0]]
    [55.0, 85.0]
    """
    tall = GEARBOX_HEIGHT_MM
    along = (YOKE_MM, 130.0, 330.0, 390.0, 390.0, 330.0, 130.0, YOKE_MM)
    up = (0.34, 0.60, 0.60, 0.35, -0.30, -0.52, -0.52, -0.34)
    return _hung(joint, line, along, tuple(share * tall for share in up))


def gearbox_outline(joint: Vector, line: Vector, length_mm: Floats | float, height_mm: Floats | float) -> Floats:
    """Corners of the gearbox ahead of its output joint, (...) -> (..., 8, 2), mm.

    Parameters
    ----------
    joint, line
        As for `case_outline`.
    length_mm, height_mm
        From the bell housing's face to the joint's centre, and over all.

    Examples
    --------
    >>> one, nil = np.float64(1.0), np.float64(0.0)
    >>> corners = gearbox_outline(Vector(one * 1000.0, nil, nil), Vector(one, nil, nil), 800.0, 300.0)
    >>> [round(float(part), 9) for part in corners[3]]
    [200.0, 165.0]
    """
    bell = np.minimum(length_mm * 0.28, _BELL_MM)
    along = (
        -YOKE_MM, length_mm * -0.42, bell - length_mm, -1.0 * length_mm,
        -1.0 * length_mm, bell - length_mm, length_mm * -0.42, -YOKE_MM,
    )  # fmt: skip
    up = (0.30, 0.40, 0.46, 0.55, -0.45, -0.45, -0.42, -0.34)
    return _hung(joint, line, along, tuple(share * height_mm for share in up))


def engine_outline(
    joint: Vector,
    line: Vector,
    gearbox_length_mm: Floats | float,
    length_mm: Floats | float,
    height_mm: Floats | float,
) -> Floats:
    """Corners of the engine ahead of the gearbox, (...) -> (..., 8, 2), mm.

    Parameters
    ----------
    joint, line
        As for `case_outline`.
    gearbox_length_mm
        From the engine's rear face to the output joint's centre.
    length_mm, height_mm
        Over all.

    Examples
    --------
    >>> one, nil = np.float64(1.0), np.float64(0.0)
    >>> corners = engine_outline(Vector(one * 1000.0, nil, nil), Vector(one, nil, nil), 800.0, 500.0, 700.0)
    >>> [round(float(part), 9) for part in corners[3]]
    [-300.0, 294.0]
    """
    start = -1.0 * gearbox_length_mm
    ways = (0.0, 0.12, 0.88, 1.0, 1.0, 0.62, 0.10, 0.0)
    up = (0.55, 0.66, 0.66, 0.42, -0.18, -0.34, -0.34, -0.20)
    along = tuple(start - way * length_mm for way in ways)
    return _hung(joint, line, along, tuple(share * height_mm for share in up))


def _hung(joint: Vector, line: Vector, along: tuple[Floats | float, ...], up: tuple[Floats | float, ...]) -> Floats:
    """Corners told along the line from the joint, rearward positive, and up from the line, laid in side view."""
    size = np.sqrt(line.x * line.x + line.z * line.z)
    size = np.where(size > 0.0, size, np.nan)
    x, z = line.x / size, line.z / size
    widest = sum(along) + sum(up) + x + z + joint.x + joint.z
    outline = np.empty((*np.shape(widest), len(along), 2))
    for corner, (far, high) in enumerate(zip(along, up, strict=True)):
        outline[..., corner, 0] = joint.x + far * x - high * z
        outline[..., corner, 1] = joint.z + far * z + high * x
    return outline
