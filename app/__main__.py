"""`python -m app`: see `app.commands`. What the process as a whole is told stands here, so that it starts soon."""

import gc
import os
import sys

from app.commands import main

_NOT_NEEDED = {
    "OPENBLAS_NUM_THREADS": "1",  # vectors of three have no use for threads, which would idle in a loop at first
    "PYDANTIC_DISABLE_PLUGINS": "__all__",  # or what every installed package says of itself is read to find some
}


def run() -> int:
    """Run one command without looking for garbage: it ends within a second or so, and throws little away.

    The window, which stays open, turns the search on again (`app.commands`).
    """
    for name, value in _NOT_NEEDED.items():
        os.environ.setdefault(name, value)
    gc.disable()
    code = main()
    if not gc.isenabled():
        gc.freeze()  # or all that was made would be searched once more on the way out
    return code


if __name__ == "__main__":
    sys.exit(run())
