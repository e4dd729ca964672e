"""Where files are saved: places that refuse, that are something else than they seem, that are exchanged meanwhile."""

from __future__ import annotations

import errno
import os
import resource
import shutil
import stat
import subprocess
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from budgetbuild.faults import UserInputError
from budgetbuild.report.save import put_right, save_all, save_everywhere
from budgetbuild.report.staging import EXCHANGED, NAME
from tests.writing.scenes import everything
from tests.writing.trouble import Disk, at, troubled

if TYPE_CHECKING:
    from collections.abc import Callable

NEW = {"guide.md": b"new guide", "tiers.xlsx": b"new workbook"}
NOBODY = 65534


def refusal(files: dict[str, bytes], folder: Path) -> str:
    """What the user is told where this cannot be saved; one fault."""
    with pytest.raises(UserInputError) as caught:
        save_all(files, folder)
    (fault,) = caught.value.faults
    return str(fault)


def old(folder: Path) -> dict[str, bytes]:
    """A folder with an earlier file, and what is in it."""
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "guide.md").write_bytes(b"old guide")
    return everything(folder)


def test_a_file_that_nobody_may_write_is_not_replaced(tmp_path: Path) -> None:
    """Though the system would let us, for the folder may be written."""
    before = old(tmp_path)
    (tmp_path / "guide.md").chmod(0o444)
    assert f"{tmp_path / 'guide.md'} (read-only)" in refusal(NEW, tmp_path)
    assert everything(tmp_path) == before


@pytest.mark.parametrize("make", [Path.mkdir, os.mkfifo], ids=["folder", "pipe"])
def test_what_is_no_file_is_told_and_stays(make: Callable[[Path], Any], tmp_path: Path) -> None:
    before = old(tmp_path)
    make(tmp_path / "tiers.xlsx")
    assert f"{tmp_path / 'tiers.xlsx'} (something there that is no file)" in refusal(NEW, tmp_path)
    (tmp_path / "tiers.xlsx").rmdir() if make is Path.mkdir else (tmp_path / "tiers.xlsx").unlink()
    assert everything(tmp_path) == before


@pytest.mark.parametrize("leads", ["elsewhere", "nowhere"])
def test_a_link_is_replaced_and_what_it_leads_to_is_left_alone(leads: str, tmp_path: Path) -> None:
    (tmp_path / "elsewhere").write_bytes(b"somebody's")
    folder = tmp_path / "out"
    folder.mkdir()
    (folder / "guide.md").symlink_to(tmp_path / leads)
    save_all(NEW, folder)
    assert everything(folder) == NEW
    assert not (folder / "guide.md").is_symlink()
    assert (tmp_path / "elsewhere").read_bytes() == b"somebody's"
    assert not (tmp_path / "nowhere").exists()


