"""The page of a recheck in real Chromium: WCAG 2.2 AA, light and dark, from a desk to a phone, also with wild names."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from tests.browser import DESK, PHONE, scrolls_sideways, violations
from tests.recheck.pages import changed_files
from tests.report.test_guide import HOSTILE

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from playwright.sync_api import Page, ViewportSize

pytestmark = pytest.mark.browser


@pytest.mark.parametrize(("size", "scheme"), [(DESK, "light"), (PHONE, "dark")], ids=["desk", "phone"])
@pytest.mark.parametrize("name", ["", " ".join(HOSTILE)], ids=["plain", "wild"])
def test_the_page_keeps_wcag_22_aa(
    name: str, size: ViewportSize, scheme: str, visit: Callable[..., Page], tmp_path: Path
) -> None:
    path = tmp_path / "what_changed.html"
    path.write_bytes(changed_files(name)["what_changed.html"])
    page = visit(path.as_uri(), size, color_scheme=scheme)
    assert violations(page) == []
    assert not scrolls_sideways(page)
