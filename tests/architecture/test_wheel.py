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
