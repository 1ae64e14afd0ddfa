"""A window that edits and saves as fast as it can until it is killed, and says on its standard output what it has done.

Run by `test_killed.py` as a program of its own: folder of its own, seed, share of edits after which it saves.
"""

import os
import sys
import time
from pathlib import Path
from random import Random

from PySide6.QtCore import QSettings, QTimer
from PySide6.QtWidgets import QApplication

from app.files import read_held
from app.window.keeping import recovery
from app.window.shell.main_window import MainWindow


def say(words: str) -> None:
    os.write(1, f"{words}\n".encode())  # at once and whole, so that the last line tells of the last thing done


def main(folder: Path, seed: int, saving: float) -> None:
    QSettings.setPath(QSettings.Format.IniFormat, QSettings.Scope.UserScope, str(folder / "settings"))
    recovery.recovery_folder = lambda: folder / "recovery"
    application = QApplication(sys.argv[:1])
    path = folder / "truck.json"
    build, digest = read_held(path)
    window = MainWindow(build, path, digest)
    window.show()
    chance = Random(seed)
    done = 0

    def act() -> None:
        nonlocal done
        done += 1
        window.document.apply({"title": f"edit {done}", "axle.pinion_slope_deg": done % 9 / 2}, f"edit {done}")
        say(f"edited {done} {time.monotonic()}")
        for _ in range(50 if saving == 1.0 else chance.random() < saving):  # many a kill shall fall into a save
            say(f"saving {done}")
            if window.filing.save():
                say(f"saved {done}")

    again = QTimer()
    again.timeout.connect(act)
    again.start(0)
    say("ready")
    application.exec()


if __name__ == "__main__":
    main(Path(sys.argv[1]), int(sys.argv[2]), float(sys.argv[3]))
