"""The generated sections of README.md: between `<!-- name -->` and `<!-- /name -->`, written by what they describe."""

from __future__ import annotations

import argparse
import re
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator


def section(text: str, name: str) -> str:
    r"""What stands between the markers of a section.

    >>> section("<!-- a -->\nbody\n<!-- /a -->\n", "a")
    'body\n'
    """
    found = re.search(pattern(name), text, re.DOTALL)
    assert found, f"README.md has no section <!-- {name} -->"
    return found[2]


def with_section(text: str, name: str, body: str) -> str:
    r"""The text with another body between the markers of a section.

    >>> with_section("<!-- a -->\nold\n<!-- /a -->\n", "a", "new\n")
    '<!-- a -->\nnew\n<!-- /a -->\n'
    """
    return re.sub(pattern(name), lambda found: f"{found[1]}{body}{found[3]}", text, count=1, flags=re.DOTALL)


def pattern(name: str) -> str:
    """Expression for a section: opening marker, body, closing marker."""
    return rf"(<!-- {name} -->\n)(.*?)(<!-- /{name} -->)"


def subcommands(parser: argparse.ArgumentParser) -> dict[str, argparse.ArgumentParser]:
    """The commands of a parser, by name."""
    for action in actions(parser):
        if isinstance(action, argparse._SubParsersAction):  # noqa: SLF001 - argparse has no public way to ask
            return dict(action.choices)
    return {}


def actions(parser: argparse.ArgumentParser) -> list[argparse.Action]:
    """Arguments and options of a parser, `--help` left out."""
    every = parser._actions  # noqa: SLF001 - argparse has no public way to ask
    return [action for action in every if action.dest != "help" and action.help != argparse.SUPPRESS]


def describe_commands(parser: argparse.ArgumentParser) -> str:
    """Markdown for every command: how it is called, what it does, its options.

    >>> parser = argparse.ArgumentParser("tool")
    >>> build = parser.add_subparsers().add_parser("build", description="Build it.")
    >>> _ = build.add_argument("catalogue"), build.add_argument("--out", metavar="DIR", required=True, help="folder")
    >>> print(describe_commands(parser))
    <BLANKLINE>
    **`tool build CATALOGUE --out DIR`**: Build it.
    <BLANKLINE>
    | option | meaning |
    |---|---|
    | `--out DIR` | folder |
    <BLANKLINE>
    <BLANKLINE>
    """
    return "\n" + "".join(
        line + "\n"
        for name, command in subcommands(parser).items()
        for line in describe_command(f"{parser.prog} {name}", command)
    )


def describe_command(name: str, command: argparse.ArgumentParser) -> Iterator[str]:
    """Lines of Markdown for one command."""
    needed = [call(action) for action in actions(command) if action.required or not action.option_strings]
    yield f"**`{' '.join([name, *needed])}`**: {one_line(command.description or '')}"
    yield ""
    options = [action for action in actions(command) if action.option_strings]
    if options:
        yield "| option | meaning |"
        yield "|---|---|"
        for action in options:
            yield f"| `{in_a_cell(call(action))}` | {in_a_cell(expanded(action))} |"
        yield ""


def in_a_cell(text: str) -> str:
    r"""Text for a cell of a Markdown table, code or not.

    >>> print(in_a_cell("SKU|BRAND"))
    SKU\|BRAND
    """
    return text.replace("|", "\\|")


def call(action: argparse.Action) -> str:
    """How one argument or option is written."""
    if not action.option_strings:
        name = str(action.metavar or action.dest.upper())
        return f"[{name}]" if action.nargs in ("?", "*") else name
    value = "" if action.nargs == 0 else f" {value_name(action)}"
    return f"{action.option_strings[-1]}{value}"


def value_name(action: argparse.Action) -> str:
    """Placeholder of an option's value."""
    if action.metavar is None and action.choices:
        return "{" + ",".join(map(str, action.choices)) + "}"
    return str(action.metavar or action.dest.upper())


def expanded(action: argparse.Action) -> str:
    """An option's help on one line, with its default filled in."""
    values = {**vars(action), "prog": "budgetbuild"}
    return one_line((action.help or "") % values)


def one_line(text: str) -> str:
    """Text with its line breaks taken out."""
    return " ".join(text.split())
