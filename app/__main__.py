"""`python -m app`: see `app.commands`."""

import sys

from app.commands import main

if __name__ == "__main__":
    sys.exit(main())
