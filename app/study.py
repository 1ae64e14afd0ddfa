"""A build over ranges of its entries, as text for a terminal and as CSV for a spreadsheet."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping, Sequence
from itertools import combinations, product
from math import isfinite
from typing import Final

import numpy as np
from pydantic import ValidationError

from app.complaints import first_complaint, nearest, one_line, shortened, title_of, unit_of
from app.drawing.palette import VERDICT_SIGNS
from app.naming import name_of, part_words
from app.terminal import WIDTH, headed, wrapped
from app.units import as_kind, show, show_tape
from geometry.document import Build, edited, value_at
from geometry.document.entries import is_numeric, numeric_paths
from geometry.judge.codes import CAUTION, HOLD, UNKNOWN, WORDS
from geometry.mechanics.vectors import Floats
from geometry.words.names import whole_name
from geometry.words.plans import started
from geometry.words.solution import Verdict
from geometry.words.solve import Work, solved
from geometry.words.study import MOST_ROWS, Band, Range, Stretch, Study
from geometry.words.wording import capital, small

_ORDER: Final[tuple[Verdict, ...]] = ("clear", "caution", "hold", "unknown")


class RangeTrouble(Exception):  # noqa: N818  (as FileTrouble: it is the person's, and one line)
    """A range that cannot be studied; its str is one line that says what to write instead."""


def ranges_of(build: Build, words: Sequence[str], at_once: int | None = None) -> dict[str, Floats]:
    """Values of each entry from words such as ``plan.rear_lift_mm=0:150:25``: from, to, step, both ends included.

    So many of them are varied `at_once`, every such set by itself; None varies all, in no more than `MOST_ROWS` ways.

    Raises
    ------
    RangeTrouble
        When a word is no range, names no number of the document, or asks for a build that is not possible.
    """
    ranges: dict[str, Floats] = {}
    for word in words:
        path, values = _range(word)
        if path in ranges:
            raise RangeTrouble(f"{_quoted(path)}: is varied twice; give one range for it")
        ranges[path] = values
    rows = int(np.prod([float(values.size) for values in ranges.values()]))
    if at_once is None and rows > MOST_ROWS:
        raise RangeTrouble(
            f"these ranges have {rows:,} combinations and at most {MOST_ROWS:,} are studied; take larger steps"
        )
    for paths in combinations(ranges, min(at_once or len(ranges), len(ranges))):
        for corner in product(*((ranges[path][0], ranges[path][-1]) for path in paths)):
            _check(build, dict(zip(paths, map(float, corner), strict=True)))
    return ranges


def _range(word: str) -> tuple[str, Floats]:
    path, equals, text = word.partition("=")
    parts = text.split(":")
    try:
        low, high, step = (float(part) for part in parts)
    except ValueError:
        low = high = step = np.nan
    if not equals or not all(map(isfinite, (low, high, step))):
        raise RangeTrouble(f"{_quoted(word)}: must read ENTRY=FROM:TO:STEP, such as plan.rear_lift_mm=0:150:25")
    if not is_numeric(path):
        meant = nearest(path, sorted(known for known in numeric_paths() if "*" not in known))
        hint = f"did you mean {meant}?" if meant else "see python -m app schema for what there is"
        raise RangeTrouble(f"{_quoted(path)}: is no number of a build; {hint}")
    if not low < high or step <= 0.0:
        raise RangeTrouble(f"{_quoted(word)}: must go from a lower to a higher value by a step above 0")
    if (high - low) / step >= MOST_ROWS:
        raise RangeTrouble(f"{_quoted(word)}: has more than {MOST_ROWS:,} steps; take larger ones")
    count = int((high - low) / step * (1.0 + 1e-12))
    values = low + step * np.arange(count + 1)
    # The last value is what was written, whether steps end there or not.
    return path, np.append(values[values < high - 1e-9 * step], high)


def _check(build: Build, changes: Mapping[str, float]) -> None:
    """Refuse what no build can be, in the words that a file with it would be refused by."""
    for path in changes:
        head, _, last = path.rpartition(".")
        if last.isdecimal() and value_at(build, head) is None:
            raise RangeTrouble(
                f"{_quoted(head)} ({title_of(head)}): is not in the build; enter it before its parts are varied"
            )
    try:
        edited(build, changes)
    except ValidationError as error:
        raise RangeTrouble(first_complaint(error).sentence) from None
    except KeyError as error:
        raise RangeTrouble(f"{_quoted(next(iter(changes)))}: {one_line(str(error.args[0]))} in this build") from None


def _quoted(text: str) -> str:
    return one_line(shortened(text))


def study_text(build: Build, study: Study, over: Range | None, source_name: str) -> str:
    """Return the study as text, no line wider than 98 columns but those of a map with many columns.

    One entry: from where to where the build is what, and every finding that is not clear throughout. Two: a map of
    verdicts. Then how many combinations there are of each.
    """
    lines = [headed(build, source_name)]
    for path, values in study.columns.items():
        lines += range_words(path, values, build)
    lines.append("")
    if over is not None:
        lines += _bands(build, over)
    elif len(study.columns) == 2:
        lines += _map(build, study)
    lines += ["", _counted(study)]
    return "\n".join(lines) + "\n"


def _title(build: Build, path: str) -> str:
    """An entry's name, with the path by which the command knows it."""
    return one_line(f"{name_of(build, path)} ({path})")


def said_value(value: float, path: str, build: Build) -> str:
    """A value of an entry in the person's units."""
    kind = as_kind(unit_of(path) or "ratio")
    if kind == "mm" and build.display.length == "inch":
        return show_tape(value, build.display)
    return show(value, kind, build.display)


