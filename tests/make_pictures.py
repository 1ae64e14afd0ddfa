"""Makes the README's pictures with the program itself: `python tests/make_pictures.py`, from the project's folder.

It also writes down what every page and pane looks like, for the tests that compare (`tests/regression`).

The sheet's picture needs pdftoppm (poppler); without it that one picture is left as it is, and this is said.
"""

from __future__ import annotations

import shutil
import subprocess
import sys
import tempfile
from datetime import date
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT))
from tests.screen import unseen  # noqa: E402

unseen()
SAMPLES = ROOT / "sample_builds"
PICTURES = SAMPLES / "pictures"
DAY = date(2026, 1, 15)


def sketches() -> None:
    """Side and top view of every sample."""
    from app.drawing.picture_files import png_bytes, sketch
    from app.files import read_build
    from geometry import solve

    for sample in sorted(SAMPLES.glob("*.json")):
        build = read_build(sample)
        (PICTURES / f"{sample.stem}.png").write_bytes(png_bytes(sketch(build, solve(build)), density=1.0))


def sheet() -> None:
    """The build sheet of the first sample."""
    from app.files import read_build
    from app.sheet import sheet_bytes
    from geometry import solve

    tool = shutil.which("pdftoppm")
    if tool is None:
        sys.stderr.write("pdftoppm is not here, so the sheet's picture stays as it is.\n")
        return
    sample = SAMPLES / "ranch_truck_swap.json"
    build = read_build(sample)
    with tempfile.TemporaryDirectory() as folder:
        page = Path(folder) / "sheet.pdf"
        page.write_bytes(sheet_bytes(build, solve(build), paper="letter", source_name=sample.name, printed_on=DAY))
        out = PICTURES / "sheet"
        subprocess.run([tool, "-r", "110", "-png", "-singlefile", str(page), str(out)], check=True)


def windows() -> None:
    """The window on the first sample, in both dresses, the page over a range, and two builds."""
    from PySide6.QtCore import QSettings
    from PySide6.QtTest import QTest
    from PySide6.QtWidgets import QApplication

    from app.files import read_build
    from app.window.shell.main_window import MainWindow
    from geometry import edited

    with tempfile.TemporaryDirectory() as folder:
        QSettings.setDefaultFormat(QSettings.Format.IniFormat)
        QSettings.setPath(QSettings.Format.IniFormat, QSettings.Scope.UserScope, folder)
        sample = SAMPLES / "ranch_truck_swap.json"
        window = MainWindow(read_build(sample), sample)
        window.resize(1440, 900)
        window.show()
        for theme in ("light", "dark"):
            window.show_theme(theme)
            QTest.qWait(1500)
            window.grab().save(str(PICTURES / f"window-{theme}.png"))
        window.show_theme("light")
        window.views.show("range")
        assert window.views.in_sight("range") is not None
        QTest.qWait(3000)
        window.views.in_sight("range").go_to(25.4)
        QTest.qWait(200)
        window.grab().save(str(PICTURES / "window-range.png"))
        lower = {"plan.rear_lift_mm": 25.4, "plan.front_lift_mm": 25.4}
        hauler = read_build(SAMPLES / "lifted_short_shaft.json")
        beside = {"variants": ({"name": "1 in of lift", "changes": lower},)}
        window.document.open(edited(hauler, beside), None)
        window.resize(1366, 768)
        window.show_theme("dark")
        window.views.show("beside")
        QTest.qWait(7000)  # until what the foot told of the pages before has gone
        window.grab().save(str(PICTURES / "window-two.png"))
        window.document.stack.setClean()
        window.close()
        QApplication.processEvents()


def codes() -> None:
    """What every page and pane looks like, for the tests that compare."""
    from tests.regression import made, windows

    made.keep()
    windows.keep()


if __name__ == "__main__":
    from PySide6.QtWidgets import QApplication

    application = QApplication(sys.argv[:1])  # first: a picture alone wants less of one than a window
    PICTURES.mkdir(exist_ok=True)
    sketches()
    sheet()
    windows()
    codes()
