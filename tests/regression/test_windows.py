"""No pane paints otherwise than before unless that is meant: a comparison with our own output, which proves no more.

Where a change is meant, look at the window first; `python tests/make_pictures.py` then writes the codes down anew.
"""

import pytest

from tests.regression.made import fonts
from tests.regression.made import kept as kept_pages
from tests.regression.windows import codes, kept, maker


def test_every_pane_paints_as_it_did() -> None:
    was = kept()
    if (was.pop("made by"), kept_pages()["fonts"]) != (maker(), fonts()):
        pytest.skip(f"Qt, screen or fonts are other ones here than where the codes were written down: {maker()}")
    now = codes()
    assert list(now) == list(was)
    assert [name for name in now if now[name] != was[name]] == []
