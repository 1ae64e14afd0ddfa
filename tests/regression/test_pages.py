"""Nothing looks otherwise than before unless that is meant: a comparison with our own output, which proves no more.

Where a change is meant, look at the pictures first; `python tests/make_pictures.py` then writes the codes down anew.
"""

import pytest

from tests.regression.made import codes, fonts, kept


def test_every_page_is_as_it_was() -> None:
    was = kept()
    if was.pop("fonts") != fonts():
        pytest.skip("words are measured otherwise on this machine than where the codes were written down")
    now = codes()
    assert list(now) == list(was)
    changed = [
        f"{name}, layer {layer}"
        for name in now
        for layer, (one, other) in enumerate(zip(now[name].split(), was[name].split(), strict=True), 1)
        if one != other
    ]
    assert changed == []
