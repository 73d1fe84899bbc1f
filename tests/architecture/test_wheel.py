"""What is built holds everything the program reads when it runs."""

import os
import shutil
import subprocess
import sys
from pathlib import Path
from zipfile import ZipFile

import pytest

ROOT = Path(__file__).parents[2]
PACKAGE = ROOT / "src" / "crustbreak"


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> ZipFile:
    """Build the wheel from a copy, with what is installed already."""
    copy = tmp_path_factory.mktemp("build")
    for name in ("pyproject.toml", "README.md", "LICENSE", ".gitignore"):
        shutil.copy(ROOT / name, copy / name)
    # What only checks and tests the page scripts stays here.
    for name in ("package.json", "package-lock.json", ".npmrc"):
        shutil.copy(ROOT / name, copy / name)
    (copy / "node_modules" / "planted").mkdir(parents=True)
    (copy / "node_modules" / "planted" / "index.js").write_text("export {};\n")
    shutil.copytree(ROOT / "src", copy / "src", ignore=shutil.ignore_patterns("__pycache__"))
    subprocess.run(
        [sys.executable, "-m", "hatchling", "build", "--target", "wheel"],
        cwd=copy,
        env={**os.environ, "SOURCE_DATE_EPOCH": "1767225600"},
        check=True,
        capture_output=True,
    )
    (built,) = (copy / "dist").glob("*.whl")
    return ZipFile(built)


def test_every_file_of_the_package_is_in_the_wheel(wheel: ZipFile) -> None:
    with wheel:
        packed = set(wheel.namelist())

    wanted = {
        path.relative_to(PACKAGE.parent).as_posix()
        for path in PACKAGE.rglob("*")
        if path.is_file() and "__pycache__" not in path.parts
    }
    assert wanted <= packed


def test_nothing_that_only_tests_the_page_scripts_is_in_the_wheel(wheel: ZipFile) -> None:
    names = ZipFile(str(wheel.filename)).namelist()

    assert {name.partition("/")[0].partition("-")[0] for name in names} == {"crustbreak"}
    assert [name for name in names if "node_modules" in name or "package.json" in name] == []
