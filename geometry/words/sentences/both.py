"""The sentence on both drivelines together: do front and rear turn alike?"""

from geometry.judge.both import DRIVE, apart_of
from geometry.words.one import One
from geometry.words.wants import not_judged
from geometry.words.wording import capital


def front_against_rear(one: One) -> str:
    """How far front and rear shaft turn apart over the same road, and whether the drive can bear that."""
    told = one.told
    apart = apart_of(told.facts)
    percent = told.number(apart.percent)
    if percent is None:
        return not_judged(one)
    way = "faster" if percent > 0.0 else "slower"
    turns = (
        f"over the same road the front shaft turns {one.other(abs(percent), '%', one.finer)} {way} than the rear one"
    )
    ends = [told.number(part) or 0.0 for part in (apart.least, apart.most)]
    by_radius = ends[0] != ends[1]
    if by_radius:
        least, most = (f"{abs(end):.1f} % {'faster' if end > 0.0 else 'slower'}" for end in ends)
        turns = f"by the loaded radii {turns}, and it may be anything from {least} to {most}"
    if one.verdict == "unknown":
        return not_judged(one, f"{capital(turns)}.")
    turns = capital(turns)
    if told.facts.v.word(DRIVE) == "full_time":
        return f"{turns}: with full-time drive the centre differential takes that up, as long as it is not locked."
    if one.verdict == "clear":
        return f"{turns}: they may be locked together; {one.wanted}."
    return (
        f"{turns}: locked together on a hard road the tyres must slip by that, and the drive winds up and cannot be taken "
        f"out; {one.wanted}. Bring axle ratios and tyres together, or lock it on loose ground alone."
    )
