"""The command line: which words there are, and what each does. What a command needs is imported when it runs."""

from __future__ import annotations

import argparse
import gc
import os
import sys
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Final, Literal, NamedTuple, NoReturn, TextIO

from app.papers.kinds import BEHIND, PAPERS, What, save_paper

if TYPE_CHECKING:
    from geometry import Build, Solution
    from geometry.words.both import Whole

_PROGRAM: Final = "python -m app"
_PICTURES: Final = (".svg", ".png", ".pdf")
_FIRST: Final = "the one that stands first in the file"
DONE, WRONG, INTERRUPTED = 0, 2, 130


class WordsTrouble(Exception):  # noqa: N818  (as FileTrouble: it is the person's, and one line)
    """Words on the command line that mean nothing here; its str is one line that says what to write instead."""


class _Words(argparse.ArgumentParser):
    """A parser that leaves it to `main` to say what is wrong, in one line and without the usage."""

    def error(self, message: str) -> NoReturn:
        """Raise WordsTrouble in place of printing the usage and ending the program."""
        raise WordsTrouble(f"{message}; see {self.prog} --help")


class Command(NamedTuple):
    """One word of the command line: its line of help, the words after it, and what it does."""

    help: str
    describe: Callable[[argparse.ArgumentParser], None]
    run: Callable[[argparse.Namespace], int]


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command and return its exit code: 0 done, 2 the file or the words are wrong.

    What is wrong is said in one line on stderr, and then no output file is touched.
    """
    _speak_any_letter()
    try:
        code = _obey(sys.argv[1:] if argv is None else argv)
        sys.stdout.flush()
    except WordsTrouble as trouble:
        return _complain(trouble)
    except BrokenPipeError:  # whoever read the output has seen enough
        _close_quietly(sys.stdout)
        return DONE
    except KeyboardInterrupt:
        return INTERRUPTED
    except OSError as error:  # a full disk behind a redirected output, say
        _close_quietly(sys.stdout)
        return _complain(WordsTrouble(f"the output cannot be written: {error.strerror or error}"))
    return code


def _obey(words: Sequence[str]) -> int:
    from app.files import FileTrouble

    parser: argparse.ArgumentParser
    if words and words[0] in COMMANDS:
        command = COMMANDS[words[0]]
        parser = _Words(prog=f"{_PROGRAM} {words[0]}", description=command.help, allow_abbrev=False)
        command.describe(parser)
        run, rest = command.run, words[1:]
    else:
        _refuse_mistyped(words)
        parser = _window_words()
        run, rest = _window, words
    try:
        return run(parser.parse_args(rest))
    except FileTrouble as trouble:
        return _complain(trouble)


def _refuse_mistyped(words: Sequence[str]) -> None:
    """Say which command was probably meant by a first word that is neither command nor file."""
    try:
        if not words or words[0].startswith("-") or Path(words[0]).exists():
            return
    except OSError:
        return  # a name that no file can have: said where it is read
    from app.complaints import nearest

    meant = nearest(words[0], list(COMMANDS))
    if meant or len(words) > 1:
        hint = f"did you mean {meant}?" if meant else f"the commands are {', '.join(COMMANDS)}."
        raise WordsTrouble(f"{words[0]} is neither a command nor a file; {hint} See {_PROGRAM} --help")


def _complain(trouble: Exception) -> int:
    from app.complaints import one_line

    print(one_line(str(trouble)), file=sys.stderr)
    return WRONG


def _speak_any_letter() -> None:
    """Keep a console that lacks a letter (a degree sign, a true minus) from ending the program."""
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(errors="replace")


def _print_data(text: str) -> None:
    """Print what a program reads: always UTF-8, whatever the console is set to."""
    reconfigure = getattr(sys.stdout, "reconfigure", None)
    if reconfigure is not None:
        reconfigure(encoding="utf-8")
    print(text)


def _close_quietly(stream: TextIO) -> None:
    """Send what is still to be written nowhere, or the interpreter would complain at its end."""
    try:
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, stream.fileno())
        os.close(nowhere)
    except OSError:
        pass


def _window_words() -> argparse.ArgumentParser:
    wide = max(map(len, COMMANDS))
    listing = "\n".join(f"  {name:{wide}}  {command.help}" for name, command in COMMANDS.items())
    parser = _Words(
        prog=_PROGRAM,
        usage=f"{_PROGRAM} [BUILD]\n       {_PROGRAM} COMMAND ...",
        description="Open the window with a build file, or with a sample. Without a screen, print the findings.",
        epilog=f"commands:\n{listing}\n\nA build file that is named like a command: ./solve",
        formatter_class=argparse.RawDescriptionHelpFormatter,
        allow_abbrev=False,
    )
    _build_words(parser, without="the window opens with a sample")
    return parser


def _build_words(parser: argparse.ArgumentParser, *, without: str = "") -> None:
    """Take a build file; `without` says what is done without one, where it may be left out."""
    more = f"; without it {without}" if without else ""
    parser.add_argument(
        "build", metavar="BUILD", nargs="?" if without else None, type=Path, help=f"a build file (JSON){more}"
    )


def _end_words(parser: argparse.ArgumentParser, otherwise: str) -> None:
    """Take which shaft of two is meant."""
    parser.add_argument(
        "--shaft", choices=("front", "rear"), help=f"which shaft, where the build has two; without it {otherwise}"
    )


def _seen(words: argparse.Namespace) -> Build:
    """The build of the words, seen from the shaft that is asked for."""
    from app.files import read_build
    from geometry.document.sides import end_of, swapped

    build = read_build(words.build)
    if words.shaft is None or words.shaft == end_of(build):
        return build
    if not build.drivelines:
        raise WordsTrouble(f"--shaft {words.shaft}: the build has the {end_of(build)} shaft alone; leave --shaft out")
    return swapped(build)


def _whole(path: Path) -> Whole:
    from app.files import read_build

    build = read_build(path)
    from geometry.words.both import solve_whole

    return solve_whole(build)


def _window(words: argparse.Namespace) -> int:
    from app.files import read_build, sample_path
    from app.screen import trouble_with_window

    path = sample_path() if words.build is None else words.build
    trouble = trouble_with_window()
    if trouble is not None:
        return _findings_without_window(trouble, path)
    if words.build is not None:
        read_build(path)  # a wrong file is said where the command was typed, before any window opens
    from app.window.shell.main import run

    gc.enable()  # `app.__main__` starts without it
    return run(words.build)


def _findings_without_window(trouble: str, path: Path) -> int:
    import shlex

    from app.complaints import one_line
    from app.report import whole_report

    whole = _whole(path)
    name, stem = shlex.quote(str(path)), shlex.quote(path.stem)
    print(f"{trouble}\nThe findings follow; no window is opened.\n")
    print(whole_report(whole, path.name, colour=_in_colour()))
    print("Without a window you can still have")
    print(one_line(f"  the drawing: {_PROGRAM} sketch {name} -o {stem}.svg"))
    print(one_line(f"  the sheet:   {_PROGRAM} sheet {name} -o {stem}.pdf"))
    return DONE


def _in_colour() -> bool:
    """Colour only where a person looks at a terminal that takes it, and has not asked for none."""
    able = sys.platform != "win32" or "WT_SESSION" in os.environ
    return able and sys.stdout.isatty() and not os.environ.get("NO_COLOR") and os.environ.get("TERM") != "dumb"


def _solve_words(parser: argparse.ArgumentParser) -> None:
    _build_words(parser)
    parser.add_argument("--json", action="store_true", help="print the whole solution as JSON")


def _solve(words: argparse.Namespace) -> int:
    whole = _whole(words.build)
    if words.json:
        _print_data(whole.model_dump_json(indent=2))
        return DONE
    from app.report import whole_report

    print(whole_report(whole, words.build.name, colour=_in_colour()), end="")
    return DONE


def _output_words(parser: argparse.ArgumentParser, kinds: str) -> None:
    parser.add_argument("-o", "--output", metavar="FILE", type=Path, required=True, help=f"the file to write ({kinds})")


def _checked_output(words: argparse.Namespace, suffixes: Sequence[str]) -> Path:
    """Return the output's path once its suffix is one that can be written and it is not the build file itself."""
    output: Path = words.output
    if output.suffix.lower() not in suffixes:
        raise WordsTrouble(f"{output}: the output's name must end in {' or '.join(suffixes)}")
    try:
        same = words.build is not None and output.exists() and output.samefile(words.build)
    except (OSError, ValueError):
        same = False  # said where the file is read or written
    if same:
        raise WordsTrouble(f"{output}: is the build file itself; give the output another name")
    return output


