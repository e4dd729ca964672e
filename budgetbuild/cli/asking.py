"""Questions at the terminal, one at a time: on standard error, with Tab completion where the system has it."""

from __future__ import annotations

import os
import shlex
import sys
from contextlib import contextmanager
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from budgetbuild.catalogue.asked import unknown
from budgetbuild.catalogue.names import fold
from budgetbuild.catalogue.parse import NO, YES
from budgetbuild.catalogue.typed import typed_budget
from budgetbuild.cli.console import clean, tell
from budgetbuild.faults import Cell, Fault, UserInputError

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from pathlib import Path

    from budgetbuild.catalogue.listed import Listed, ListedBrief

DIGITS = 4
"""Digits of the longest number that can stand for a name in a list."""
UNREADABLE = "\N{REPLACEMENT CHARACTER}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Given:
    """What was said on the command line; empty where it was not."""

    brief: str = ""
    vehicle: str = ""
    budget: str = ""
    fitted: bool = False

    @property
    def nothing(self) -> bool:
        """Whether no option at all says what is wanted."""
        return self == Given()


def can_ask() -> bool:
    """Whether a person sits at both ends."""
    return all(stream is not None and stream.isatty() for stream in (sys.stdin, sys.stderr))


def lacks(given: Given, listed: Listed) -> bool:
    """Whether a quote cannot be made from what was said.

    There is no budget; or several briefs and none named; or several vehicles in the brief and none named.
    """
    briefs = [one for one in listed.briefs if not given.brief or fold(one.name) == fold(given.brief)]
    open_vehicle = not given.vehicle and any(brief.several for brief in briefs)
    return not given.budget or not (given.brief or len(listed.briefs) == 1) or open_vehicle


def ask_missing(given: Given, listed: Listed) -> Given:
    """Ask for what was not said.

    Raises:
        UserInputError: The answers end before the questions do.
        KeyboardInterrupt: Whoever was asked broke off.
    """
    with _questions_on_stderr():
        brief = _ask_brief(given, listed)
        told = replace(given, brief=brief.name if brief else given.brief)
        told = replace(told, vehicle=given.vehicle or _ask_vehicle(listed, brief))
        told = replace(told, budget=given.budget or _ask_budget(listed.currency))
        if given.nothing and brief and not brief.fitted:
            told = replace(told, fitted=_ask_yes("Fitted by the shop, labour in the price?", "--fitted"))
    return told


def same_again(given: Given, catalogue: Path, prices: Path | None = None) -> str:
    """The command that asks for the same without questions."""
    files = [str(catalogue), *(["--prices", str(prices)] if prices else [])]
    words = ["budgetbuild", "quote", *files, "--brief", given.brief, "--vehicle", given.vehicle]
    return shlex.join([*words, "--budget", given.budget, *(["--fitted"] if given.fitted else [])])


def _ask_brief(given: Given, listed: Listed) -> ListedBrief | None:
    """The brief that is meant; the only one where there is one alone."""
    by_name = {fold(brief.name): brief for brief in reversed(listed.briefs)}
    if given.brief or len(listed.briefs) == 1:
        return by_name.get(fold(given.brief or listed.briefs[0].name))
    remarks = [_for_which(brief) for brief in listed.briefs]
    name = _ask_name("Brief", "--brief", [brief.name for brief in listed.briefs], remarks=remarks)
    return by_name[fold(name)]


def _for_which(brief: ListedBrief) -> str:
    """The vehicle of a brief, in a list of briefs."""
    return "for several vehicles" if brief.several else f"for {brief.vehicle}" if brief.vehicle else ""


def _ask_vehicle(listed: Listed, brief: ListedBrief | None) -> str:
    """The vehicle, the brief's own by default."""
    own = next((name for name in listed.vehicles if brief and fold(name) == fold(brief.vehicle)), "")
    return _ask_name("Vehicle", "--vehicle", listed.vehicles, default=own)


