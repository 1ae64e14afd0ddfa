"""When the program errs: keep a copy of the open build, say what happened in plain words, and stay open."""

from __future__ import annotations

import faulthandler
import sys
import threading
import traceback
from collections.abc import Callable
from pathlib import Path
from types import TracebackType

from PySide6.QtCore import QObject, Qt, Signal
from PySide6.QtWidgets import QWidget

from app.window.keeping import asking
from app.window.keeping.recovery import recovery_folder

Keep = Callable[[], Path | None]
Say = Callable[[str, str, str], None]


class Watch(QObject):
    """Catches what nobody else caught, from any thread, and tells it once at a time in the window's own thread."""

    _raised = Signal(str)

    def __init__(self, keep: Keep = lambda: None, say: Say | None = None) -> None:
        super().__init__()
        self._keep = keep
        self._say = say or self._box
        self._window: QWidget | None = None
        self._telling = False
        self._log: object = None
        self._raised.connect(self._tell, Qt.ConnectionType.QueuedConnection)
        self._old = (sys.excepthook, threading.excepthook)

    def guard(self, window: QWidget, keep: Keep) -> None:
        """Watch over a window: what it holds is kept first, and what happened is told over it."""
        self._window, self._keep = window, keep

    def install(self) -> None:
        """Take over from the interpreter's own hooks, and let hard crashes leave a trace in a file."""
        sys.excepthook = self.caught
        threading.excepthook = self._in_thread
        folder = recovery_folder()
        try:
            folder.mkdir(parents=True, exist_ok=True)
            log = (folder / "last_crash.txt").open("w", encoding="utf-8")
        except OSError:
            return  # a read-only home: the program runs without the trace
        self._log = log
        faulthandler.enable(log)

    def remove(self) -> None:
        """Give the hooks back."""
        sys.excepthook, threading.excepthook = self._old
        if self._log is not None:
            faulthandler.disable()
            self._log.close()  # type: ignore[attr-defined]
            self._log = None

    def caught(self, kind: type[BaseException], error: BaseException, trace: TracebackType | None) -> None:
        """Take an exception that nobody caught."""
        if issubclass(kind, KeyboardInterrupt):
            sys.__excepthook__(kind, error, trace)
            return
        text = "".join(traceback.format_exception(kind, error, trace))
        if sys.stderr is not None:
            print(text, file=sys.stderr)
        self._raised.emit(text)

    def _in_thread(self, args: threading.ExceptHookArgs) -> None:
        if args.exc_value is not None and not issubclass(args.exc_type, SystemExit):
            self.caught(args.exc_type, args.exc_value, args.exc_traceback)

    def _tell(self, text: str) -> None:
        if self._telling:
            return  # one after another of the same kind, from a paint say, would bury the person in boxes
        self._telling = True
        try:
            self._say(*self._words(text))
        except Exception:  # to tell that telling failed would fail again, without end
            if sys.stderr is not None:
                traceback.print_exc()
        finally:
            self._telling = False

    def _words(self, text: str) -> tuple[str, str, str]:
        try:
            copy = self._keep()
        except Exception:  # kept at the worst of times: whatever is wrong, the rest is still said
            where = "No copy of it could be kept: save it under a new name now."
        else:
            where = (
                "There was nothing unsaved."
                if copy is None
                else f"A copy of the open build lies in {copy}, and is offered at the next start."
            )
        return (
            "The program made an error of its own. What you did last may not have been done.",
            f"{where} You can go on working; to be safe, save under a new name and start again.",
            text,
        )

    def _box(self, what: str, more: str, details: str) -> None:
        asking.tell(self._window, "Something went wrong", what, more, details)
