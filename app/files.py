"""Build documents on disk: read with one clear line for whatever is wrong, written whole or not at all.

The text of a file is canonical: one build has exactly one text, so that opening and saving changes no byte and a
comparison of two versions shows what a person changed and nothing else.
"""

from __future__ import annotations

import hashlib
import json
import re
import secrets
import shutil
import stat
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from os import W_OK, access, fsync
from pathlib import Path
from typing import Any, BinaryIO, Final, NamedTuple

from pydantic import ValidationError

from app.complaints import first_complaint, one_line, short_path, shortened
from geometry.document import FORMAT, Build
from geometry.words.wording import small

if sys.platform != "win32":
    import fcntl

LARGEST_BYTES: Final = 4_000_000
"""Far beyond any vehicle: a hundred obstacles of four hundred corners each come to half of it."""
_TOO_DEEP: Final = "is nested too deeply; it is not a build file"
_MOST_ITEMS: Final = 1_000  # of a list, and entries of an object: more than any build has, few enough to complain of
_HALF_A_LETTER: Final = re.compile("[\ud800-\udfff]")
_CHANGES: Final = "changes"
_WIDEST: Final = 100  # columns up to which a list of numbers stays on one line
_YOUNG_S: Final = 60  # a draft is made and put in place within less, but for the time in which its lock is held
NO_FILE: Final = ""
"""Digest of a file that is not there."""


class FileTrouble(Exception):  # noqa: N818  (what it tells is the person's trouble, seldom the program's error)
    """A file that cannot be read or written; its str is one line that names the file and, where known, the field."""

    def __init__(self, path: Path, what: str) -> None:
        super().__init__(one_line(f"{path}: {what}"))
        self.path = path
        self.what = one_line(what)

    @property
    def sentence(self) -> str:
        """The same as a sentence, for the window; the terminal has the file before a colon, as its tools do."""
        verb = self.what.startswith(("is ", "was ", "cannot "))
        return f"{one_line(str(self.path))}{' ' if verb else ': '}{self.what.rstrip('.')}."


class FileChanged(FileTrouble):
    """The file no longer holds what it held when it was read; `digest` is of what it holds now."""

    def __init__(self, path: Path, digest: str) -> None:
        what = "is no longer there" if digest == NO_FILE else "was changed by another window or program"
        super().__init__(path, f"{what}; it is left as it is")
        self.digest = digest


class Held(NamedTuple):
    """What a file held: the build, and the digest by which a later change of the file is seen; None without a file."""

    build: Build
    digest: str | None


def read_build(path: Path) -> Build:
    """Read a build document.

    Raises
    ------
    FileTrouble
        When there is no such file, it cannot be read, or what it holds is not a possible build.
    """
    return read_held(path).build


def read_held(path: Path) -> Held:
    """Read a build document as `read_build` does, with the digest of the very bytes that were read."""
    content = _content(path)
    return Held(_built(path, _text(path, content)), _digest(content))


def _built(path: Path, text: str) -> Build:
    _check_format(path, _parsed(path, text))
    try:
        return Build.model_validate_json(text)
    except ValidationError as error:
        first = error.errors()[0]
        if first["type"] == "json_invalid":  # what one parser takes and the other does not, as half a letter
            why = str(first["ctx"]["error"])
            deep = why.startswith("recursion limit")
            raise FileTrouble(path, _TOO_DEEP if deep else f"is not valid JSON: {why}") from None
        raise FileTrouble(path, first_complaint(error).sentence) from None


def write_build(path: Path, build: Build, over: str | None = None) -> str:
    """Write a build document, so that whatever happens meanwhile there is the old file or the new one, never half.

    With `over`, only a file that still has this digest is written over (or one that holds this very build already).
    Returns the digest of what was written.

    Raises
    ------
    FileChanged
        When the file there has another digest than `over`.
    FileTrouble
        When the file cannot be written there, or when what stands there was made by a newer version.
    """
    content = build_text(build).encode("utf-8")

    def unchanged() -> None:
        now = digest_of(path)
        if over is not None and now not in {over, _digest(content)}:
            raise FileChanged(path, now)

    _guard_newer(path)
    unchanged()  # asked first, as a full disk would hide it, and again as the last thing before the exchange
    with put_in_place(path, unchanged) as draft:
        draft.write_bytes(content)
    return _digest(content)


def digest_of(path: Path) -> str:
    """Digest of what a file holds, `NO_FILE` where there is none.

    Raises
    ------
    FileTrouble
        When what is there cannot be read, or can be no build file.
    """
    try:
        path.stat()
    except (FileNotFoundError, NotADirectoryError):
        return NO_FILE
    except (OSError, ValueError):
        pass  # said more clearly by the reading
    return _digest(_content(path))


def build_text(build: Build) -> str:
    """Return the canonical JSON text of a build: format first, entries in the document's order, nothing that is empty.

    >>> print(build_text(Build.model_validate_json('{"axle": {"centre_mm": [2946, 0, 368]}}')), end="")
    {
      "format": 1,
      "display": {
        "length": "inch",
        "torque": "pound_foot"
      },
      "axle": {
        "end": "rear",
        "centre_mm": [2946.0, 0.0, 368.0]
      }
    }
    """
    return _laid_out(build.model_dump(), "") + "\n"