def _paper_command(what: What) -> Command:
    """A command that writes one of the papers."""
    kind = PAPERS[what]
    of = "" if len(kind.kinds) == 1 else " of a PDF"

    def describe(parser: argparse.ArgumentParser) -> None:
        _build_words(parser, without="a blank one" if kind.blank else "")
        _output_words(parser, ", ".join(kind.kinds))
        blank = "; a blank one is in inches on letter, in millimetres on A4" if kind.blank else ""
        parser.add_argument(
            "--paper",
            choices=("letter", "a4"),
            help=f"paper size{of}; without it letter for inches, A4 for millimetres{blank}",
        )
        _end_words(parser, "both, one behind the other")
        if what == "sheet":
            parser.add_argument(
                "--with", dest="behind", metavar="PAPER", action="append", default=[], choices=list(_behind()),
                help=f"another paper as further pages behind it: {', '.join(_behind())}; may be given again",
            )  # fmt: skip

    def run(words: argparse.Namespace) -> int:
        from app.files import put_in_place

        output = _checked_output(words, kind.kinds)
        build = None if words.build is None else _seen(words)
        told = [] if build is None else _told(build, words.shaft)
        if len(told) > 1 and output.suffix.lower() != ".pdf":
            raise WordsTrouble(f"{output}: the build has two shafts; say --shaft front or --shaft rear, or write a PDF")
        paper = words.paper or ("letter" if build is None else _paper_of(build))
        behind = [one for word, one in _behind().items() if word in getattr(words, "behind", ())]
        with put_in_place(output) as draft:
            save_paper(what, told, draft, paper, "" if words.build is None else words.build.name, behind)
        return DONE if build is None else _drawn(build)

    return Command(kind.says, describe, run)


