"""The build document and all mechanics of a driveline: pure, typed, no Qt, no drawing, no files, no clock."""

from geometry.document import Build, edited, value_at
from geometry.words.solution import Solution
from geometry.words.solve import solve

__all__ = ["Build", "Solution", "edited", "solve", "value_at"]
