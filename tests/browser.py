"""A real browser without a window: Chromium over its debugging pipe, by the standard library alone.

The protocol is Chromium's own (chromedevtools.github.io/devtools-protocol): JSON messages, each ended by a zero byte,
read on file descriptor 3 and written on 4.
"""

import base64
import fcntl
import json
import os
import select
import shutil
import subprocess
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

NAMES = ("chromium", "chromium-browser", "google-chrome-stable")
CONNECTED = 'reads=$1 writes=$2; shift 2; exec "$@" 3<&"$reads" 4>&"$writes"'
PATIENCE = 30.0  # s for one answer


def program() -> str | None:
    """The browser's program; None where there is none."""
    return next((found for name in NAMES if (found := shutil.which(name))), None)


class Browser:
    """One browser with one tab; what the tab complained of and asked the network for is kept."""

    def __init__(self, folder: Path) -> None:
        flags = [
            "--headless=new",
            "--no-sandbox",
            "--disable-gpu",
            "--disable-dev-shm-usage",
            "--hide-scrollbars",
        ]
        more = ["--no-first-run", f"--user-data-dir={folder}", "--remote-debugging-pipe", "about:blank"]
        (reads, self._to), (self._from, writes) = os.pipe(), os.pipe()  # what it reads, and what it writes
        ends = [_high(reads), _high(writes)]
        self._process = subprocess.Popen(
            ["bash", "-c", CONNECTED, "bash", *map(str, ends), str(program()), *flags, *more],
            pass_fds=ends,
            stdin=subprocess.DEVNULL,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
        for end in ends:
            os.close(end)
        self._rest, self._count, self._session = b"", 0, ""
        self.said: list[str] = []
        self.asked: list[str] = []
        self._loaded = False
        target = self.call("Target.createTarget", url="about:blank")["targetId"]
        self._session = self.call("Target.attachToTarget", targetId=target, flatten=True)["sessionId"]
        for domain in ("Page", "Runtime", "Log", "Network"):
            self.call(f"{domain}.enable")

    def close(self) -> None:
        """End the browser."""
        try:
            self._session = ""
            self.call("Browser.close")
            self._process.wait(timeout=10.0)
        except (OSError, TimeoutError, subprocess.TimeoutExpired):
            self._process.kill()
            self._process.wait()
        os.close(self._to)
        os.close(self._from)

    def call(self, method: str, **given: Any) -> dict[str, Any]:
        """Ask the browser for something and wait for its answer."""
        self._count += 1
        message = {"id": self._count, "method": method, "params": given}
        if self._session:
            message["sessionId"] = self._session
        os.write(self._to, json.dumps(message).encode() + b"\0")
        for answer in self._messages():
            if answer.get("id") == self._count:
                assert "error" not in answer, answer
                return answer.get("result", {})
        raise AssertionError("the browser ended")

    def open(self, path: Path, width: int = 390, height: int = 844, *, dark: bool = False) -> None:
        """Open a file in a window of that size [CSS pixels]."""
        self.said, self.asked, self._loaded = [], [], False
        self.widened(width, height)
        self.scheme(dark=dark)
        self.call("Page.navigate", url=path.resolve().as_uri())
        for _ in self._messages():
            if self._loaded:
                break

    def widened(self, width: int, height: int = 844) -> None:
        """Give the window that size [CSS pixels]."""
        how = {"deviceScaleFactor": 2, "mobile": width < 600}
        self.call("Emulation.setDeviceMetricsOverride", width=width, height=height, **how)

    def scheme(self, *, dark: bool) -> None:
        """Ask for light or dark colours."""
        scheme = {"name": "prefers-color-scheme", "value": "dark" if dark else "light"}
        self.call("Emulation.setEmulatedMedia", features=[scheme])

    def ask(self, expression: str) -> Any:
        """The value of an expression of the page's script."""
        told = self.call("Runtime.evaluate", expression=expression, returnByValue=True, awaitPromise=True)
        assert "exceptionDetails" not in told, told
        return told["result"].get("value")

    def press(self, key: str, code: int) -> None:
        """Press and release a key on the element that has the focus."""
        for kind in ("rawKeyDown", "keyUp"):
            self.call("Input.dispatchKeyEvent", type=kind, key=key, code=key, windowsVirtualKeyCode=code)

    def picture(self, path: Path) -> None:
        """The whole page as a PNG file."""
        told = self.call("Page.captureScreenshot", captureBeyondViewport=True)
        path.write_bytes(base64.b64decode(told["data"]))

    def printed(self) -> bytes:
        """The page as printed, a PDF file."""
        told = self.call("Page.printToPDF", printBackground=True, paperWidth=8.27, paperHeight=11.69)
        return base64.b64decode(told["data"])

    def _messages(self) -> Iterator[dict[str, Any]]:
        """What the browser says, one message after the other; TimeoutError when it falls silent."""
        end = time.monotonic() + PATIENCE
        while True:
            while b"\0" not in self._rest:
                if not select.select([self._from], [], [], max(0.0, end - time.monotonic()))[0]:
                    raise TimeoutError("the browser does not answer")
                part = os.read(self._from, 1 << 20)
                if not part:
                    return
                self._rest += part
            text, _, self._rest = self._rest.partition(b"\0")
            message = json.loads(text)
            self._noted(message)
            yield message

    def _noted(self, message: dict[str, Any]) -> None:
        method, given = message.get("method", ""), message.get("params", {})
        if method == "Runtime.exceptionThrown":
            self.said.append(json.dumps(given["exceptionDetails"]))
        elif method == "Runtime.consoleAPICalled" and given["type"] in ("error", "warning", "assert"):
            self.said.append(json.dumps(given["args"]))
        elif method == "Log.entryAdded" and given["entry"]["level"] in ("error", "warning"):
            self.said.append(json.dumps(given["entry"]))
        elif method == "Network.requestWillBeSent":
            self.asked.append(given["request"]["url"])
        elif method == "Page.loadEventFired":
            self._loaded = True


@contextmanager
def browser() -> Iterator[Browser]:
    """A browser that is gone afterwards, with all it kept."""
    with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as folder:
        it = Browser(Path(folder))
        try:
            yield it
        finally:
            it.close()


def _high(descriptor: int) -> int:
    """The same file under a number that is in nobody's way; the lower one is closed."""
    other = fcntl.fcntl(descriptor, fcntl.F_DUPFD, 32)
    os.close(descriptor)
    return other