def _told(build: Build, shaft: str | None) -> list[tuple[Build, Solution]]:
    """What is told on paper: each shaft of the build with its answer, or the one that is asked for."""
    from app.papers.kinds import on_paper
    from geometry.words.both import solve_whole

    found = solve_whole(build).drivelines
    told = [on_paper(one.build, one.solution, other.solution) for one, other in zip(found, found[::-1], strict=True)]
    told = told if len(found) > 1 else [(found[0].build, found[0].solution)]
    return told[:1] if shaft else told


def _behind() -> dict[str, What]:
    """Papers that may go behind the sheet, by their commands."""
    return {PAPERS[one].word: one for one in BEHIND}


def _paper_of(build: Build) -> Literal["letter", "a4"]:
    return "letter" if build.display.length == "inch" else "a4"


def _sketch_words(parser: argparse.ArgumentParser) -> None:
    _build_words(parser)
    _end_words(parser, _FIRST)
    _output_words(parser, ", ".join(_PICTURES))


def _sketch(words: argparse.Namespace) -> int:
    from app.files import put_in_place
    from geometry import solve

    output = _checked_output(words, _PICTURES)
    build = _seen(words)
    solution = solve(build)
    with put_in_place(output) as draft:
        from app.drawing.picture_files import picture_bytes, sketch

        draft.write_bytes(picture_bytes(sketch(build, solution), words.output.suffix.lower()))
    return _drawn(build)


def _drawn(build: Build) -> int:
    """Say on stderr which letters a file that was drawn had to leave out."""
    from app.complaints import one_line
    from app.lettering import lacking

    lost = lacking(build)
    if lost:
        print(one_line(lost), file=sys.stderr)
    return DONE


def _study_words(parser: argparse.ArgumentParser) -> None:
    _build_words(parser)
    _end_words(parser, _FIRST)
    parser.add_argument(
        "--vary",
        metavar="ENTRY=FROM:TO:STEP",
        action="append",
        required=True,
        help="an entry and its values, as in the file and in its units, both ends included; may be given again",
    )
    parser.add_argument("--csv", metavar="FILE", type=Path, help="write every combination with all findings (.csv)")