@contextmanager
def put_in_place(path: Path, last: Callable[[], None] = lambda: None) -> Iterator[Path]:
    """Give a new empty file beside `path` to write to; it takes the place of `path` when the block ends without error.

    An existing file keeps its permissions, and a link its target's place. On any error the draft is removed and
    `path` is untouched. `last` is called when the draft is whole, just before the exchange; what it raises stops it.
    Drafts that a killed writer of the same file left are removed.

    Raises
    ------
    FileTrouble
        When `path` is no ordinary file, is write-protected, or its folder takes no new file; before the block is
        entered. Also for an operating system's error in the block or at the exchange.
    """
    try:
        target = path.resolve()
        existing = target.stat() if target.exists() else None
        if existing is not None and not stat.S_ISREG(existing.st_mode):
            raise FileTrouble(path, f"is {_kind_of_file(existing.st_mode)}; name a file to write")
        if existing is not None and not access(target, W_OK):
            raise FileTrouble(path, "is write-protected; choose another name")
        if not target.parent.is_dir():
            raise FileTrouble(path, f"cannot be written: there is no folder {target.parent}")
        with suppress(OSError):
            _sweep(target)
        draft = target.with_name(f".{target.stem[:40]}-{secrets.token_hex(6)}{target.suffix}")
        held = draft.open("xb")  # made anew and with the usual permissions of a new file
    except (OSError, ValueError, RuntimeError) as error:
        raise FileTrouble(path, f"cannot be written: {_why(error)}") from None
    try:
        with held:
            _lock(held)
            yield draft
            fsync(held.fileno())
        if existing is not None:
            shutil.copymode(target, draft)
        last()
        draft.replace(target)
    except OSError as error:
        raise FileTrouble(path, f"cannot be written: {_why(error)}") from None
    finally:
        with suppress(OSError):  # the first trouble is the one to tell
            draft.unlink(missing_ok=True)


def sweep_drafts(path: Path) -> None:
    """Remove what a killed writer of a file left beside it, never the draft of a writer that lives."""
    with suppress(OSError, ValueError, RuntimeError):
        _sweep(path.resolve())


def _sweep(target: Path) -> None:
    """Remove drafts of a file that nobody holds; one that cannot be looked at or removed stays."""
    draft = re.compile(re.escape(f".{target.stem[:40]}-") + "[0-9a-f]{12}" + re.escape(target.suffix))
    for found in target.parent.iterdir():
        with suppress(OSError):
            status = found.lstat() if draft.fullmatch(found.name) else None
            if status is None or not stat.S_ISREG(status.st_mode) or time.time() - status.st_mtime < _YOUNG_S:
                continue
            if _is_nobodys(found):
                found.unlink()


def _is_nobodys(draft: Path) -> bool:
    if sys.platform == "win32":
        return True  # a file that someone has open cannot be removed
    with draft.open("rb+") as held:
        return _lock(held)


