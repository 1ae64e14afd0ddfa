"""The build document and all mechanics of a driveline: pure, typed, no Qt, no drawing, no files, no clock."""

from geometry.document import Build, edited, value_at
from geometry.solution import Solution
from geometry.solve import solve

__all__ = ["Build", "Solution", "edited", "solve", "value_at"]
