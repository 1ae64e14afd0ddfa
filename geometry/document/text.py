"""Words that a person enters, cleaned where they enter the document, so that no view meets what is not a letter.

Files and fields go through the same models, so this is the one place. What is too long or empty is refused there.
"""

import re
import unicodedata
from typing import Any

INSTEAD = "\ufffd"
"""Stands where something stood that no view can show."""
_ENDS_A_LINE = re.compile("\r\n|[\r\v\f\x1c-\x1e\x85\u2028\u2029]")
# Nobody sees these and they are no format signs by their category: joiners, fillers, variation selectors.
_BLANK = re.compile("[\u034f\u115f\u1160\u17b4\u17b5\u180b-\u180f\u2800\u3164\ufe00-\ufe0f\uffa0\U000e0100-\U000e01ef]")


def cleaned_line(text: Any) -> Any:
    r"""Text on one line, one space between words; what is not text is left to whoever refuses it.

    >>> cleaned_line(" frame\n rail\ufeff\u202e \x1b[31m")
    'frame rail �[31m'
    """
    return " ".join(_letters(text).split()) if isinstance(text, str) else text


def cleaned_page(text: Any) -> Any:
    r"""Text on lines, each ended by one line feed; what is not text is left to whoever refuses it.

    >>> cleaned_page("two\r\nlines\u2028and\ta tab")
    'two\nlines\nand a tab'
    """
    if not isinstance(text, str):
        return text
    return "\n".join(_letters(line) for line in _ENDS_A_LINE.sub("\n", text).split("\n"))


def _letters(text: str) -> str:
    if text.isprintable() and _BLANK.search(text) is None:
        return text
    return text.translate({ord(sign): _instead(sign) for sign in set(text)})


def _instead(sign: str) -> str:
    if sign.isspace():
        return " "  # white space of any kind means no more than a space between words
    category = unicodedata.category(sign)
    if category == "Cf" or _BLANK.match(sign):
        return ""  # marks of byte order and of direction: who does not see them cannot take them out
    if category in {"Cc", "Cs"} or ord(sign) & 0xFFFE == 0xFFFE or 0xFDD0 <= ord(sign) <= 0xFDEF:
        return INSTEAD  # a control or half a letter: what it did cannot be kept, that it was there can be seen
    return sign
