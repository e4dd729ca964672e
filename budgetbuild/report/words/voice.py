"""How a shop says things: its sentences, filled in with figures as it writes them.

The sentences stand in `sentences.toml` among the templates. A shop's own file of that name changes the ones that it
names; what it may not do (name a sentence that does not exist, quote a figure that is not there) is told at once, for
all of its sentences, before anything is solved or written. What keeps people from harm is said in the tool's own words
and is not the shop's to change.
"""

from __future__ import annotations

import os
import tomllib
from dataclasses import dataclass
from functools import lru_cache
from string import Formatter
from typing import TYPE_CHECKING

from budgetbuild.catalogue.names import without_unseen
from budgetbuild.faults import Cell, Fault, UserInputError
from budgetbuild.given import MEGABYTE, read_given, toml_trouble
from budgetbuild.report.assets import template_folders
from budgetbuild.report.words.format import label
from budgetbuild.report.words.notation import Notation

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping
    from pathlib import Path

    from budgetbuild.catalogue.shop import Settings

FILE = "sentences.toml"
LARGEST = MEGABYTE
"""Bytes; ten times the tool's own sentences."""
SAFETY = "safety"
"""The topic whose sentences stay as they are, so that none can be lost, emptied or turned into its contrary."""

Wordings = tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Voice:
    """A shop's sentences and how it writes what they quote.

    Attributes:
        sentences: Wordings by topic and name.
        turn: Which of several wordings comes: each system of a publication takes the next one.
    """

    notation: Notation
    sentences: Mapping[str, Mapping[str, Wordings]]
    turn: int = 0

    def say(self, topic: str, name: str, /, **figures: str) -> str:
        """A sentence, or a part of one, with its figures filled in.

        Raises:
            ValueError: There is no such sentence, or it quotes a figure that is not given: a defect in the tool.
        """
        wordings = self.sentences.get(topic, {}).get(name)
        if wordings is None:
            raise ValueError(f"no words for {topic} {name!r}")
        try:
            return wordings[self.turn % len(wordings)].format_map(figures)
        except KeyError as error:
            raise ValueError(f"{topic} {name} lacks its figure {error}") from error

    def more_or_less(self, cents: int) -> str:
        """What one system costs against another, by the difference of their totals in cents."""
        name = "more" if cents >= 0 else "less"
        return self.say("amount", name, amount=self.notation.money(abs(cents)))

    def has(self, topic: str, name: str) -> bool:
        """Whether there is such a sentence."""
        return name in self.sentences.get(topic, {})


def voice_of(settings: Settings, templates: Path | None = None) -> Voice:
    """The voice of a shop.

    Args:
        settings: Its currency and locale.
        templates: Its own folder of templates, whose sentences come first.

    Raises:
        UserInputError: There is no such folder, or its sentences cannot be read or used; every one that cannot is told.
    """
    if templates:
        _check_folder(templates)
    sentences = own_sentences(templates / FILE, tool_sentences()) if templates else tool_sentences()
    return Voice(Notation(settings.currency, settings.locale), sentences)


def _check_folder(templates: Path) -> None:
    """A folder of a shop's own has something in it that takes the place of the tool's, or its name is a slip.

    Raises:
        UserInputError: There is no such folder, it may not be read, or nothing in it has the name of a template.
    """
    (tool,) = template_folders()
    known = sorted(path.name for path in tool.iterdir())
    code, found = "no-such-folder", "none"
    try:
        if templates.is_dir():
            code, found = "no-template", "no file of a template's name"
            if any((templates / name).is_file() for name in known):
                return
    except OSError as error:
        code, found = "unreadable-folder", error.strerror or "it may not be read"
    expected = f"a folder with one or more of {', '.join(known)}"
    mend = "name your files like the ones that they take the place of"
    raise UserInputError([Fault(Cell("--templates"), code, f"{templates}: {found}", expected, mend)])


@lru_cache(maxsize=1)
def tool_sentences() -> Mapping[str, Mapping[str, Wordings]]:
    """The tool's own sentences."""
    (folder,) = template_folders()
    written = tomllib.loads((folder / FILE).read_text("utf-8"))
    return {topic: {name: _wordings(text) for name, text in names.items()} for topic, names in written.items()}


def own_sentences(path: Path, known: Mapping[str, Mapping[str, Wordings]]) -> Mapping[str, Mapping[str, Wordings]]:
    """The known sentences with those that a shop's file changes; all of them where it has no such file.

    Raises:
        UserInputError: The file cannot be read, or some of its sentences cannot be used.
    """
    if not os.path.lexists(path):
        return known
    try:
        written = tomllib.loads(read_given(path, "a file of sentences", LARGEST).decode("utf-8-sig"))
    except (RecursionError, ValueError) as error:
        raise UserInputError([_fault(path, label(toml_trouble(error)), "a file of sentences, as TOML")]) from error
    faults = [
        _fault(path, found, expected)
        for topic, names in written.items()
        for found, expected in _unusable(topic, names, known)
    ]
    if faults:
        raise UserInputError(faults)
    return {
        topic: {
            name: _own(written[topic][name]) if name in written.get(topic, {}) else text for name, text in names.items()
        }
        for topic, names in known.items()
    }


def _own(text: str | list[str]) -> Wordings:
    """A shop's wordings as one reads them; a place that does not break a line stays one."""
    return tuple(map(without_unseen, _wordings(text)))


def _wordings(text: str | list[str] | Wordings) -> Wordings:
    return (text,) if isinstance(text, str) else tuple(text)


def _unusable(topic: str, names: object, known: Mapping[str, Mapping[str, Wordings]]) -> Iterator[tuple[str, str]]:
    """What is wrong with the sentences of one topic: what was found, and what should stand there."""
    if topic == SAFETY:
        yield f"[{topic}]", "no sentence of this topic: what keeps people from harm stays as the tool says it"
        return
    if topic not in known or not isinstance(names, dict):
        yield f"[{topic}]", f"one of the topics {', '.join(one for one in known if one != SAFETY)}"
        return
    for name, text in names.items():
        if name not in known[topic]:
            yield f"[{topic}] {name}", f"one of the names {', '.join(known[topic])}"
        elif not isinstance(text, str | list) or not text or any(not isinstance(one, str) for one in _wordings(text)):
            yield f"[{topic}] {name}", "a sentence in quotation marks, or several in square brackets"
        else:
            figures = sorted({figure for wording in known[topic][name] for figure in _figures(wording)})
            allowed = "only " + ", ".join(f"{{{figure}}}" for figure in figures) if figures else "nothing in braces"
            yield from (
                (f"[{topic}] {name} = {label(wording)}", allowed)
                for wording in _wordings(text)
                if not set(_figures(wording)) <= set(figures)
            )


def _figures(wording: str) -> list[str]:
    """Every figure that a sentence quotes; what cannot be filled in counts as one that no sentence has."""
    try:
        parts = list(Formatter().parse(wording))
    except ValueError:
        return [wording]
    return [wording if spec or how else name for _, name, spec, how in parts if name is not None]


def _fault(path: Path, found: str, expected: str) -> Fault:
    return Fault(Cell(path.name), "sentence", found, expected, "mend the sentence, or take it out of the file")
