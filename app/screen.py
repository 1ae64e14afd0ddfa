"""Whether a window can open here, found out before Qt is asked: Qt ends the whole program when it cannot show one."""

from __future__ import annotations

import ctypes
import os
import sys
from collections.abc import Callable, Mapping, Sequence
from typing import Final

Load = Callable[[str], object]

_UNSEEN: Final = frozenset({"offscreen", "minimal", "minimalegl", "vnc"})
"""Qt platforms that draw where nobody looks: a window there would wait for ever."""

# Each system library that Qt loads: its Debian and Ubuntu package, and its Fedora one.
_GUI: Final[Mapping[str, tuple[str, str]]] = {
    "libglib-2.0.so.0": ("libglib2.0-0", "glib2"),
    "libEGL.so.1": ("libegl1", "libglvnd-egl"),
    "libGL.so.1": ("libgl1", "libglvnd-glx"),
    "libfontconfig.so.1": ("libfontconfig1", "fontconfig"),
    "libfreetype.so.6": ("libfreetype6", "freetype"),
    "libxkbcommon.so.0": ("libxkbcommon0", "libxkbcommon"),
    "libdbus-1.so.3": ("libdbus-1-3", "dbus-libs"),
    "libX11.so.6": ("libx11-6", "libX11"),
}
_X11: Final[Mapping[str, tuple[str, str]]] = {
    "libX11-xcb.so.1": ("libx11-xcb1", "libX11-xcb"),
    "libxcb.so.1": ("libxcb1", "libxcb"),
    "libxcb-cursor.so.0": ("libxcb-cursor0", "xcb-util-cursor"),
    "libxcb-icccm.so.4": ("libxcb-icccm4", "xcb-util-wm"),
    "libxcb-image.so.0": ("libxcb-image0", "xcb-util-image"),
    "libxcb-keysyms.so.1": ("libxcb-keysyms1", "xcb-util-keysyms"),
    "libxcb-randr.so.0": ("libxcb-randr0", "libxcb"),
    "libxcb-render.so.0": ("libxcb-render0", "libxcb"),
    "libxcb-render-util.so.0": ("libxcb-render-util0", "xcb-util-renderutil"),
    "libxcb-shape.so.0": ("libxcb-shape0", "libxcb"),
    "libxcb-shm.so.0": ("libxcb-shm0", "libxcb"),
    "libxcb-sync.so.1": ("libxcb-sync1", "libxcb"),
    "libxcb-util.so.1": ("libxcb-util1", "xcb-util"),
    "libxcb-xfixes.so.0": ("libxcb-xfixes0", "libxcb"),
    "libxcb-xkb.so.1": ("libxcb-xkb1", "libxcb"),
    "libxkbcommon-x11.so.0": ("libxkbcommon-x11-0", "libxkbcommon-x11"),
}
_WAYLAND: Final[Mapping[str, tuple[str, str]]] = {
    "libwayland-client.so.0": ("libwayland-client0", "libwayland-client"),
    "libwayland-cursor.so.0": ("libwayland-cursor0", "libwayland-cursor"),
}

_WAYS: Final = {"xcb": _X11, "wayland": _WAYLAND}
_VARIABLES: Final = {"xcb": "DISPLAY", "wayland": "WAYLAND_DISPLAY"}


def trouble_with_window(
    environment: Mapping[str, str] | None = None,
    platform: str = sys.platform,
    load: Load = ctypes.CDLL,
    answers: Callable[[str], bool] | None = None,
) -> str | None:
    """Say in one sentence why no window can open here, or None when one can.

    Tries the system libraries that Qt needs on Linux, one by one, through `load`, which raises OSError for a missing
    one, and then whether the screen that is named `answers` ("xcb" or "wayland"). Other systems bring both with them.
    """
    environment = os.environ if environment is None else environment
    wanted = environment.get("QT_QPA_PLATFORM", "").partition(":")[0].partition(";")[0].strip()
    if wanted in _UNSEEN:
        return f"There is no screen here: QT_QPA_PLATFORM is {wanted}, which shows no window."
    if platform != "linux":
        return None
    named = {way: environment.get(variable) for way, variable in _VARIABLES.items() if environment.get(variable)}
    if not wanted and not named:
        return "There is no screen here: neither DISPLAY nor WAYLAND_DISPLAY is set."
    if missing := missing_libraries(load, _GUI):
        return what_to_install(missing)
    ways = [wanted] if wanted in _WAYS else [] if wanted else list(named)
    return _trouble_with_ways(ways, environment, load, answers or _answers)


def _trouble_with_ways(
    ways: Sequence[str], environment: Mapping[str, str], load: Load, answers: Callable[[str], bool]
) -> str | None:
    """Say why none of the ways leads onto a screen, or None when one does, or when there is none to be judged."""
    lacking = {way: missing_libraries(load, _WAYS[way]) for way in ways}
    ready = [way for way in ways if not lacking[way]]
    if ways and not ready:
        return what_to_install(lacking[ways[0]])
    if ready and not any(answers(way) for way in ready):
        where = " and ".join(f"{_VARIABLES[way]} is {environment.get(_VARIABLES[way]) or 'not set'}" for way in ready)
        return f"There is no screen here: {where}, but nothing answers there."
    return None


def missing_libraries(load: Load, needed: Mapping[str, tuple[str, str]]) -> list[str]:
    """Return those of the needed libraries that do not load."""
    missing = []
    for name in needed:
        try:
            load(name)
        except OSError:
            missing.append(name)
    return missing


def what_to_install(missing: Sequence[str]) -> str:
    """Name the packages that hold the missing libraries, in one line.

    >>> what_to_install(["libEGL.so.1"])[:70]
    'The window needs system libraries that are missing (libEGL.so.1). On D'
    """
    packages = {**_GUI, **_X11, **_WAYLAND}
    debian = " ".join(dict.fromkeys(packages[name][0] for name in missing))
    fedora = " ".join(dict.fromkeys(packages[name][1] for name in missing))
    return (
        f"The window needs system libraries that are missing ({', '.join(missing)}). "
        f"On Debian or Ubuntu: sudo apt install {debian}. On Fedora: sudo dnf install {fedora}."
    )


def _answers(way: str) -> bool:
    """Knock at the screen that the environment names, and go away again."""
    library, knock, leave = _KNOCKS[way]
    client = ctypes.CDLL(library)
    # Looked up once: every look-up by name makes a new function, with pointers cut down to an int again.
    come, go = client[knock], client[leave]
    come.restype, come.argtypes = ctypes.c_void_p, [ctypes.c_char_p]
    go.restype, go.argtypes = ctypes.c_int, [ctypes.c_void_p]
    screen = come(None)
    if screen:
        go(screen)
    return bool(screen)


_KNOCKS: Final = {
    "xcb": ("libX11.so.6", "XOpenDisplay", "XCloseDisplay"),
    "wayland": ("libwayland-client.so.0", "wl_display_connect", "wl_display_disconnect"),
}