def _lock(held: BinaryIO) -> bool:
    """Take a file for as long as it is open; False where another has it, or where such a lock is not to be had."""
    if sys.platform != "win32":
        try:
            fcntl.flock(held, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError:
            return False
    return True


def sample_path() -> Path:
    """Return the sample that is opened when no file is named.

    Raises
    ------
    FileTrouble
        When the samples are not beside the program.
    """
    path = Path(__file__).resolve().parent.parent / "sample_builds" / "ranch_truck_swap.json"
    if not path.is_file():
        raise FileTrouble(path, "the sample is not there; name a build file")
    return path


def _content(path: Path) -> bytes:
    """What a file holds that may be a build file."""
    try:
        status = path.stat()
        if not stat.S_ISREG(status.st_mode):
            raise FileTrouble(path, f"is {_kind_of_file(status.st_mode)}, not a build file")
        if status.st_size > LARGEST_BYTES:
            raise FileTrouble(path, _too_large())
        with path.open("rb") as file:
            content = file.read(LARGEST_BYTES + 1)
    except (OSError, ValueError) as error:
        raise FileTrouble(path, f"cannot be read: {_why(error)}") from None
    if len(content) > LARGEST_BYTES:  # a file that grows while it is read
        raise FileTrouble(path, _too_large())
    return content


def _digest(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()


def _text(path: Path, content: bytes) -> str:
    try:
        text = content.decode("utf-8-sig")  # some editors put a mark before the first letter
    except UnicodeDecodeError as error:
        what = f"is not UTF-8 text (byte {error.start + 1}); if it is a build file, save it as UTF-8"
        raise FileTrouble(path, what) from None
    if "\0" in text[:4]:  # as UTF-16 or UTF-32 without a mark begins
        raise FileTrouble(path, "is not UTF-8 text (it holds zeros); if it is a build file, save it as UTF-8")
    if not text.strip():
        raise FileTrouble(path, "is empty; a build document begins with {")
    return text


def _too_large() -> str:
    return f"is larger than {LARGEST_BYTES // 1_000_000} MB; it is not a build file"


def _why(error: Exception) -> str:
    """Say in words why the system refused; ValueError comes from names that no file can have."""
    match error:
        case FileNotFoundError():
            return "there is no such file"
        case PermissionError():
            return "permission is refused"
        case IsADirectoryError():
            return "it is a folder"
        case NotADirectoryError():
            return "a part of its path is a file, not a folder"
        case OSError():
            return (error.strerror or str(error)).lower()
    return "no file can have this name"


def _kind_of_file(mode: int) -> str:
    return "a folder" if stat.S_ISDIR(mode) else "a device or pipe"


class _Object(dict[str, Any]):
    """A JSON object that remembers a key which stood in it twice."""

    twice: str | None = None


def _object(pairs: list[tuple[str, Any]]) -> _Object:
    made = _Object()
    for key, value in pairs:
        if key in made and made.twice is None:
            made.twice = key
        made[key] = value
    return made


def _parsed(path: Path, text: str) -> _Object:
    """Parse and refuse what pydantic would let pass: keys given twice, of which the last would silently win."""
    try:
        tree = json.loads(text, object_pairs_hook=_object)
        fault = _fault(tree, "")
    except json.JSONDecodeError as error:
        why = small(error.msg).removesuffix(" at")
        what = f"is not valid JSON: {why} at line {error.lineno}, column {error.colno}"
        raise FileTrouble(path, what) from None
    except RecursionError:
        raise FileTrouble(path, _TOO_DEEP) from None
    except ValueError:
        raise FileTrouble(path, "is not a build file: it holds a number with too many digits") from None
    if not isinstance(tree, _Object):
        raise FileTrouble(path, "is not a build document, which is one object in { }")
    if fault is not None:
        raise FileTrouble(path, fault)
    return tree


def _fault(value: object, path: str) -> str | None:
    """Say what is wrong first of all that the models would not see or could not say; None where nothing is."""
    if isinstance(value, str):
        half = _HALF_A_LETTER.search(value)
        return None if half is None else f"{_where(path)}holds half a letter ({one_line(half[0])}); type it anew"
    if isinstance(value, _Object):
        if value.twice is not None:
            return f"{_where(f'{path}{value.twice}.')}is given twice; remove one"
        items: Any = value.items()
    elif isinstance(value, list):
        items = enumerate(value)
    else:
        return None
    if len(value) > _MOST_ITEMS:
        what = "entries" if isinstance(value, _Object) else "items"
        return f"{_where(path)}has {len(value)} {what}, which no build document has; remove some"
    return next((found for key, item in items if (found := _fault(item, f"{path}{key}.")) is not None), None)


def _where(path: str) -> str:
    return f"{short_path(path.removesuffix('.'))}: " if path else ""


def _check_format(path: Path, tree: _Object) -> None:
    number = tree.get("format", FORMAT)
    _refuse_if_newer(path, number)
    if isinstance(number, bool) or number != FORMAT:
        shown = shortened(json.dumps(number, ensure_ascii=False))
        raise FileTrouble(path, f"format (Format): must be {FORMAT}; this is {shown}. Correct it or leave it out.")


def _refuse_if_newer(path: Path, number: object) -> None:
    if isinstance(number, int | float) and not isinstance(number, bool) and FORMAT < number < float("inf"):
        shown = shortened(json.dumps(number))
        what = f"format (Format): {shown} was made by a newer version of this program, which reads format {FORMAT}"
        raise FileTrouble(path, f"{what}; it is left untouched")


def _guard_newer(path: Path) -> None:
    """Refuse to write over a file that holds more than this version knows of."""
    try:
        if not path.is_file():
            return
        number = _parsed(path, _text(path, _content(path))).get("format")
    except FileTrouble as trouble:
        if trouble.what == _too_large():
            raise
        return  # no build at all: whoever chose this name was asked whether to replace it
    except OSError:
        return  # said more clearly when the writing itself is tried
    _refuse_if_newer(path, number)


def _laid_out(value: Any, indent: str, *, whole: bool = False) -> str:
    """JSON text with one entry a line, but a list of numbers on one line, as a point is read; what is empty only of
    the `whole`: in the changes of a kept plan it tells what is left empty there.
    """
    inner = f"{indent}  "
    if isinstance(value, dict):
        entries = [
            f"{inner}{json.dumps(key, ensure_ascii=False)}: {_laid_out(item, inner, whole=key == _CHANGES)}"
            for key, item in value.items()
            if whole or (item is not None and item not in ((), ""))
        ]
        return "{\n" + ",\n".join(entries) + f"\n{indent}}}" if entries else "{}"
    if isinstance(value, tuple):
        row = json.dumps(value, ensure_ascii=False, allow_nan=False)
        if len(indent) + len(row) <= _WIDEST and not any(isinstance(item, dict | tuple) for item in value):
            return row
        return "[\n" + ",\n".join(f"{inner}{_laid_out(item, inner)}" for item in value) + f"\n{indent}]"
    return json.dumps(value, ensure_ascii=False, allow_nan=False)