def _study(words: argparse.Namespace) -> int:
    from app.files import put_in_place
    from app.study import RangeTrouble, csv_text, ranges_of, study_text
    from geometry.words.study import over_range, study

    words.output = words.csv
    output = None if words.csv is None else _checked_output(words, (".csv",))
    build = _seen(words)
    try:
        ranges = ranges_of(build, words.vary)
    except RangeTrouble as trouble:
        raise WordsTrouble(str(trouble)) from None
    found = study(build, ranges)
    if output is not None:
        with put_in_place(output) as draft:
            draft.write_text(csv_text(found), encoding="utf-8", newline="")
    over = None
    if len(ranges) == 1:
        ((path, values),) = ranges.items()
        over = over_range(build, path, float(values[0]), float(values[-1]))
    print(study_text(build, found, over, words.build.name), end="")
    return DONE


def _plan_words(parser: argparse.ArgumentParser) -> None:
    _build_words(parser)
    _end_words(parser, _FIRST)
    parser.add_argument(
        "--change",
        metavar="ENTRY=FROM:TO:STEP",
        action="append",
        required=True,
        help="an entry that may be changed and its values, as for study; a plan changes at most three of them",
    )
    parser.add_argument(
        "--choices", action="store_true", help="also what else the lift may be by, and the shaft in one or two pieces"
    )


def _plan(words: argparse.Namespace) -> int:
    from app.plans import plans_text
    from app.study import RangeTrouble, ranges_of
    from geometry.words.plans import MOST_CHANGES, choices_of, plans_in_turns

    build = _seen(words)
    try:
        ranges = ranges_of(build, words.change, at_once=MOST_CHANGES)
        *_, found = plans_in_turns(build, ranges, choices=choices_of(build) if words.choices else None)
    except (RangeTrouble, ValueError) as trouble:
        raise WordsTrouble(str(trouble)) from None
    print(plans_text(build, found, ranges, words.build.name), end="")
    return DONE


def _sure_words(parser: argparse.ArgumentParser) -> None:
    _build_words(parser)
    _end_words(parser, _FIRST)
    parser.add_argument("--draws", metavar="N", type=int, default=2_000, help="how often all readings are drawn (2000)")


def _sure(words: argparse.Namespace) -> int:
    from app.sure import sure_text
    from geometry.words.sure import sure

    if not 100 <= words.draws <= 100_000:
        raise WordsTrouble(f"--draws {words.draws}: must be from 100 to 100,000")
    build = _seen(words)
    print(sure_text(build, sure(build, words.draws), words.build.name), end="")
    return DONE


def _vibration_words(parser: argparse.ArgumentParser) -> None:
    _build_words(parser)
    _end_words(parser, _FIRST)
    parser.add_argument(
        "--speed", metavar="SPEED", required=True, help="road speed at which it is felt, such as 60 mph"
    )
    parser.add_argument(
        "--frequency", metavar="HZ", help="how many times a second it shakes, in Hz, as a phone shows it"
    )
    parser.add_argument("--sounds", choices=("hum", "shudder", "growl", "clunk"), help="what it sounds or feels like")
    parser.add_argument(
        "--under",
        choices=("pull", "coast", "gear", "neutral", "all"),
        help="when it is felt: under pull, coasting in gear, in gear but not in neutral, in neutral, or all alike",
    )
    parser.add_argument("--gear", metavar="N", type=int, help="which gear, 1 is the lowest")
    parser.add_argument("--engine", metavar="RPM", type=float, help="what the tachometer reads")
    parser.add_argument("--cylinders", metavar="N", type=int, help="how many cylinders the engine has")


_MOST: Final = {"km/h": 500.0, "Hz": 10_000.0}


