"""A guard for Python 3.11, where None can still be counted down to nothing.

Since Python 3.12 None is immortal (PEP 683). Built for that, some releases of the Qt binding hand back None from each
call without counting it up; under 3.11 the interpreter then ends after some ten thousand calls ("deallocating None").
Counting None up once, by more than any session can count down, makes it as good as immortal there too.
"""

import ctypes
import sys
from typing import Final

_PLENTY: Final = 1 << (56 if sys.maxsize > 1 << 32 else 28)


def keep_none() -> None:
    """Make None as good as immortal on interpreters that would let it go; harmless when done again."""
    counted = sys.version_info < (3, 12) and sys.implementation.name == "cpython" and not hasattr(sys, "getobjects")
    if counted and sys.getrefcount(None) < _PLENTY // 2:
        # The count is the first word of every object in such a build.
        ctypes.c_ssize_t.from_address(id(None)).value += _PLENTY
