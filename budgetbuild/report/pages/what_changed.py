"""What has become of a published guide, as Markdown and as one HTML page, for the owner."""

from __future__ import annotations

from typing import TYPE_CHECKING

from budgetbuild import __version__
from budgetbuild.report.chapter import Bullets
from budgetbuild.report.pages.templating import fill_html, fill_markdown

if TYPE_CHECKING:
    from pathlib import Path

    from budgetbuild.catalogue.shop import Catalogue
    from budgetbuild.report.words.notation import Notation
    from budgetbuild.report.words.recheck_chapters import ChangedPage


def render_changed_pages(
    page: ChangedPage, catalogue: Catalogue, notation: Notation, templates: Path | None = None
) -> dict[str, bytes]:
    """Both pages by their file names, UTF-8.

    Args:
        page: What they show.
        catalogue: Today's list.
        notation: How the shop writes money and figures.
        templates: A shop's own templates; what it lacks comes from the tool.

    Raises:
        UserInputError: A shop's own template is wrong or asks for something that does not exist.
    """
    values = {"page": page, "report": page, "catalogue": catalogue, "version": __version__}
    blocks = (block for chapter in page.chapters for block in chapter.blocks)
    safety = [text for block in blocks if isinstance(block, Bullets) and block.safety for text in block.items]
    return {
        "what_changed.md": fill_markdown("what_changed.md.j2", values, notation, templates, safety),
        "what_changed.html": fill_html("what_changed.html.j2", values, notation, templates, safety),
    }