def _read(words: argparse.Namespace, name: str, kind: Literal["km/h", "Hz"], build: Build) -> float | None:
    """A quantity as it is typed, with its unit or in the build's own; None where it is not given."""
    from app.reading import ReadingError, parse
    from app.units import show

    text: str | None = getattr(words, name)
    if text is None:
        return None
    try:
        value = parse(text, kind, build.display)
    except ReadingError as error:
        raise WordsTrouble(f"--{name}: {error}") from None
    if not 0.0 < value <= _MOST[kind]:
        raise WordsTrouble(f"--{name} {text}: must be above 0 and at most {show(_MOST[kind], kind, build.display)}")
    return value


def _vibration(words: argparse.Namespace) -> int:
    from app.vibration import vibration_text
    from geometry import solve
    from geometry.words.vibration import Felt, diagnosis

    for name, value, most in (
        ("--engine", words.engine, 100_000),
        ("--gear", words.gear, 100_000),
        ("--cylinders", words.cylinders, 16),
    ):
        if value is not None and not 0.0 < value <= most:
            raise WordsTrouble(f"{name} {value}: must be above 0 and at most {most:,}")
    build = _seen(words)
    solution = solve(build)
    speed, frequency = _read(words, "speed", "km/h", build), _read(words, "frequency", "Hz", build)
    felt = Felt(speed, frequency, words.sounds, words.under, words.gear, words.engine, words.cylinders)
    print(vibration_text(build, diagnosis(build, solution, felt), felt, words.build.name), end="")
    return DONE


def _speeds(words: argparse.Namespace) -> int:
    from app.speeds import speeds_text
    from geometry.words.speeds import over_speed

    build = _seen(words)
    print(speeds_text(build, over_speed(build), words.build.name), end="")
    return DONE


def _again_words(parser: argparse.ArgumentParser) -> None:
    _build_words(parser)
    _end_words(parser, _FIRST)


def _again(words: argparse.Namespace) -> int:
    from app.again import again_text
    from geometry import solve

    build = _seen(words)
    print(again_text(build, solve(build), words.build.name), end="")
    return DONE


def _beside_words(parser: argparse.ArgumentParser) -> None:
    _build_words(parser)
    parser.add_argument(
        "--kept", metavar="NAME", help="which of the plans that are kept beside it; without it the first one"
    )
    _end_words(parser, _FIRST)


def _beside(words: argparse.Namespace) -> int:
    from app.complaints import nearest, one_line

    build = _seen(words)
    names = [one.name for one in build.variants]
    if not names:
        raise WordsTrouble(
            f"{words.build}: has nothing kept beside it; keep a plan in the window, or add variants to the file"
        )
    if words.kept is not None and words.kept not in names:
        meant = nearest(words.kept, names)
        hint = f"did you mean {meant}?" if meant else f"there is {', '.join(names)}"
        raise WordsTrouble(one_line(f"--kept {words.kept}: is not kept beside this build; {hint}"))
    from app.beside import beside_text, two_of
    from geometry import solve

    number = 0 if words.kept is None else names.index(words.kept)
    print(beside_text(two_of(build, solve(build), number), words.build.name), end="")
    return DONE


def _no_words(_: argparse.ArgumentParser) -> None:
    """Take no further words."""


def _schema(_: argparse.Namespace) -> int:
    import json

    from app.complaints import document_schema

    _print_data(json.dumps(document_schema(), indent=2, ensure_ascii=False))
    return DONE


COMMANDS: Final[Mapping[str, Command]] = {
    "solve": Command("print angles, shaft, motion, set-points and findings", _solve_words, _solve),
    **{PAPERS[what].word: _paper_command(what) for what in PAPERS},
    "sketch": Command("write the side and top views", _sketch_words, _sketch),
    "study": Command("judge the build over ranges of its entries", _study_words, _study),
    "plan": Command("find the best plans over what may be changed", _plan_words, _plan),
    "speeds": Command("tell up to which road speed the shaft runs smooth", _again_words, _speeds),
    "sure": Command("tell how sure the answer is with this gauge and tape", _sure_words, _sure),
    "vibration": Command("tell what a vibration on the road may come from", _vibration_words, _vibration),
    "again": Command("tell whether what was measured again sits as set", _again_words, _again),
    "beside": Command("hold a plan that is kept beside the build against it", _beside_words, _beside),
    "schema": Command("print the JSON Schema of the build document", _no_words, _schema),
}
"""Every command but the window, which has no word of its own."""
