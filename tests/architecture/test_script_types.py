"""What the page scripts say of types holds, and a slip that is planted in a copy is caught."""

import shutil
import subprocess
from pathlib import Path

import pytest
from on_node import find_node

ROOT = Path(__file__).parents[2]
WEB = Path("src/crustbreak/web")
CHECKER = ROOT / "node_modules" / "typescript" / "bin" / "tsc"


def check_types(root: Path) -> str:
    """Return what the checker says of the page scripts under a folder."""
    run = subprocess.run(
        [find_node(), str(CHECKER), "--project", str(root), "--pretty", "false"],
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )
    return run.stdout + run.stderr


@pytest.fixture
def copy(tmp_path: Path) -> Path:
    """Return a copy of what is checked, that a test may spoil."""
    for folder in ("static", "types"):
        shutil.copytree(ROOT / WEB / folder, tmp_path / WEB / folder)
    shutil.copy(ROOT / "tsconfig.json", tmp_path)
    return tmp_path


def test_every_page_script_keeps_to_its_types() -> None:
    assert check_types(ROOT) == ""


@pytest.mark.parametrize(
    ("script", "line", "code"),
    [
        ("phone/outbox.js", "new Outbox({ store: 1, seat: 2, post: 3 }).recrod();", "TS2551"),
        ("host/table-clock.js", "say(1).trimm();", "TS2551"),
        ("shared/dom.js", 'document.body.replaceWholly("x");', "TS2339"),
        ("phone/taster-session.js", "new TasterSession({}).api.sheett();", "TS2551"),
        ("phone/taster-session.js", "new TasterSession({}).state.flihgt;", "TS2551"),
    ],
)
def test_a_planted_slip_is_caught(copy: Path, script: str, line: str, code: str) -> None:
    path = copy / WEB / "static" / script
    path.write_text(f"{path.read_text(encoding='utf-8')}\n{line}\n", encoding="utf-8")

    said = check_types(copy)

    assert f"{script}(" in said
    assert code in said
