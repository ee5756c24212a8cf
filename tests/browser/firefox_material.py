"""Drives Debian's Firefox without a screen over Marionette, its own protocol for remote control.

A message is JSON behind its length and a colon: ``[0, number, command, parameters]`` there, and
``[1, number, error, result]`` back. The commands are those of W3C WebDriver under other names.
"""

from __future__ import annotations

import json
import socket
import subprocess
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from itertools import count
from pathlib import Path
from typing import Any

FIREFOX = Path("/usr/bin/firefox-esr")
SECONDS = 60
"""The longest wait for the browser or for something in a page."""
PREFERENCES: dict[str, bool | int | str] = {
    "marionette.port": 0,
    "remote.prefs.recommended": True,  # the browser's own choice for tests: no updates, no news
    "app.update.disabledForTesting": True,
    "network.proxy.type": 0,
    "datareporting.policy.dataSubmissionEnabled": False,
    "browser.shell.checkDefaultBrowser": False,
    "media.autoplay.default": 1,  # no sound before a press, as a student has it
    "media.autoplay.blocking_policy": 0,
    "media.cubeb.force_mock_context": True,  # an audio device and a microphone of its own
}
KEEP = """
globalThis.asked ??= [];
if (!globalThis.watching) {
  globalThis.watching = { observe: (subject) => {
    const channel = subject.QueryInterface(Ci.nsIHttpChannel);
    if (channel.loadInfo.browsingContextID) globalThis.asked.push(channel.URI.spec);
  } };
  Services.obs.addObserver(globalThis.watching, "http-on-modify-request");
}
"""
"""Keeps the addresses of the requests of all pages."""
COMPLAINTS = """return Services.console.getMessageArray()
  .filter((one) => one instanceof Ci.nsIScriptError && !(one.flags & one.warningFlag))
  .filter((one) => !/^(chrome|resource|moz-src):/.test(one.sourceName))
  .map((one) => one.errorMessage);"""


class FirefoxError(Exception):
    """The browser refused a command, or a script in it failed."""


class Firefox:
    """A Firefox with a new profile in a folder; one page, of which `evaluate` asks and which
    `click` presses as a student does."""

    def __init__(self, folder: Path, **preferences: bool | int | str) -> None:
        lines = [
            f"user_pref({json.dumps(name)}, {json.dumps(value)});"
            for name, value in (PREFERENCES | preferences).items()
        ]
        (folder / "user.js").write_text("\n".join(lines), "utf-8")
        self._process = subprocess.Popen(
            [FIREFOX, "--headless", "--no-remote", "--marionette", "--profile", folder,
             "-remote-allow-system-access", "about:blank"],
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )  # fmt: skip
        self._numbers = count(1)
        try:
            port = _waited(lambda: (folder / "MarionetteActivePort").read_text("utf-8"))
            self._socket = socket.create_connection(("127.0.0.1", int(port)), timeout=SECONDS)
            self._stream = self._socket.makefile("rb")
            self._read()  # who it is
            self.command("WebDriver:NewSession")
            self.command("WebDriver:SetTimeouts", script=SECONDS * 1000)
        except BaseException:
            self._process.kill()
            raise

    def close(self) -> None:
        """End the browser."""
        self._socket.close()
        self._process.terminate()
        self._process.wait(SECONDS)

    def command(self, name: str, **parameters: Any) -> Any:
        """The result of a command of Marionette. Raises FirefoxError."""
        message = json.dumps([0, next(self._numbers), name, parameters]).encode()
        self._socket.sendall(b"%d:%s" % (len(message), message))
        _, _, error, result = self._read()
        if error:
            raise FirefoxError(f"{name}: {error['error']}: {error['message']}")
        return result

    def _read(self) -> Any:
        digits = b""
        while (sign := self._stream.read(1)) not in (b":", b""):
            digits += sign
        return json.loads(self._stream.read(int(digits)))

    def goto(self, address: str) -> None:
        """Open an address and wait until it is loaded."""
        self.command("WebDriver:Navigate", url=address)

    def evaluate(self, script: str, argument: Any = None) -> Any:
        """The value of an expression in the page, or of a function of `argument`, once it is
        settled."""
        body = (
            "const [argument, done] = arguments;"
            f"const found = ({script});"
            "Promise.resolve(typeof found === 'function' ? found(argument) : found)"
            ".then((value) => done([value ?? null]), (error) => done(`${error}`));"
        )
        found = self.command(
            "WebDriver:ExecuteAsyncScript", script=body, args=[argument], sandbox=None
        )["value"]
        if isinstance(found, str):
            raise FirefoxError(found)
        return found[0]

    def wait_for(self, script: str, argument: Any = None) -> None:
        """Wait until an expression or a function in the page gives something true."""
        _waited(lambda: self.evaluate(script, argument))

    def click(self, selector: str) -> None:
        """Press the middle of an element."""
        element = self.command("WebDriver:FindElement", using="css selector", value=selector)
        (reference,) = element["value"].values()
        self.command("WebDriver:ElementClick", id=reference)

    def inside(self, script: str, *arguments: Any) -> Any:
        """The result of a script in the browser itself."""
        self.command("Marionette:SetContext", value="chrome")
        try:
            return self.command(
                "WebDriver:ExecuteScript", script=script, args=arguments,
                sandbox="kept", newSandbox=False,
            )["value"]  # fmt: skip
        finally:
            self.command("Marionette:SetContext", value="content")

    def forget(self) -> None:
        """Forget complaints and requests, and keep those of pages from now on."""
        self.inside(f"{KEEP}; globalThis.asked.length = 0; Services.console.reset();")

    @property
    def requests(self) -> list[str]:
        """Addresses of the network that pages asked for since `forget`."""
        return list(self.inside("return globalThis.asked;"))

    @property
    def complaints(self) -> list[str]:
        """Errors of pages since `forget`."""
        return list(self.inside(COMPLAINTS))

    def prefer(self, name: str, value: bool | int | None) -> None:
        """Set one of the browser's preferences from now on; None: as it was at first."""
        kind = {bool: "Bool", int: "Int"}.get(type(value))
        if kind is None:
            self.inside("Services.prefs.clearUserPref(arguments[0])", name)
        else:
            self.inside(f"Services.prefs.set{kind}Pref(...arguments)", name, value)

    @contextmanager
    def hidden(self) -> Iterator[None]:
        """The page lies behind another tab meanwhile."""
        here = self.command("WebDriver:GetWindowHandle")["value"]
        other = self.command("WebDriver:NewWindow", type="tab", focus=True)["handle"]
        try:
            self.wait_for("document.hidden")
            yield
        finally:
            self.command("WebDriver:SwitchToWindow", handle=other)
            self.command("WebDriver:CloseWindow")
            self.command("WebDriver:SwitchToWindow", handle=here)


def _waited(asked: Callable[[], Any]) -> Any:
    """What a function gives once that is something true and it raises no OSError."""
    end = time.monotonic() + SECONDS
    while time.monotonic() < end:
        try:
            if found := asked():
                return found
        except OSError:
            pass
        time.sleep(0.02)
    raise FirefoxError(f"nothing came in {SECONDS} seconds")
