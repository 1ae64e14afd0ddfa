"""The build document: what can be entered, the whole of it, and how it is edited."""

from geometry.document.build import FORMAT, Build, edited, value_at

__all__ = ["FORMAT", "Build", "edited", "value_at"]
