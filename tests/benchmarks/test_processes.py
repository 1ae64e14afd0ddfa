"""Whole processes, in turn with their floors."""

IMPORTS = ["-c", "import numpy, pydantic, shapely"]
MODELS = [
    "-c",
    "import numpy, shapely\nfrom pydantic import BaseModel\nclass One(BaseModel):\n    a: float\nOne(a=1.0)",
]
BARE_WINDOW = [
    "-c",
    """
import sys
from PySide6.QtWidgets import QApplication, QMainWindow
from PySide6.QtCore import QTimer
import numpy, pydantic, shapely
application = QApplication(sys.argv)
window = QMainWindow()
window.resize(1400, 900)
window.show()
window.repaint()
QTimer.singleShot(0, application.quit)
application.exec()
""",
]
OUR_WINDOW = [
    "-c",
    """
import sys
from pathlib import Path
from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication
application = QApplication(sys.argv)
from app.files import read_build
from app.window.shell.main_window import MainWindow
window = MainWindow(read_build(Path(sys.argv[1])), None)
window.resize(1400, 900)
window.show()
window.repaint()
QTimer.singleShot(0, lambda: __import__("os")._exit(0))
application.exec()
""",
]


def test_solve_command(record, in_turn, busiest_path):
    ours, floor, models = in_turn(["-m", "app", "solve", str(busiest_path)], IMPORTS, MODELS, runs=15)
    record("python -m app solve", ours, "s", most=1.3, floor=floor, floor_name="import numpy, pydantic, shapely")
    record("python -m app solve", ours, "s", most=1.3, floor=models, floor_name="the same with one pydantic model")


def test_window_and_sheet(record, in_turn, busiest_path, tmp_path):
    sheet = ["-m", "app", "sheet", str(busiest_path), "-o", str(tmp_path / "sheet.pdf")]
    bare, ours, paper = in_turn(BARE_WINDOW, [*OUR_WINDOW, str(busiest_path)], sheet, runs=9)
    record(
        "start to first painted window", ours, "s", most=1.3, floor=bare, floor_name="bare window, libraries imported"
    )
    record("python -m app sheet", paper, "s", most=3.0, floor=bare, floor_name="bare window, libraries imported")
    record("sheet file", (tmp_path / "sheet.pdf").stat().st_size / 1000.0, "kB", most=300.0)
