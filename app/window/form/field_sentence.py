"""One sentence under a field on why its entry cannot stay, in the person's units and with the screen's names."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from pydantic import ValidationError

from app.complaints import first_complaint, title_of
from app.units import DisplayChoice, in_decimals
from geometry.words.wording import small

if TYPE_CHECKING:
    from app.window.document import Changes, Document

_NAME = re.compile(r"\b[a-z]+(?:_[a-z0-9]+)+\b")


def sentence_for(error: ValidationError, display: DisplayChoice) -> str:
    """The sentence, which names the entry and says what to do; the document's own names become the screen's."""
    complaint = first_complaint(error, in_decimals(display))
    section = complaint.path.rpartition(".")[0]

    def named(match: re.Match[str]) -> str:
        title = title_of(f"{section}.{match[0]}" if section else match[0])
        return f"the {small(title)}"

    what = _NAME.sub(named, complaint.what)
    what = what.replace("Correct it or leave it out.", "Correct it or empty the field.")
    return f"{complaint.title or 'This'} {what}" if what.startswith(("must", "is ")) else f"{complaint.title}: {what}"


def against(document: Document, changes: Changes, text: str) -> str | None:
    """Make edits as one step of the history; the sentence against them where they cannot be, else None."""
    try:
        document.apply(changes, text)
    except ValidationError as error:
        return sentence_for(error, document.build.display)
    return None
