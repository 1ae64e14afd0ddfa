"""The one application of a run, made before anything asks for one: a page wants less of it than a window."""

from PySide6.QtWidgets import QApplication

_APPLICATION = QApplication.instance() or QApplication([])
