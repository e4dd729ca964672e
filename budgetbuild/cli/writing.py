"""What is said of files: what a run before this one left half done, and what this one has written."""

from __future__ import annotations

import os
from pathlib import Path
from typing import TYPE_CHECKING

from budgetbuild.cli.console import tell
from budgetbuild.report.save import put_right, saved, unfinished

if TYPE_CHECKING:
    import argparse
    from collections.abc import Sequence

    from budgetbuild.faults import Fault

WRITTEN_INTO = ("out", "file", "pick_list", "into_copy", "suggest")
"""The options that say where a command writes: a folder, or a file in one."""
KEPT = "fleet-unfinished"
"""The folder of what a fleet keeps for the next run, which is nothing that anybody was given."""


def put_right_first(arguments: argparse.Namespace) -> None:
    """Undo what a killed run left half done in the folders of this command, and say so.

    Raises:
        UserInputError: The disk refuses.
    """
    paths = [path for option in WRITTEN_INTO if isinstance(path := vars(arguments).get(option), Path)]
    for folder in dict.fromkeys(path if os.path.isdir(path) else path.parent for path in paths):  # noqa: PTH112 - also where nobody may look
        names = put_right(folder)
        if names:
            tell(f"A run that was saving into {folder} was stopped midway; as before it again: {', '.join(names)}.")


def what_was_written(faults: Sequence[Fault] = ()) -> str:
    """What a command that ends early, because of faults say, has written, in a sentence."""
    if unfinished or any(fault.code == "not-put-back" for fault in faults):
        return "Some of the earlier files are not back yet."
    folders = dict.fromkeys(str(folder) for folder in saved if KEPT not in folder.parts)
    return f"Written before that: {', '.join(folders)}." if folders else "Nothing was written."
