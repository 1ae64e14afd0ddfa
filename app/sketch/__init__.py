"""The drawing: side view over top view, to scale, as primitives, as placed callouts, and as matplotlib artists.

`scene` says what is drawn, `camera` where on the page, `callouts` where the words go, `artists` and `figure` draw it.
Only the last two know matplotlib; none knows Qt. Nothing here computes mechanics: every point is a `Picture`'s.
"""
