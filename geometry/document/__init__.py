"""The build document: what can be entered, the whole of it, and how it is edited."""

from geometry.document.build import FORMAT, Build, edited, is_front_axle, joints_of, value_at

__all__ = ["FORMAT", "Build", "edited", "is_front_axle", "joints_of", "value_at"]
