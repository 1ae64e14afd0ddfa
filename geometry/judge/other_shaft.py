"""What changes tried for one driveline do to the other one: engine, mounts and frame are one for both."""

from collections.abc import Mapping, Sequence

import numpy as np

from geometry.document.entries import Variants, variants
from geometry.document.sides import changes_over, swapped
from geometry.judge.codes import Found, Judged
from geometry.judge.facts import Facts
from geometry.judge.judging import judged_block
from geometry.judge.search import wide


def on_the_other(v: Variants, changes: Sequence[Mapping[str, float]], positions: int) -> Found:
    """All findings of the other driveline with each of some changes to the plan, (changes,); nothing without one.

    The first change is the plan itself. What touches nothing that is shared leaves the other driveline as it is.
    """
    if not v.build.drivelines:
        return {}
    shared = [changes_over(change) for change in changes]
    if not any(shared):
        return {}
    there = variants(swapped(v.build))
    different = list(dict.fromkeys(tuple(sorted(one.items())) for one in ({}, *shared)))
    found = judged_block(Facts(wide(there, [dict(one) for one in different]), positions))
    rows = np.array([different.index(tuple(sorted(one.items()))) for one in shared])
    return {key: Judged(*(column[rows] for column in one)) for key, one in found.items()}
