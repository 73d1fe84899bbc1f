import subprocess
import sys
from pathlib import Path

import pytest

from crustbreak.store.errors import LabInUse
from crustbreak.store.file_lock import Lock

HOLD = """
import sys
from pathlib import Path
from crustbreak.store.file_lock import Lock
lock = Lock(Path(sys.argv[1]))
print("held", flush=True)
sys.stdin.read()
"""


def test_a_second_lock_is_refused_and_says_what_to_do(tmp_path: Path) -> None:
    first = Lock(tmp_path / "lock")

    with pytest.raises(LabInUse) as refused:
        Lock(tmp_path / "lock")

    first.release()
    assert "open in another program" in refused.value.message
    assert refused.value.hint


def test_a_released_lock_can_be_taken_again(tmp_path: Path) -> None:
    for _ in range(2):
        Lock(tmp_path / "lock").release()


def test_a_killed_process_lets_its_lock_go(tmp_path: Path) -> None:
    path = tmp_path / "lock"
    with subprocess.Popen(
        [sys.executable, "-c", HOLD, path], stdin=subprocess.PIPE, stdout=subprocess.PIPE
    ) as holder:
        assert holder.stdout
        assert holder.stdout.readline().strip() == b"held"
        with pytest.raises(LabInUse):
            Lock(path)
        holder.kill()

    Lock(path).release()
