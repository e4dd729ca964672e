"""A hostile list at a real terminal: what is shown and asked there steers it no more than a plain one does."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest

from tests.cli.terminal import sit
from tests.injection.harmless import unseen
from tests.injection.outputs import tame, wild

if TYPE_CHECKING:
    from tests.injection.outputs import Outputs

STEERING = re.compile(r"\x1b\[[0-9;?]*[A-Za-z]|\r")


def steered(raw: str) -> set[str]:
    """What steered the terminal; anything else that nobody sees by its number."""
    return {*STEERING.findall(raw), *unseen(STEERING.sub("", raw))}


def asked(outputs: Outputs) -> str:
    """All that a quote asks and shows."""
    words = ["quote", str(outputs.listed), "--budget", "1300"]
    sitting = sit(words, [("Brief", "3\r"), ("Vehicle", "1\r")])
    assert sitting.status == 0
    assert "Loud" in sitting.seen
    return sitting.raw


def test_questions_and_answers_steer_a_terminal_as_those_of_a_plain_list_do() -> None:
    assert steered(asked(wild())) <= steered(asked(tame()))


def built(outputs: Outputs) -> str:
    """All that a build shows, its bar of progress included."""
    words = ["build", str(outputs.listed), "--out", str(outputs.folder / "terminal"), "--counter", "none"]
    sitting = sit(words)
    assert sitting.status == 3
    return sitting.raw


@pytest.mark.slow
def test_a_bar_of_progress_steers_a_terminal_as_that_of_a_plain_list_does() -> None:
    assert steered(built(wild())) <= steered(built(tame()))
