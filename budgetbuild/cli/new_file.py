"""Files that a command makes new: never over one that is there, unless that is asked for."""

from __future__ import annotations

import os
from typing import TYPE_CHECKING

from budgetbuild.faults import Cell, Fault, UserInputError

if TYPE_CHECKING:
    import argparse
    from pathlib import Path


def add_force(parser: argparse.ArgumentParser) -> None:
    """The option that allows it."""
    parser.add_argument("--force", action="store_true", help="write over a file that is there")


def refuse_to_overwrite(path: Path, ending: str, *, force: bool) -> None:
    """A file that a person may have filled in stays, and a name without its ending opens nowhere.

    Args:
        path: Where the command is to write.
        ending: What the file's name must end in, with its dot.
        force: Whether a file that is there may be written over.

    Raises:
        UserInputError: It may not be written, and why.
    """
    if path.suffix.lower() != ending:
        mend = f"name it {path.stem or 'catalogue'}{ending}"
        raise UserInputError([Fault(Cell(), "wrong-ending", str(path), f"a file name that ends in {ending}", mend)])
    if os.path.lexists(path) and not force:
        mend = "choose another name, or write over it with --force"
        raise UserInputError([Fault(Cell(), "file-exists", str(path), "a file that is not there yet", mend)])


def save_new(path: Path, content: bytes) -> None:
    """Save one file, whole or not at all."""
    from budgetbuild.report.save import save_all

    save_all({path.name: content}, path.parent)
