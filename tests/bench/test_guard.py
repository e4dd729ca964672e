"""No stage has become many times slower than it was when the README's table was measured: ratios, never times."""

from __future__ import annotations

import pytest

from tests.bench.guard import GROWING, MOST, ratios, spoilt
from tests.bench.history import runs
from tests.bench.stages import STAGES


@pytest.mark.slow
@pytest.mark.timed
def test_no_ratio_of_the_benchmarks_is_spoilt() -> None:
    """Against the last run that was kept; after a change that is meant, `python -m tests.bench --readme`."""
    found = spoilt(ratios(), runs()[-1]["guard"])
    assert not found, "\n".join(found)


def test_every_stage_is_guarded() -> None:
    """A stage that the last kept run does not have cannot be held against it."""
    published = set(runs()[-1]["guard"])
    assert published == {
        *(f"{name} / merely reading" for name in STAGES if name != "mere"),
        "one build / flat program",
        *MOST,
    }


def test_ten_times_slower_is_caught_and_three_times_is_let_pass() -> None:
    published = {"prune / merely reading": 2.0, f"{GROWING[0]}, 8,000 / 2,000 products": 4.0}
    assert spoilt({"prune / merely reading": 6.0, f"{GROWING[0]}, 8,000 / 2,000 products": 5.0}, published) == []
    assert spoilt({"prune / merely reading": 20.0, f"{GROWING[0]}, 8,000 / 2,000 products": 16.0}, published) == [
        "prune / merely reading: 20, at most 10",
        "prune, 8,000 / 2,000 products: 16, at most 9",
    ]


def test_a_ratio_that_was_never_published_is_spoilt() -> None:
    assert spoilt({"new / merely reading": 1.0}, {}) == ["new / merely reading: 1, at most 0"]
