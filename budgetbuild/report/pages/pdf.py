"""Prints the HTML guide to a PDF file, with an installed browser; the page's own style says how it prints."""

from __future__ import annotations

import os
import re
import signal
import subprocess
import sys
import tempfile
from pathlib import Path
from typing import TYPE_CHECKING

from budgetbuild.faults import Cell, Fault, UserInputError
from budgetbuild.report.ending import ended_like_an_interrupt
from budgetbuild.report.pages.browser import VARIABLE

if TYPE_CHECKING:
    from collections.abc import Sequence

LIMIT_S = 120.0
"""Most time that a browser gets, in seconds; it takes some two on a common computer."""

LEAST_VERSION = 131
"""The first version of Chromium that prints page numbers as the page's style asks for them, and opens what is folded
away (https://developer.chrome.com/release-notes/131)."""

OPTIONS = (
    "--headless",
    "--disable-gpu",
    "--no-first-run",
    "--no-default-browser-check",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-extensions",
    "--disable-sync",
    # Nothing may be fetched, whatever a shop's own template asks for.
    "--host-resolver-rules=MAP * ~NOTFOUND",
    "--no-pdf-header-footer",
    "--generate-pdf-document-outline",
)

DATE = b"D:20000101000000+00'00'"
"""What stands in place of the time of printing, so that the same guide gives the same bytes."""
_ELEMENT = re.compile(rb"\(node(\d{8})\)")
_PRINTED_ON = re.compile(rb"(/(?:Creation|Mod)Date \()D:\d{14}[+-]\d\d'\d\d'(?=\))")


def print_pdf(page: bytes, browser: Path, limit_s: float = LIMIT_S) -> bytes:
    """A page as a PDF file; the same page and browser give the same bytes.

    Args:
        page: One HTML page without outside parts.
        browser: One of the Chromium family, as `find_browser` finds it.
        limit_s: Most time that it gets, in seconds.

    Raises:
        UserInputError: The browser cannot be started, fails, takes too long, prints nothing or is too old.
    """
    # A browser may still be writing into its profile as it ends; what is left then is the system's to clear away.
    folder_of_its_own = tempfile.TemporaryDirectory(prefix="budgetbuild-", ignore_cleanup_errors=True)
    with ended_like_an_interrupt(), folder_of_its_own as name:
        folder = Path(name)
        source, printed, said = folder / "guide.html", folder / "guide.pdf", folder / "said.txt"
        source.write_bytes(page)
        profile = f"--user-data-dir={folder / 'profile'}"
        command = [str(browser), *OPTIONS, *_sandbox(), profile, f"--print-to-pdf={printed}", source.as_uri()]
        status = _run(command, said, limit_s)
        if status or not printed.is_file():
            raise _refusal(browser, f"{_ended(status)}{_last_line(said)}", "a browser that prints the guide")
        return _steady(_checked(printed.read_bytes(), browser))


def _sandbox() -> list[str]:
    """The sandbox keeps hostile pages in; a browser started by root has none and refuses to run with it.

    Doing without is acceptable here, since the one page that it opens is the tool's own, runs no script and loads
    nothing.
    """
    return ["--no-sandbox"] if sys.platform != "win32" and os.geteuid() == 0 else []


def _run(command: Sequence[str], said: Path, limit_s: float) -> int:
    """Run the browser and tell its exit status; what it says goes into a file, which no process can block.

    Raises:
        UserInputError: It cannot be started or takes too long.
    """
    browser = Path(command[0])
    with said.open("wb") as stream:
        try:
            process = subprocess.Popen(  # noqa: S603 - the command is made above, from a browser that the user has
                command, stdin=subprocess.DEVNULL, stdout=stream, stderr=stream, start_new_session=True
            )
        except OSError as error:
            found = f"the browser cannot be started: {error.strerror or error}"
            raise _refusal(browser, found, "a browser that can be run") from error
        try:
            return process.wait(limit_s)
        except subprocess.TimeoutExpired:
            found = f"the browser was still printing after {limit_s:g} seconds"
            raise _refusal(browser, found, "a browser that prints the guide in that time") from None
        finally:
            if process.poll() is None:
                _end(process)


def _end(process: subprocess.Popen[bytes]) -> None:
    """End a browser with every process that it started."""
    if sys.platform == "win32":
        process.kill()
    else:
        os.killpg(process.pid, signal.SIGKILL)
    process.wait()


def _checked(pdf: bytes, browser: Path) -> bytes:
    """The file as it is.

    Raises:
        UserInputError: It is no whole PDF file, or made by a browser that cannot number pages.
    """
    if not pdf.startswith(b"%PDF-") or b"%%EOF" not in pdf[-64:]:
        raise _refusal(browser, "what the browser wrote is no PDF file", "a browser that prints the guide")
    version = re.search(rb"Skia/PDF m(\d+)", pdf)
    if version is None or int(version[1]) < LEAST_VERSION:
        found = f"a browser of version {version[1].decode()}" if version else "a browser of another family"
        raise _refusal(browser, found, f"version {LEAST_VERSION} of Chromium or a later one, which numbers pages")
    return pdf


def _steady(pdf: bytes) -> bytes:
    """The file without the time at which it was printed; every byte stays where it is, as the file's index wants.

    The browser numbers the elements of a page from where it stands; here they are numbered from 1, in the same order.
    Text of a guide cannot look like these, since a bracket inside of it is written with a backslash.
    """
    numbers = {number: place for place, number in enumerate(sorted(set(_ELEMENT.findall(pdf))), start=1)}
    steady = _ELEMENT.sub(lambda found: b"(node%08d)" % numbers[found[1]], pdf)
    return _PRINTED_ON.sub(rb"\g<1>" + DATE, steady)


def _ended(status: int) -> str:
    return f"the browser ended with status {status}" if status else "the browser printed nothing"


def _last_line(said: Path) -> str:
    """The last thing that the browser said, which is where it says why it gives up; without the mark of who said it."""
    lines = said.read_text("utf-8", "replace").split("\n")
    last = next((line.strip() for line in reversed(lines) if line.strip()), "")
    words = re.sub(r"^\[.*?\] *", "", last)
    return f": {words}" if words else ""


def _refusal(browser: Path, found: str, expected: str) -> UserInputError:
    mend = f"mend {browser}, name another browser in the environment variable {VARIABLE}, or leave out --pdf"
    return UserInputError([Fault(Cell("--pdf"), "browser-failed", found, expected, mend)])
