"""The catalogue that a command reads: the words that name it, fresh prices laid over it, and what they changed."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from budgetbuild.catalogue.load import load_catalogue
from budgetbuild.catalogue.price_file import WORDS

if TYPE_CHECKING:
    import argparse

    from budgetbuild.catalogue.asked import Asked
    from budgetbuild.catalogue.shop import Catalogue


def add_catalogue(parser: argparse.ArgumentParser) -> None:
    """Describe the catalogue, and the price file that may be laid over it."""
    parser.add_argument("catalogue", type=Path, metavar="CATALOGUE.xlsx", help="the shop's catalogue workbook")
    parser.add_argument(
        "--prices",
        type=Path,
        metavar="FILE",
        help=f"take fresh values from this file (CSV or xlsx) wherever it has some: {WORDS}, by SKU",
    )


def add_out(parser: argparse.ArgumentParser, folder: str = "out") -> None:
    """Describe the folder that is written into."""
    parser.add_argument(
        "--out", type=Path, default=Path(folder), metavar="DIR", help=f"folder to write into (default: {folder})"
    )


def add_only(parser: argparse.ArgumentParser, *kinds: str) -> None:
    """Describe how to name some tiers, briefs or vehicles of the catalogue instead of all."""
    for kind in kinds:
        parser.add_argument(
            f"--{kind}", action="append", default=[], metavar="NAME", help=f"only this {kind}; may be repeated"
        )


def load(arguments: argparse.Namespace, asked: Asked | None = None) -> Catalogue:
    """Read the catalogue with the price file laid over it, and tell in short what that changed.

    Args:
        arguments: Those of `add_catalogue`; where they ask for silence or for data alone, nothing is told.
        asked: The one brief to read it for, instead of those that its tiers name.

    Raises:
        UserInputError: With every fault of both files at once.
    """
    return told(arguments, load_catalogue(arguments.catalogue, asked, arguments.prices))


def is_same(path: Path, other: Path | None) -> bool:
    """Whether a path leads to a file that is there under another name too."""
    try:
        return other is not None and path.samefile(other)
    except OSError:  # one of them is not there, or nobody may look
        return False


def told(arguments: argparse.Namespace, catalogue: Catalogue) -> Catalogue:
    """The catalogue, once it is told in short what the price file changed in it."""
    silent = vars(arguments).get("quiet") or vars(arguments).get("json")
    if catalogue.fresh and not silent:
        from budgetbuild.cli.fresh_prices import tell_fresh

        tell_fresh(catalogue.fresh, catalogue.settings)
    return catalogue