def _ask_name(what: str, option: str, names: Sequence[str], *, remarks: Sequence[str] = (), default: str = "") -> str:
    """One of the names: by number, by name, or by a beginning that only one has."""
    for number, name in enumerate(names, start=1):
        remark = remarks[number - 1] if remarks else ""
        tell(f"{number:3}  {name}{f'  ({remark})' if remark else ''}")
    prompt = f"{what}, number or name{f' [{default}]' if default else ''}: "
    with _completing([clean(name) for name in names]):
        while True:
            answer = _input(prompt, option)
            if not answer.strip() and default:
                return default
            found = chosen(answer, names)
            if found is not None:
                return found
            if answer.strip():
                tell(f'"{answer}" is none of these, or may be several; {_hint(answer, option, names)}.')


def chosen(answer: str, names: Sequence[str]) -> str | None:
    """The name that is meant: by the name itself, by its number, or by a beginning that only one name has.

    >>> names = ["Keep own", "Keep factory", "Replace"]
    >>> chosen("replace", names), chosen("2", names), chosen("keep f", names), chosen("keep", names), chosen("4", names)
    ('Replace', 'Keep factory', 'Keep factory', None, None)
    """
    wanted = fold(clean(answer))
    folded = [fold(clean(name)) for name in names]
    if wanted in folded:
        return names[folded.index(wanted)]
    if wanted.isascii() and wanted.isdecimal() and len(wanted) <= DIGITS and 1 <= int(wanted) <= len(names):
        return names[int(wanted) - 1]
    begun = [name for name, known in zip(names, folded, strict=True) if wanted and known.startswith(wanted)]
    return begun[0] if len(begun) == 1 else None


def _hint(answer: str, option: str, names: Sequence[str]) -> str:
    """The names that hold every word of the answer, else those that are spelt most like it."""
    words = fold(clean(answer)).split()
    holding = [name for name in names if all(word in fold(clean(name)) for word in words)]
    return f"write {' or '.join(holding)}" if holding else unknown(option, answer, list(names)).mend


def _ask_budget(currency: str) -> str:
    """An amount that can be read in one way only."""
    while True:
        answer = _input(f"Budget in {currency}: ", "--budget")
        budget = typed_budget(answer, currency)
        if not isinstance(budget, Fault):
            return answer
        tell(f"Found {budget.found}; expected {budget.expected}; {budget.mend}.")


def _ask_yes(question: str, option: str) -> bool:
    """Yes or no, no by default."""
    while True:
        answer = fold(_input(f"{question} yes or no [no]: ", option))
        if answer in YES | NO | {""}:
            return answer in YES
        tell("Write yes or no.")


def _input(prompt: str, option: str) -> str:
    """One answer.

    Raises:
        UserInputError: There are no more answers.
    """
    try:
        return input(clean(prompt))
    except UnicodeDecodeError:
        return UNREADABLE
    except KeyboardInterrupt:
        tell("")  # what is said next does not belong on the line with the question
        raise
    except EOFError:
        tell("")
        mend = f"answer the question, or give {option}"
        raise UserInputError([Fault(Cell(option), "no-answer", "no answer", "an answer", mend)]) from None


@contextmanager
def _questions_on_stderr() -> Iterator[None]:
    """Line editing writes to the process's standard output: while questions are asked, that is standard error."""
    sys.stdout.flush()
    saved = os.dup(1)
    os.dup2(2, 1)
    try:
        yield
    finally:
        os.dup2(saved, 1)
        os.close(saved)


@contextmanager
def _completing(names: Sequence[str]) -> Iterator[None]:
    """Tab completes a name; without effect where the system has no line editing."""
    try:
        import readline
    except ImportError:
        yield
        return

    def complete(text: str, state: int) -> str | None:
        begun = [name for name in names if fold(name).startswith(fold(text))]
        return begun[state] if state < len(begun) else None

    edit_line = "libedit" in (readline.__doc__ or "")
    readline.set_auto_history(False)
    readline.set_completer_delims("")
    readline.parse_and_bind("bind ^I rl_complete" if edit_line else "tab: complete")
    readline.set_completer(complete)
    try:
        yield
    finally:
        readline.set_completer(None)