def test_a_link_comes_back_as_a_link_where_a_later_file_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Also one that leads nowhere."""
    (tmp_path / "out").mkdir()
    (tmp_path / "out" / "guide.md").symlink_to(tmp_path / "elsewhere")
    replace = Path.replace

    def held_open(path: Path, target: Path) -> Path:
        if target.name == "tiers.xlsx":
            raise PermissionError(errno.EACCES, "in use by another program")
        return replace(path, target)

    monkeypatch.setattr(Path, "replace", held_open)
    refusal(NEW, tmp_path / "out")
    assert (tmp_path / "out" / "guide.md").readlink() == tmp_path / "elsewhere"


def test_a_folder_that_is_a_link_is_written_through(tmp_path: Path) -> None:
    (tmp_path / "shelf").mkdir()
    (tmp_path / "out").symlink_to(tmp_path / "shelf")
    save_all(NEW, tmp_path / "out")
    assert everything(tmp_path / "shelf") == NEW
    assert (tmp_path / "out").is_symlink()


def exchanged(folder: Path, other: Path) -> Callable[[str, Callable[[], Any]], Any]:
    """From one operation to the next, the folder is gone, and a link to another is in its place."""

    def strike(_: str, do: Callable[[], Any]) -> Any:  # noqa: ANN401
        if folder.is_dir() and not folder.is_symlink():
            shutil.move(folder, folder.with_name("moved"))
            folder.symlink_to(other)
        return do()

    return strike


def removed(folder: Path, _: Path) -> Callable[[str, Callable[[], Any]], Any]:
    """From one operation to the next, the folder is gone with all that is in it."""

    def strike(_: str, do: Callable[[], Any]) -> Any:  # noqa: ANN401
        shutil.rmtree(folder, ignore_errors=True)
        return do()

    return strike


@pytest.mark.parametrize("how", [exchanged, removed])
def test_a_folder_that_is_exchanged_or_gone_meanwhile_never_lets_anything_be_written_elsewhere(
    how: Callable[[Path, Path], Callable[[str, Callable[[], Any]], Any]], fast_path: Path
) -> None:
    """At any operation; the other folder has files of the same names."""
    n, told = 0, set[str]()
    while True:
        n += 1
        root, other = fast_path / str(n), fast_path / f"other {n}"
        before = old(root / "out")
        other.mkdir()
        for name in NEW:
            (other / name).write_bytes(b"somebody's")
        theirs = everything(other)
        disk = Disk(root, at(n), how(root / "out", other))
        with troubled(disk):
            try:
                save_all(NEW, root / "out")
            except UserInputError as error:
                told.update(fault.found for fault in error.faults)
        if len(disk.met) < n:
            break
        if "flock" in disk.met[:n]:  # until then the folder of that name is whichever it is
            assert everything(other) == theirs, (n, disk.met[n - 1])
        if (root / "moved").is_dir():
            put_right(root / "moved")
            assert everything(root / "moved") in (before, NEW), (n, disk.met[n - 1])
    assert n > 40
    assert any(EXCHANGED in found for found in told)


def test_a_link_in_the_place_of_the_tools_own_folder_is_refused(tmp_path: Path) -> None:
    (tmp_path / "elsewhere" / "new").mkdir(parents=True)
    (tmp_path / "elsewhere" / "new" / "letter.txt").write_bytes(b"dear")
    (tmp_path / "out").mkdir()
    (tmp_path / "out" / NAME).symlink_to(tmp_path / "elsewhere")
    assert "a link in the place of the tool's own folder" in refusal(NEW, tmp_path / "out")
    assert put_right(tmp_path / "out") == []
    assert everything(tmp_path / "elsewhere") == {"new/letter.txt": b"dear"}


def test_files_go_to_two_file_systems_at_once_or_to_neither(tmp_path: Path, fast_path: Path) -> None:
    before = old(tmp_path / "out")
    (fast_path / "tiers.xlsx").mkdir()
    with pytest.raises(UserInputError):
        save_everywhere({tmp_path / "out": NEW, fast_path: NEW})
    assert everything(tmp_path / "out") == before
    (fast_path / "tiers.xlsx").rmdir()
    save_everywhere({tmp_path / "out": NEW, fast_path: NEW})
    assert everything(tmp_path / "out") == everything(fast_path) == NEW


def test_a_folder_named_twice_is_one_folder(tmp_path: Path) -> None:
    (tmp_path / "out").mkdir()
    (tmp_path / "link").symlink_to(tmp_path / "out")
    save_everywhere({tmp_path / "out": {"a": b"1"}, tmp_path / "link": {"b": b"2"}})
    assert everything(tmp_path / "out") == {"a": b"1", "b": b"2"}


def test_a_file_system_without_second_names_keeps_a_copy(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def none(*_: object, **__: object) -> None:
        raise OSError(errno.EPERM, "not permitted")

    before = old(tmp_path)
    monkeypatch.setattr(os, "link", none)
    replace = Path.replace

    def held_open(path: Path, target: Path) -> Path:
        if target == tmp_path / "tiers.xlsx":
            raise PermissionError(errno.EACCES, "in use by another program")
        return replace(path, target)

    with monkeypatch.context() as patched:
        patched.setattr(Path, "replace", held_open)
        assert "in use by another program" in refusal(NEW, tmp_path)
    assert everything(tmp_path) == before
    save_all(NEW, tmp_path)
    assert everything(tmp_path) == NEW


@pytest.mark.parametrize(
    "name", ["x" * 300 + ".html", "a\nb.html", "-rf.html", "$(touch x).html", "\udcff.html", "gu\u202eide.html"]
)
def test_an_odd_name_is_written_as_it_is_or_refused_plainly(name: str, tmp_path: Path) -> None:
    if len(name) > 255:
        assert "cannot-write" in refusal({name: b"quote"}, tmp_path)
        assert everything(tmp_path) == {}
    else:
        save_all({name: b"quote"}, tmp_path)
        assert [path.name for path in tmp_path.iterdir()] == [name]


def test_a_name_of_the_tools_own_is_a_defect(tmp_path: Path) -> None:
    with pytest.raises(ValueError, match="plain file name"):
        save_all({NAME: b""}, tmp_path)


def test_a_file_larger_than_the_system_allows_leaves_everything_as_it_was(tmp_path: Path) -> None:
    """A real refusal midway through a file: some of it has been written."""
    before = old(tmp_path)
    most = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (100_000, most[1]))
    try:
        told = refusal({"guide.md": b"new", "tiers.xlsx": b"x" * 200_000}, tmp_path)
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, most)
    assert "File too large" in told
    assert str(tmp_path / "tiers.xlsx") in told
    assert everything(tmp_path) == before


def run(words: list[str], code: str) -> subprocess.CompletedProcess[str]:
    """A little program of ours, by way of another one."""
    command = [*words, sys.executable, "-c", code]
    home = Path(__file__).parents[2]
    return subprocess.run(command, capture_output=True, text=True, check=False, cwd=home)  # noqa: S603


SAVES = """
from pathlib import Path
from budgetbuild.faults import UserInputError
from budgetbuild.report.save import save_all
try:
    save_all({"guide.md": b"new" * 400_000, "tiers.xlsx": b"new"}, Path(%r))
