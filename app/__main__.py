"""`python -m app`: see `app.commands`."""

import gc
import sys

from app.commands import main


def run() -> int:
    """Run one command without looking for garbage: it ends within a second or so, and throws little away.

    The window, which stays open, turns the search on again (`app.commands`).
    """
    gc.disable()
    code = main()
    if not gc.isenabled():
        gc.freeze()  # or all that was made would be searched once more on the way out
    return code


if __name__ == "__main__":
    sys.exit(run())
