"""``reelwright bench``."""

from __future__ import annotations

import ctypes
import os
import sys
from pathlib import Path

import click

from author.cli.option_words import NAMED_PATH
from author.errors import InputError, MachineError
from author.progress import Cancel

_INSTALL = (
    "Install the libraries Qt needs: on Debian and Ubuntu libegl1 libgl1 libxkbcommon0 "
    "libdbus-1-3 libfontconfig1 libxcb-cursor0 libxkbcommon-x11-0 libxcb-icccm4 libxcb-keysyms1"
)


@click.command("bench")
@click.argument("paths", nargs=-1, type=NAMED_PATH)
@click.option("--dark/--light", default=None, help="Colours of the window.")
@click.pass_obj
def bench_command(cancel: Cancel, paths: tuple[Path, ...], dark: bool | None) -> int:
    """Open the window on a PROCEDURE, or on RECORDINGS to begin one from.

    Without anything it asks. The films stay where they are and are never changed.
    """
    for path in paths:
        if not path.exists():
            raise InputError("there is no such file or folder", remedy="Check its name", file=path)
    _look_for_display()
    try:
        from author.bench.app import run
    except ImportError as error:
        raise MachineError(f"the window cannot be shown: {error}", remedy=_INSTALL) from None
    return run(paths, dark=dark, cancel=cancel)


def _look_for_display() -> None:
    """Say what Qt would only say by ending the process.

    Raises:
        MachineError: there is no display, or a library its way to it needs is missing.
    """
    if not sys.platform.startswith("linux") or os.environ.get("QT_QPA_PLATFORM"):
        return
    if os.environ.get("WAYLAND_DISPLAY"):
        return
    if not os.environ.get("DISPLAY"):
        raise MachineError(
            "the window cannot be shown: there is no display",
            remedy="Run it in a desktop session; the other commands need none",
        )
    try:
        ctypes.CDLL("libxcb-cursor.so.0")
        xcb = ctypes.CDLL("libxcb.so.1")
    except OSError as error:
        raise MachineError(f"the window cannot be shown: {error}", remedy=_INSTALL) from None
    if not _answers(xcb):
        raise MachineError(
            f"the window cannot be shown: display {os.environ['DISPLAY']} does not answer",
            remedy="Check DISPLAY, or run it in a desktop session",
        )


def _answers(xcb: ctypes.CDLL) -> bool:
    """Whether the display that is named can be reached."""
    xcb.xcb_connect.restype = ctypes.c_void_p
    xcb.xcb_connection_has_error.argtypes = [ctypes.c_void_p]
    xcb.xcb_disconnect.argtypes = [ctypes.c_void_p]
    connection = xcb.xcb_connect(None, None)
    fault = xcb.xcb_connection_has_error(connection)
    xcb.xcb_disconnect(connection)
    return not fault
