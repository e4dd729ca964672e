"""What .github/SECURITY.md says of the code: it talks to no network, runs no text, and starts few programs."""

from __future__ import annotations

import ast
import re
from functools import cache
from typing import TYPE_CHECKING

import pytest

from tests.supply.declared import ROOT

if TYPE_CHECKING:
    from pathlib import Path

PACKAGE = ROOT / "budgetbuild"
NETWORK = {
    "asyncio", "dask", "distributed", "ftplib", "http", "imaplib", "poplib", "requests", "smtplib", "socket",
    "socketserver", "ssl", "urllib.request", "webbrowser", "xmlrpc",
}  # fmt: skip
RUNS_TEXT = {"code", "codeop", "ctypes", "marshal", "pickle", "runpy", "shelve"}
STARTS_PROGRAMS = {"pty", "subprocess"}
PLAIN_XML = {"xml.dom", "xml.etree", "xml.sax", "lxml"}
BUILT_IN = {"__import__", "compile", "eval", "exec"}


@cache
def modules() -> dict[str, tuple[frozenset[str], frozenset[str]]]:
    """What every module of the package imports, and which plain names it calls, by its path."""
    return {
        path.relative_to(PACKAGE).as_posix(): _seen(ast.parse(path.read_text("utf-8")))
        for path in sorted(PACKAGE.rglob("*.py"))
    }


def _seen(tree: ast.Module) -> tuple[frozenset[str], frozenset[str]]:
    imported, called = set(), set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            imported |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module:
            imported |= {f"{node.module}.{alias.name}" for alias in node.names}
        elif isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
            called.add(node.func.id)
    return frozenset(imported), frozenset(called)


def imports(names: set[str]) -> set[tuple[str, str]]:
    """Every import of one of these, or of something within it, with the module that imports it."""
    return {
        (path, name)
        for path, (imported, _) in modules().items()
        for name in imported
        if any(name == each or name.startswith(f"{each}.") for each in names)
    }


def importers(names: set[str]) -> set[str]:
    """Modules that import one of these, or something within it."""
    return {path for path, _ in imports(names)}


def test_nothing_but_the_cluster_talks_to_a_network() -> None:
    assert importers(NETWORK) == {"fleet/cluster.py"}


def test_nothing_runs_text() -> None:
    assert importers(RUNS_TEXT) == set()
    assert {path for path, (_, called) in modules().items() if called & BUILT_IN} == set()


def test_only_the_second_solver_and_the_browser_are_programs_of_their_own() -> None:
    assert importers(STARTS_PROGRAMS) == {"program/cbc.py", "report/pages/pdf.py"}


def test_foreign_xml_is_parsed_by_what_refuses_entities() -> None:
    """What stays is the names of an exception and of an escape; expat itself is held to it by tests of its own."""
    assert imports(PLAIN_XML) == {
        ("catalogue/package.py", "xml.etree.ElementTree.ParseError"),
        ("report/graft/markup.py", "xml.sax.saxutils.escape"),
    }


@pytest.mark.parametrize("document", [".github/SECURITY.md", ".github/LICENCES.md"])
def test_every_link_leads_somewhere(document: str) -> None:
    path: Path = ROOT / document
    targets = re.findall(r"\]\(([^)#]+)\)", path.read_text("utf-8"))
    assert [target for target in targets if "://" not in target and not (path.parent / target).exists()] == []
