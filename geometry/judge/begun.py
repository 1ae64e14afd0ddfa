"""Whether a person has begun to enter something: what nobody has begun is not asked."""

from collections.abc import Iterable

import numpy as np

from geometry.document.entries import Variants
from geometry.mechanics.vectors import Bools


def has_section(v: Variants, section: str) -> bool:
    """Whether a section is there, or any of its entries is a column: one answer for all rows, in every block."""
    return getattr(v.build, section) is not None or any(path.startswith(f"{section}.") for path in v.columns)


def any_there(v: Variants, paths: Iterable[str]) -> bool:
    """Whether any of some numeric entries is entered or a column: one answer for all rows, in every block."""
    return not all(v.absent(path) for path in paths)


def begun(v: Variants, paths: Iterable[str]) -> Bools:
    """Rows in which any of some numeric entries is entered."""
    found: Bools = np.zeros((), np.bool_)
    for path in paths:
        found = found | np.isfinite(v[path])
    return found
