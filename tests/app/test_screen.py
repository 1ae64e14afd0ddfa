"""Whether a window can open: every case played through with pretended libraries and screens."""

import ctypes
from collections.abc import Callable

import pytest

from app import screen
from app.screen import trouble_with_window, what_to_install


def loader(*missing: str) -> Callable[[str], object]:
    """A loader of system libraries on a machine that lacks some."""

    def load(name: str) -> object:
        if name in missing:
            raise OSError(f"{name}: cannot open shared object file: No such file or directory")
        return object()

    return load


def trouble(environment: dict[str, str], *missing: str, answering: str = "xcb wayland") -> str | None:
    return trouble_with_window(environment, "linux", loader(*missing), lambda way: way in answering.split())


@pytest.mark.parametrize(
    "environment",
    [
        {"DISPLAY": ":0"},
        {"WAYLAND_DISPLAY": "wayland-0"},
        {"DISPLAY": ":0", "WAYLAND_DISPLAY": "wayland-0"},
        {"DISPLAY": ":0", "QT_QPA_PLATFORM": "xcb"},
        {"QT_QPA_PLATFORM": "linuxfb:fb=/dev/fb0"},
    ],
)
def test_window_can_open(environment: dict[str, str]) -> None:
    assert trouble(environment) is None


@pytest.mark.parametrize("platform", ["offscreen", "minimal", "offscreen:configfile=x", "minimalegl"])
def test_platform_that_shows_nothing_is_no_screen(platform: str) -> None:
    said = trouble({"DISPLAY": ":0", "QT_QPA_PLATFORM": platform})
    assert said is not None
    assert said.startswith(f"There is no screen here: QT_QPA_PLATFORM is {platform.partition(':')[0]}")


@pytest.mark.parametrize("environment", [{}, {"DISPLAY": "", "WAYLAND_DISPLAY": ""}])
def test_no_screen(environment: dict[str, str]) -> None:
    assert trouble(environment) == "There is no screen here: neither DISPLAY nor WAYLAND_DISPLAY is set."
    assert trouble_with_window(environment, "darwin", loader("libEGL.so.1")) is None
    assert trouble_with_window(environment, "win32", loader("libEGL.so.1")) is None


@pytest.mark.parametrize(
    ("missing", "debian", "fedora"),
    [  # package names as Debian 12 and Fedora 40 have them, from memory
        ("libEGL.so.1", "libegl1", "libglvnd-egl"),
        ("libGL.so.1", "libgl1", "libglvnd-glx"),
        ("libxkbcommon.so.0", "libxkbcommon0", "libxkbcommon"),
        ("libfontconfig.so.1", "libfontconfig1", "fontconfig"),
        ("libdbus-1.so.3", "libdbus-1-3", "dbus-libs"),
        ("libglib-2.0.so.0", "libglib2.0-0", "glib2"),
        ("libxcb-cursor.so.0", "libxcb-cursor0", "xcb-util-cursor"),
        ("libxkbcommon-x11.so.0", "libxkbcommon-x11-0", "libxkbcommon-x11"),
        ("libxcb-icccm.so.4", "libxcb-icccm4", "xcb-util-wm"),
        ("libxcb-keysyms.so.1", "libxcb-keysyms1", "xcb-util-keysyms"),
        ("libxcb-image.so.0", "libxcb-image0", "xcb-util-image"),
        ("libxcb-render-util.so.0", "libxcb-render-util0", "xcb-util-renderutil"),
    ],
)
def test_missing_library_names_its_package(missing: str, debian: str, fedora: str) -> None:
    said = trouble({"DISPLAY": ":0"}, missing)
    assert said is not None
    assert "\n" not in said
    assert f"missing ({missing})" in said
    assert f"sudo apt install {debian}." in said
    assert f"sudo dnf install {fedora}." in said


def test_several_missing_libraries_are_one_command_without_repeats() -> None:
    said = what_to_install(["libxcb-randr.so.0", "libxcb-sync.so.1"])
    assert "sudo apt install libxcb-randr0 libxcb-sync1." in said
    assert "sudo dnf install libxcb." in said


def test_one_way_onto_the_screen_is_enough() -> None:
    two = {"DISPLAY": ":0", "WAYLAND_DISPLAY": "wayland-0"}
    assert trouble(two, "libxcb-cursor.so.0") is None
    assert trouble(two, "libwayland-cursor.so.0") is None
    assert trouble(two, answering="xcb") is None
    said = trouble(two, "libxcb-cursor.so.0", "libwayland-cursor.so.0")
    assert said is not None
    assert "libxcb-cursor0" in said


def test_screen_that_does_not_answer() -> None:
    said = trouble({"DISPLAY": ":99"}, answering="")
    assert said == "There is no screen here: DISPLAY is :99, but nothing answers there."
    said = trouble({"QT_QPA_PLATFORM": "xcb"}, answering="")
    assert said == "There is no screen here: DISPLAY is not set, but nothing answers there."


def test_knocking_hands_the_whole_pointer_back(monkeypatch: pytest.MonkeyPatch) -> None:
    """A screen's address is wider than an int; cut down, closing it again would bring the program down."""
    address, closed = 0x5555_1234_5678, []

    class Function:
        restype: object = ctypes.c_int
        argtypes: object = None

        def __init__(self, name: str) -> None:
            self.name = name

        def __call__(self, given: int | None) -> int | None:
            if self.name == "XOpenDisplay":
                return address if self.restype is ctypes.c_void_p else address & 0x7FFF_FFFF
            closed.append(given)
            return 0

    class Library:
        def __init__(self, name: str) -> None:
            assert name == "libX11.so.6"

        def __getitem__(self, name: str) -> Function:  # as ctypes: a new one at every look-up
            return Function(name)

    monkeypatch.setattr(ctypes, "CDLL", Library)
    assert screen._answers("xcb")
    assert closed == [address]
