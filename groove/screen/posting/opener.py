"""Shows a folder or a page with the programs of the system that are meant for it."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import webbrowser
from collections.abc import Mapping
from pathlib import Path

PAGE = ".html"
PATIENCE = 3.0
"""Seconds in which a program that can't show it says so."""


def opening_command(
    path: Path, platform: str = sys.platform, environment: Mapping[str, str] = os.environ
) -> list[str] | None:
    """The program that shows a path, with its arguments; None where the system has none.

    A desktop of Linux or the like is there where a display is.
    """
    place = str(path.absolute())  # begins with a slash, so that it is never taken for an option
    if platform == "darwin":
        return ["open", place]
    has_display = environment.get("DISPLAY") or environment.get("WAYLAND_DISPLAY")
    program = shutil.which("xdg-open", path=environment.get("PATH")) if has_display else None
    return [program, place] if program else None


def show(path: Path) -> bool:
    """Show a folder in the file manager, or a page in the browser. Returns whether that worked.

    Where the system has no program for that, a browser that Python finds shows a page.
    """
    return _shown_by_system(path) or (path.suffix == PAGE and _shown_by_browser(path))


def _shown_by_browser(path: Path) -> bool:
    """Show a page in a browser that has a window of its own, not in this program's terminal."""
    try:
        browser = webbrowser.get()
        if type(browser) is webbrowser.GenericBrowser:  # waits for its end; may be a text browser
            return False
        return browser.open(path.absolute().as_uri())
    except (webbrowser.Error, OSError):
        return False


def _shown_by_system(path: Path) -> bool:
    if sys.platform == "win32":
        try:
            os.startfile(path.absolute())
        except OSError:
            return False
        return True
    command = opening_command(path)
    if command is None:
        return False
    nothing = subprocess.DEVNULL
    try:
        program = subprocess.Popen(
            command, stdin=nothing, stdout=nothing, stderr=nothing, start_new_session=True
        )
        return program.wait(PATIENCE) == 0
    except subprocess.TimeoutExpired:
        return True  # it goes on for as long as the window is open
    except OSError:
        return False
