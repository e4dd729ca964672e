"""A request to end, while there is something to be put back or taken away first."""

from __future__ import annotations

import signal
from contextlib import contextmanager
from threading import current_thread, main_thread
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator


@contextmanager
def ended_like_an_interrupt() -> Iterator[None]:
    """A request to end, or a terminal that is closed, is answered like Ctrl-C: first everything is put in order.

    Only here: at any other time there is nothing to lose, and a solver that is at work answers no interrupt for long.
    """
    signals = [getattr(signal, name) for name in ("SIGTERM", "SIGHUP") if hasattr(signal, name)]
    if current_thread() is not main_thread():
        signals = []
    changed = [number for number in signals if signal.getsignal(number) is signal.SIG_DFL]
    for number in changed:
        signal.signal(number, signal.default_int_handler)
    try:
        yield
    finally:
        for number in changed:
            signal.signal(number, signal.SIG_DFL)
