"""The command line: parses, calls the library, prints. Nothing else in the package prints."""

from budgetbuild.cli.main import main, make_parser

__all__ = ["main", "make_parser"]
