"""LibreOffice as the second program: it opens a workbook, works every formula out anew, and saves it."""

from __future__ import annotations

import subprocess
from typing import TYPE_CHECKING

import openpyxl

if TYPE_CHECKING:
    from pathlib import Path

    from openpyxl.workbook import Workbook

RECALCULATE = """<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry" xmlns:xs="http://www.w3.org/2001/XMLSchema">
<item oor:path="/org.openoffice.Office.Calc/Formula/Load">
<prop oor:name="OOXMLRecalcMode"><value>0</value></prop></item>
</oor:items>"""
"""Without this setting LibreOffice shows stored values and proves nothing."""


def recalculated(content: bytes, folder: Path) -> Workbook:
    """A workbook after LibreOffice has opened, recalculated and saved it: its values."""
    profile = folder / "profile" / "user"
    profile.mkdir(parents=True, exist_ok=True)
    (profile / "registrymodifications.xcu").write_text(RECALCULATE, "utf-8")
    (folder / "in.xlsx").write_bytes(content)
    command = ["soffice", f"-env:UserInstallation={profile.parent.as_uri()}", "--headless", "--convert-to"]
    where = ["xlsx:Calc MS Excel 2007 XML", "--outdir", str(folder / "out"), str(folder / "in.xlsx")]
    subprocess.run([*command, *where], check=True, capture_output=True, timeout=180)  # noqa: S603 - a fixed command
    return openpyxl.load_workbook(folder / "out" / "in.xlsx", data_only=True)