def _bands(build: Build, over: Range) -> list[str]:
    lines = _rows(capital(whole_name(build)), over.whole, over.path, build)
    for band in over.bands:
        lines += _rows(_name(band, over.bands), band.stretches, over.path, build)
    others = (
        (over.clear, "clear throughout"),
        (over.partly, "clear as far as they can be judged"),
        (over.unknown, "not judged"),
    )
    said = [f"{count} {'are' if count > 1 else 'is'} {words}" for count, words in others if count]
    if said:
        lines += ["", *wrapped(f"Of the other findings {' and '.join(said)}.")]
    for words in (wants_words(build, over), over.says):
        lines += ["", *wrapped(words)] if words else []
    return lines


def wants_words(build: Build, over: Range) -> str:
    """What is not judged any more beyond the value as it is, and what to measure for it; "" where all of it is."""
    stretches = [one for some in (over.whole, *(band.stretches for band in over.bands)) for one in some]
    lost = next((one for one in stretches if one.verdict == "unknown"), None)
    if lost is None and not over.partly:
        return ""
    if all(one.verdict == "unknown" for one in over.whole):
        return next((one.says for one in solved(Work(build), with_ways=False).findings if one.verdict == "unknown"), "")
    at = over.whole[-1].last if lost is None else lost.last
    wants = unjudged_words(build, over.path, at)
    return wants if "measure or enter" in wants else ""  # else no measurement helps, and the bands say what does not go


def unjudged_words(build: Build, path: str, to: float) -> str:
    """What is not judged any more once an entry is changed, and what to measure for it."""
    there = edited(build, started(build, {path: to}))
    now, then = (solved(Work(one), with_ways=False).findings for one in (build, there))
    known = {(one.id, one.part) for one in now if one.verdict != "unknown"}
    lost = [one for one in then if one.verdict == "unknown" and one.value is None and (one.id, one.part) in known]
    if not lost:
        return ""
    why = lost[0].says.removeprefix("Not judged: ")
    return f"{name_of(build, path)}: with another, {small(lost[0].title)} is not judged: {small(why)}"


def _name(band: Band, bands: Sequence[Band]) -> str:
    """A finding's title, with its part where another has the same."""
    twins = sum(one.title == band.title for one in bands)
    return one_line(f"{band.title}, {part_words(band.part)}" if twins > 1 else band.title)


def _rows(name: str, stretches: Sequence[Stretch], path: str, build: Build) -> list[str]:
    lines = [name]
    for stretch in stretches:
        word = stretch.verdict or "not asked"
        shape = " " if stretch.verdict is None else VERDICT_SIGNS[stretch.verdict]
        first, last = (said_value(one, path, build) for one in (stretch.first, stretch.last))
        reach = f"{first} alone" if first == last else f"{first} to {last}"
        why = one_line(f"; decides: {stretch.decides}") if stretch.decides else ""
        lines.append(f"  {shape} {word:10}{reach}{why}"[:WIDTH])
    return lines


def _map(build: Build, study: Study) -> list[str]:
    """A map: the first entry downward, the second to the right, a shape for each combination."""
    (first, down), (second, across) = study.columns.items()
    rows, columns = np.unique(down), np.unique(across)
    grid = study.codes.reshape(rows.size, columns.size)
    labels = [said_value(value, first, build) for value in rows]
    wide = max(map(len, labels))
    heads = [said_value(value, second, build) for value in columns]
    lines = [f"down: {_title(build, first)}; to the right: {_title(build, second)}, {heads[0]} to {heads[-1]}"]
    for label, codes in zip(labels, grid, strict=True):
        lines.append(f"{label:>{wide}}  {' '.join(VERDICT_SIGNS[WORDS[code]] for code in codes)}")  # type: ignore[index]
    return [*lines, "; ".join(f"{VERDICT_SIGNS[word]} {word}" for word in _ORDER)]


def _counted(study: Study) -> str:
    counts = [(word, int((study.codes == WORDS.index(word)).sum())) for word in _ORDER]
    said = ", ".join(f"{count:,} {word}" for word, count in counts if count)
    return f"{study.codes.size:,} combinations: {said}."


def range_words(path: str, values: Floats, build: Build) -> list[str]:
    """An entry with the least and the most of its values, in lines."""
    ends = " to ".join(said_value(one, path, build) for one in (values.min(), values.max()))
    return wrapped(f"{_title(build, path)}, {ends}", later="  ")


def csv_text(study: Study) -> str:
    """Return every combination as CSV, one a line: the varied entries, the whole verdict, counts, what decides, then of
    each finding its value, in the unit named in the head, and its verdict. What is not known is empty.
    """
    holds, cautions, unknown = (study.count(code) for code in (HOLD, CAUTION, UNKNOWN))
    page = io.StringIO()
    sheet = csv.writer(page, lineterminator="\n")
    names = [f"{one.id} {one.part}" for one in study.findings]
    units = [one.limit.unit for one in study.findings]
    sheet.writerow(
        [*study.columns, "verdict", "holds", "cautions", "unknown", "decides"]
        + [
            head
            for name, unit in zip(names, units, strict=True)
            for head in (f"{name} [{unit}]" if unit else name, f"{name} verdict")
        ]
    )
    for row in range(study.codes.size):
        told = [float(values[row]) for values in study.columns.values()]
        code = study.codes.item(row)
        decides = names[study.decides.item(row)] if code != WORDS.index("clear") else ""
        sheet.writerow(
            [*told, WORDS[code], holds[row], cautions[row], unknown[row], decides]
            + [
                cell
                for one in study.findings
                for cell in _cells(one.judged.value.item(row), one.judged.verdict.item(row))
            ]
        )
    return page.getvalue()


def _cells(value: float, code: int) -> tuple[float | str, str]:
    known = isfinite(value) and WORDS[code] not in {"", "unknown"}
    return (value if known else ""), WORDS[code]
