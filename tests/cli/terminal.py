"""A real pseudo-terminal with somebody at it who answers questions."""

from __future__ import annotations

import fcntl
import os
import pty
import re
import select
import struct
import subprocess
import sys
import termios
import time
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

START = """\
import fcntl, signal, sys, termios
signal.signal(signal.SIGINT, signal.default_int_handler)
fcntl.ioctl(0, termios.TIOCSCTTY, 0)
from budgetbuild.cli import main
sys.exit(main(sys.argv[1:]))
"""
"""Runs the command with the terminal as its own, so that Ctrl-C reaches it, whatever the tests were started from."""

PATIENCE_S = 30.0
HAND_S = 0.1
"""Nobody is quicker: a signal between the prompt and the wait for keys would go unseen until the next key."""
_STEERING = re.compile(r"\x1b\[[0-9;?]*[A-Za-z]|\r|\x07")


@dataclass(frozen=True)
class Sitting:
    """What one saw at the terminal, steering sequences taken out, and what went elsewhere."""

    status: int
    seen: str
    raw: str
    piped: str


def sit(
    arguments: Sequence[str],
    answers: Sequence[tuple[str, str | bytes]] = (),
    *,
    columns: int = 80,
    stdout: Path | None = None,
    environment: dict[str, str] | None = None,
) -> Sitting:
    """Run a command at a terminal.

    Args:
        arguments: Of the command.
        answers: Pairs of a text to wait for and what is typed then, keys and all.
        columns: Width of the terminal.
        stdout: A file that standard output goes to instead.
        environment: Variables beside those of the test.
    """
    ours, theirs = pty.openpty()
    fcntl.ioctl(theirs, termios.TIOCSWINSZ, struct.pack("HHHH", 50, columns, 0, 0))
    surroundings = {key: value for key, value in os.environ.items() if key not in {"COLUMNS", "LINES", "NO_COLOR"}}
    out = stdout.open("wb") if stdout else None
    with subprocess.Popen(  # noqa: S603 - our own code
        [sys.executable, "-c", START, *arguments],
        stdin=theirs,
        stdout=out or theirs,
        stderr=theirs,
        start_new_session=True,
        env={**surroundings, "TERM": "xterm", "PYTHONPATH": os.pathsep.join(sys.path), **(environment or {})},
    ) as process:
        os.close(theirs)
        raw = _talk(ours, list(answers), process)
    os.close(ours)
    if out:
        out.close()
    return Sitting(process.returncode, _STEERING.sub("", raw), raw, stdout.read_text("utf-8") if stdout else "")


def _talk(terminal: int, answers: list[tuple[str, str | bytes]], process: subprocess.Popen[bytes]) -> str:
    """Type each answer once its question stands there; everything shown, until the command ends."""
    shown, heard, end = b"", 0, time.monotonic() + PATIENCE_S
    while True:
        ready, _, _ = select.select([terminal], [], [], max(0.0, end - time.monotonic()))
        if not ready:
            process.kill()
            raise TimeoutError(shown.decode(errors="replace"))
        try:
            read = os.read(terminal, 65536)
        except OSError:  # how Linux tells that the other end is closed
            read = b""
        if not read:
            return shown.decode("utf-8", "replace")
        shown += read
        if answers and answers[0][0].encode() in shown[heard:]:
            heard = len(shown)
            time.sleep(HAND_S)
            typed = answers.pop(0)[1]
            os.write(terminal, typed if isinstance(typed, bytes) else typed.encode())
