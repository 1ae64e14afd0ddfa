"""What the person is looking at: one part, one finding, one entry. Views follow it, so that no view calls another."""

from __future__ import annotations

from PySide6.QtCore import QObject, Signal

FindingKey = tuple[str, str]
"""(id, part): what makes a finding unique."""


class Selection(QObject):
    """The part, the finding and the entry that are selected; `changed` hands on who chose them.

    What views do because of a choice, such as opening and closing a section, may move the cursor; that is no choice of
    the person's, so a choice within a choice is not heard.
    """

    changed = Signal(object)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.part: str | None = None
        self.finding: FindingKey | None = None
        self.entry: str | None = None
        self._telling = False

    def choose(
        self,
        origin: object,
        *,
        part: str | None = None,
        finding: FindingKey | None = None,
        entry: str | None = None,
    ) -> None:
        """Select; `origin` is the view that the person used, which need not follow itself."""
        if self._telling or (part, finding, entry) == (self.part, self.finding, self.entry):
            return
        self.part, self.finding, self.entry = part, finding, entry
        self._telling = True
        try:
            self.changed.emit(origin)
        finally:
            self._telling = False
