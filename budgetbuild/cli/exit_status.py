"""What the command's exit status says."""

from __future__ import annotations

from enum import IntEnum


class ExitStatus(IntEnum):
    """How a command ended."""

    DONE = 0
    DEFECT = 1
    """A defect in the tool, or a solver that is missing or answers wrongly."""
    BAD_INPUT = 2
    """Bad input or usage; nothing was written."""
    NO_SOLUTION = 3
    """Written, but some build has no solution."""
    NO_LONGER_TRUE = 4
    """Written, but something that was published no longer holds."""
    INTERRUPTED = 130
    """As shells have it for an interrupt: 128 + signal 2."""
    READER_GONE = 141
    """As shells have it where nobody reads any further: 128 + signal 13. What was to be told is not told."""
