"""The PDF guide where the browser is missing, fails, hangs or is not what it should be; nothing is written then."""

from __future__ import annotations

import os
import signal
import time
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from budgetbuild.cli import main
from budgetbuild.faults import Fault, UserInputError
from budgetbuild.report.pages.browser import VARIABLE, find_browser
from budgetbuild.report.pages.pdf import print_pdf

if TYPE_CHECKING:
    from collections.abc import Callable

PAGE = b"<!DOCTYPE html><title>Guide</title><p>Text"
WRITES = """
for word in "$@"; do case "$word" in --print-to-pdf=*) out=${word#--print-to-pdf=} ;; esac; done
printf '%s' "$SAMPLE" > "$out"
"""
"""A script that writes what the variable SAMPLE holds where the PDF file is asked for."""
SMALL = (
    "%PDF-1.4 <</Producer (Skia/PDF m156)/CreationDate (D:20261125141603+01'00')/ModDate (D:20261125141603-11'30')>>"
    " (/ModDate \\(D:20261125141603+00'00'\\)) %%EOF"
)


@pytest.fixture
def fake(tmp_path: Path) -> Callable[[str], Path]:
    """A browser that does what a shell script says."""

    def written(script: str) -> Path:
        path = tmp_path / "fake browser"
        path.write_text(f"#!/bin/sh\n{script}\n", "utf-8")
        path.chmod(0o755)
        return path

    return written


def fault_of(browser: Path, limit_s: float = 20) -> Fault:
    """The one fault that printing with a browser ends in."""
    with pytest.raises(UserInputError) as caught:
        print_pdf(PAGE, browser, limit_s)
    (fault,) = caught.value.faults
    assert fault.code == "browser-failed"
    assert str(fault.at) == "--pdf"
    assert fault.mend.startswith(f"mend {browser}, name another browser")
    return fault


@pytest.mark.parametrize(
    ("script", "found"),
    [
        ("echo starting >&2; echo '[12:34:ERROR:x.cc(5)] cannot open display' >&2; echo >&2; exit 7",
         "ended with status 7: cannot open display"),
        ("exit 0", "printed nothing"),
        ("kill -9 $$", "ended with status -9"),
        ("SAMPLE='<html>'" + WRITES, "no PDF file"),
        ("SAMPLE='%PDF-1.4 Skia/PDF m156 cut off'" + WRITES, "no PDF file"),
        ("SAMPLE='%PDF-1.4 Skia/PDF m130 %%EOF'" + WRITES, "version 130"),
        ("SAMPLE='%PDF-1.7 another program %%EOF'" + WRITES, "another family"),
    ],
)  # fmt: skip
def test_a_browser_that_fails_is_told_with_what_it_said(script: str, found: str, fake: Callable[[str], Path]) -> None:
    assert found in fault_of(fake(script)).found


def test_a_browser_that_hangs_is_ended_with_all_that_it_started(fake: Callable[[str], Path], tmp_path: Path) -> None:
    child = tmp_path / "child"
    browser = fake(f"sleep 300 & echo $! > '{child}'; wait")
    assert "after 0.5 seconds" in fault_of(browser, 0.5).found
    pid = int(child.read_text("utf-8"))
    for _ in range(100):
        if not running(pid):
            return
        time.sleep(0.02)
    os.kill(pid, signal.SIGKILL)
    pytest.fail("what the browser started goes on")


def running(pid: int) -> bool:
    """Whether a process goes on; one that has ended may wait for its parent to notice."""
    status = Path("/proc", str(pid), "status")
    return status.exists() and "\nState:\tZ" not in status.read_text("utf-8")


def test_what_cannot_be_started_is_told(fake: Callable[[str], Path]) -> None:
    browser = fake("")
    browser.write_bytes(b"\0\1\2 no program")
    assert "cannot be started: Exec format error" in fault_of(browser).found


def test_the_time_of_printing_is_taken_out_and_every_byte_stays_in_its_place(
    fake: Callable[[str], Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("SAMPLE", SMALL)
    pdf = print_pdf(PAGE, fake(WRITES)).decode()
    assert len(pdf) == len(SMALL)
    assert pdf.count("Date (D:20000101000000+00'00')") == 2
    assert "\\(D:20261125141603+00'00'\\)" in pdf


def test_the_browser_gets_a_profile_of_its_own_and_leaves_nothing_behind(
    fake: Callable[[str], Path], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    room = tmp_path / "room"
    room.mkdir()
    monkeypatch.setattr("tempfile.tempdir", str(room))
    monkeypatch.setenv("SAMPLE", SMALL)
    told = tmp_path / "told"
    print_pdf(PAGE, fake(f"printf '%s\\n' \"$@\" > '{told}'" + WRITES))
    words = told.read_text("utf-8").splitlines()
    (profile,) = (word.partition("=")[2] for word in words if word.startswith("--user-data-dir="))
    assert room in Path(profile).parents
    assert ("--no-sandbox" in words) is (os.geteuid() == 0)
    assert words[-1].startswith("file:///")
    assert list(room.iterdir()) == []


def test_a_browser_that_the_user_names_comes_first(fake: Callable[[str], Path], tmp_path: Path) -> None:
    browser = fake("")
    installed = tmp_path / "bin" / "chromium"
    installed.parent.mkdir()
    installed.write_text("#!/bin/sh\n", "utf-8")
    installed.chmod(0o755)
    path = str(installed.parent)
    assert find_browser({VARIABLE: str(browser), "PATH": path}) == browser
    assert find_browser({VARIABLE: "chromium", "PATH": path}) == installed
    assert find_browser({"PATH": path}) == installed


def test_usual_places_are_searched_where_no_command_leads_to_a_browser(tmp_path: Path) -> None:
    for home, place, platform, variable in (
        (tmp_path / "mac", "Applications/Chromium.app/Contents/MacOS/Chromium", "darwin", "HOME"),
        (tmp_path / "win", "Microsoft/Edge/Application/msedge.exe", "win32", "PROGRAMFILES(X86)"),
    ):
        program = home / place
        program.parent.mkdir(parents=True)
        program.write_text("", "utf-8")
        program.chmod(0o755)
        assert find_browser({"PATH": str(tmp_path), variable: str(home)}, platform) == program


@pytest.mark.parametrize(
    ("environment", "found"),
    [({}, "no browser that can print"), ({VARIABLE: "/nowhere/browser"}, 'BUDGETBUILD_BROWSER is "/nowhere/browser"')],
)
def test_no_browser_is_told_before_anything_else_is_done(
    environment: dict[str, str],
    found: str,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.delenv(VARIABLE, raising=False)
    monkeypatch.setenv("PATH", str(tmp_path))
    for name, value in environment.items():
        monkeypatch.setenv(name, value)
    assert main(["build", str(tmp_path / "missing.xlsx"), "--pdf", "--out", str(tmp_path / "out")]) == 2
    told = capsys.readouterr()
    assert found in told.err
    assert "missing.xlsx" not in told.err
    assert "leave out --pdf" in told.err
    assert not (tmp_path / "out").exists()


def test_where_printing_fails_nothing_at_all_is_written(
    sample_workbook: Path,
    fake: Callable[[str], Path],
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.setenv(VARIABLE, str(fake("echo 'no more memory' >&2; exit 1")))
    out = tmp_path / "out"
    words = ["build", str(sample_workbook), "--tier", "Entry", "--counter", "none", "--pdf", "--out", str(out)]
    assert main(words) == 2
    assert "no more memory" in capsys.readouterr().err
    assert not out.exists()