except UserInputError as error:
    print(error.faults[0])
"""


@pytest.mark.skipif(os.geteuid() != 0, reason="only root can become somebody else")
def test_somebody_without_leave_is_told_so(fast_path: Path) -> None:
    """A real refusal, of a folder, and of what another's killed run left in one that anybody may write."""
    for mode, left in ((0o755, False), (0o777, True)):
        folder = fast_path / f"{mode:o}"
        before = old(folder)
        folder.chmod(mode)
        fast_path.chmod(0o755)
        if left:
            (folder / NAME).mkdir(mode=0o755)
        code = f"import os\nos.setuid({NOBODY})\n{SAVES % str(folder)}"
        ran = run([], f"import budgetbuild.report.save\n{code}")
        assert "Permission denied" in ran.stdout, ran.stderr
        assert str(folder) in ran.stdout
        assert (folder / "guide.md").read_bytes() == before["guide.md"]
        assert {path.name for path in folder.iterdir()} <= {"guide.md", NAME}


def test_a_disk_that_is_full_leaves_everything_as_it_was(tmp_path: Path) -> None:
    """A real one, of a megabyte, where the system lets us have it."""
    place = tmp_path / "disk"
    place.mkdir()
    inside = f"mount -t tmpfs -o size=1m none {place} && echo old > {place}/guide.md && exec "
    words = ["unshare", "--mount", "sh", "-c", inside + '"$@"', "sh"]
    if shutil.which("unshare") is None or run(words, "").returncode:
        pytest.skip("no disk may be mounted here")
    look = "print(*sorted(p.name for p in place.iterdir()), (place / 'guide.md').read_text())"
    ran = run(words, f"{SAVES % str(place)}place = Path({str(place)!r})\n{look}")
    assert "No space left on device" in ran.stdout, ran.stderr
    assert ran.stdout.split("\n")[1:3] == ["guide.md old", ""]


def test_a_file_stays_usable_by_those_who_could_use_the_one_before(tmp_path: Path) -> None:
    """In a folder that several people share."""
    (tmp_path / "a").write_bytes(b"old")
    (tmp_path / "a").chmod(0o664)
    save_all({"a": b"new", "b": b"new"}, tmp_path)
    assert stat.S_IMODE((tmp_path / "a").stat().st_mode) == 0o664
    assert (tmp_path / "a").read_bytes() == b"new"


@pytest.mark.parametrize("lacking", ["begun/none", "begun/earlier", "new"])
def test_a_waiting_folder_whose_empty_folders_were_lost_is_put_right_all_the_same(lacking: str, tmp_path: Path) -> None:
    """As a copy or a sync of the folder leaves it, where a kill was in the midst of a save."""
    waiting = tmp_path / ".budgetbuild-saving"
    for folder in ("new", "begun/earlier", "begun/none"):
        if folder != lacking:
            (waiting / folder).mkdir(parents=True)
    if lacking != "begun/earlier":
        (waiting / "begun" / "earlier" / "a").write_bytes(b"old")
    (tmp_path / "a").write_bytes(b"new")
    assert put_right(tmp_path) == ([] if lacking == "begun/earlier" else ["a"])
    assert (tmp_path / "a").read_bytes() == (b"new" if lacking == "begun/earlier" else b"old")
    save_all({"a": b"newest"}, tmp_path)
    assert [path.name for path in tmp_path.iterdir()] == ["a"]
