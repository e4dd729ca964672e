"""The same from outside: strace refuses or kills at each system call of a save (`python -m tests.writing.by_strace`).

Needs strace and leave to trace; some minutes. Prints how many calls were struck and which of them lost something.
"""

from __future__ import annotations

import subprocess
import sys
from itertools import count
from pathlib import Path
from tempfile import TemporaryDirectory

from budgetbuild.report.save import put_right
from tests.writing.scenes import SCENES, Scene, files, shown

SCENE = SCENES["some files replaced, one new"]
CALLS = ("mkdir", "rename", "link,linkat", "unlink,unlinkat", "rmdir", "fsync", "flock")
KILL = "signal=KILL"
STRIKES = ("error=EIO", "error=ENOSPC", KILL)
SAVES = """
import sys
from pathlib import Path
from budgetbuild.faults import UserInputError
from budgetbuild.report.save import save_everywhere
from tests.writing.by_strace import SCENE
try:
    save_everywhere(SCENE.wanted(Path(sys.argv[1])))
except UserInputError:
    sys.exit(2)
"""


def struck(root: Path, call: str, strike: str, n: int) -> int | None:
    """How a save ends that is struck at the n-th of these calls; `None` where there are not so many."""
    log = root.with_suffix(".log")
    asked = ("-f", "-o", str(log), "-e", f"trace={call}", "-e", f"inject={call}:{strike}:when={n}")
    words = ["strace", *asked, sys.executable, "-B", "-c", SAVES, str(root)]
    status = subprocess.run(words, check=False, cwd=Path(__file__).parents[2]).returncode  # noqa: S603
    met = log.read_text("utf-8")
    return status if "INJECTED" in met or "killed by SIGKILL" in met else None


def is_whole(root: Path, scene: Scene, status: int) -> bool:
    """Whether the folder holds what the status says; after a kill, once it is put right, one of both."""
    seen = files(shown(root))
    if status == 0:
        return seen == scene.after
    if status == 2:
        return seen == scene.before
    for folder in scene.folders:
        put_right(root / folder)
    return files(shown(root)) in (scene.before, scene.after)


def main() -> None:
    """Strike every call in turn."""
    met, lost = 0, []
    with TemporaryDirectory() as scratch:
        for call in CALLS:
            for strike in STRIKES:
                for n in count(1):
                    root = Path(scratch, f"{call} {strike} {n}")
                    SCENE.set_up(root)
                    status = struck(root, call, strike, n)
                    if status is None:
                        break
                    met += 1
                    lost += [] if is_whole(root, SCENE, status) else [root.name]
    sys.stdout.write(f"{met} calls struck, {len(lost)} lost something: {lost}\n")


if __name__ == "__main__":
    main()
