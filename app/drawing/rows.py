"""Places along a row: in order, apart by what each needs, and moved as little as can be."""

from __future__ import annotations

from collections.abc import Sequence


def settled(
    targets: Sequence[float], weights: Sequence[float], gaps: Sequence[float], low: float, high: float
) -> list[float]:
    """Places nearest to their targets (weighted squares) with gaps[i] or more from place i to the next, low to high.

    Pool adjacent violators, then the ends; source: isotonic regression, in any textbook of order-restricted statistics.

    >>> settled([0.0, 1.0, 9.0], [1.0, 1.0, 1.0], [4.0, 4.0], 0.0, 20.0)
    [0.0, 4.0, 9.0]
    """
    before = [0.0]
    for gap in gaps:
        before.append(before[-1] + gap)
    blocks: list[tuple[float, float, int]] = []
    for target, weight, off in zip(targets, weights, before, strict=True):
        blocks.append((target - off, weight, 1))
        while len(blocks) > 1 and blocks[-2][0] > blocks[-1][0]:
            (b, bw, bn), (a, aw, an) = blocks.pop(), blocks.pop()
            blocks.append(((a * aw + b * bw) / (aw + bw), aw + bw, an + bn))
    places = [value for value, _, count in blocks for _ in range(count)]
    return [min(max(place, low), high - before[-1]) + off for place, off in zip(places, before, strict=True)]
