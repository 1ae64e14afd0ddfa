"""The drawing: numbers in a row above, side view, findings in a row below, top view.

`drawing` makes one flat list of items, in page pixels, from a build and its solution; it knows no painter. `painter`
puts items on anything that Qt paints on: the screen, a picture, a page. Nothing here computes mechanics: every point is
a `Picture`'s.
"""

import geometry as geometry  # before Qt: once that is loaded, PySide's import hook trips over pydantic's late modules
