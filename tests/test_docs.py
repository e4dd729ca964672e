"""The documentation says what the tool has: commands, options, sheets, columns; CI runs the README's two commands."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest

from budgetbuild.catalogue.columns import SETTINGS, SHEETS
from budgetbuild.catalogue.describe import describe_workbook
from budgetbuild.cli import make_parser
from tests.readme import actions, describe_commands, section, subcommands, with_section

if TYPE_CHECKING:
    from pathlib import Path

SECTIONS = {
    "commands": lambda: describe_commands(make_parser()),
    "workbook": describe_workbook,
}
"""Generated sections of README.md, and what writes each."""


@pytest.fixture(scope="module")
def readme(repository: Path) -> str:
    """The text of README.md."""
    return (repository / "README.md").read_text("utf-8")


@pytest.mark.parametrize("name", SECTIONS)
def test_generated_section_of_the_readme_is_up_to_date(
    name: str, repository: Path, request: pytest.FixtureRequest
) -> None:
    path = repository / "README.md"
    text = path.read_text("utf-8")
    if request.config.getoption("--golden-update"):
        path.write_text(with_section(text, name, SECTIONS[name]()), "utf-8", newline="\n")
        return
    assert section(text, name) == SECTIONS[name](), "run this test with --golden-update, then review README.md"


def test_every_command_and_option_stands_in_the_readme(readme: str) -> None:
    commands = subcommands(make_parser())
    options = {
        option
        for command in commands.values()
        for action in actions(command)
        for option in action.option_strings
        if option.startswith("--")
    }
    assert commands
    assert [name for name in commands if f"budgetbuild {name}" not in readme] == []
    assert [option for option in sorted(options) if f"`{option}" not in readme] == []


def test_every_sheet_column_and_setting_stands_in_the_readme(readme: str) -> None:
    names = {sheet.name for sheet in SHEETS} | {column.header for sheet in SHEETS for column in sheet.columns}
    names |= {row.header for row in SETTINGS}
    assert [name for name in sorted(names) if f"`{name}`" not in readme] == []


def test_the_two_commands_of_the_readme_are_what_ci_runs(readme: str, repository: Path) -> None:
    block = re.search(r"```sh\n(.*?)```", readme, re.DOTALL)
    assert block
    commands = block[1].splitlines()
    assert len(commands) == 2
    ci = (repository / ".ci" / "run").read_text("utf-8").splitlines()
    assert [command for command in commands if command not in ci] == []


@pytest.mark.parametrize("document", ["README.md", "DEVELOPERS.md", "CHANGELOG.md"])
def test_every_link_into_the_repository_leads_somewhere(document: str, repository: Path) -> None:
    text = (repository / document).read_text("utf-8")
    targets = re.findall(r"\]\(([^)#]+)(?:#[^)]*)?\)", text)
    local = [target for target in targets if "://" not in target]
    assert [target for target in local if not (repository / target).exists()] == []
