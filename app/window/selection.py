"""What the person is looking at: one part, one finding, one entry. Views follow it, so that no view calls another."""

from __future__ import annotations

from PySide6.QtCore import QObject, Signal

FindingKey = tuple[str, str]
"""(id, part): what makes a finding unique."""


class Selection(QObject):
    """The part, the finding and the entry that are selected; `changed` hands on who chose them."""

    changed = Signal(object)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.part: str | None = None
        self.finding: FindingKey | None = None
        self.entry: str | None = None

    def choose(
        self,
        origin: object,
        *,
        part: str | None = None,
        finding: FindingKey | None = None,
        entry: str | None = None,
    ) -> None:
        """Select; `origin` is the view that the person used, which need not follow itself."""
        if (part, finding, entry) == (self.part, self.finding, self.entry):
            return
        self.part, self.finding, self.entry = part, finding, entry
        self.changed.emit(origin)
