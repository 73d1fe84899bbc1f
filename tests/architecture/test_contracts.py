"""The import contracts hold, and each of them catches a breach planted in a copy."""

import os
import re
import shutil
import subprocess
import sys
from configparser import ConfigParser
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
CONTRACTS = ROOT / ".importlinter"
LINTER = Path(sys.executable).with_name("lint-imports")

LAYERS = "A layer imports only from layers below it"
ROOMS = "The rooms of the domain keep their order"
QUESTIONS = "Questions do not know each other"
PURE = "Core and domain know no clock, no chance, no arrays, no store and no web"
WIRED = "Only wiring imports the store and the questions"
CIRCLES = "No circle among siblings, anywhere"

FORBIDDEN = ("numpy", "scipy", "sqlalchemy", "fastapi", "time", "random")
ALL_FORBIDDEN = "".join(f"import {name}\n" for name in FORBIDDEN)


def lint(source: Path) -> str:
    """Run the linter on the package in a folder, whatever package is installed."""
    # A narrow terminal would break a contract's name over two lines.
    environment = {**os.environ, "PYTHONPATH": str(source), "COLUMNS": "200", "NO_COLOR": "1"}
    result = subprocess.run(
        [LINTER, "--no-cache", "--no-logo", CONTRACTS],
        cwd=source,
        env=environment,
        capture_output=True,
        text=True,
        check=False,
    )
    return result.stdout + result.stderr


def broken(report: str) -> list[str]:
    return re.findall(r"^(.+) BROKEN$", report, flags=re.MULTILINE)


def kept(report: str) -> list[str]:
    return re.findall(r"^(.+) KEPT$", report, flags=re.MULTILINE)


@pytest.fixture
def copy(tmp_path: Path) -> Path:
    """Give a copy of the source that a test may spoil."""
    source = tmp_path / "src"
    shutil.copytree(ROOT / "src", source, ignore=shutil.ignore_patterns("__pycache__"))
    return source


def plant(source: Path, files: dict[str, str]) -> None:
    for name, text in files.items():
        path = source / "crustbreak" / f"{name}.py"
        path.parent.mkdir(exist_ok=True)
        path.write_text(text)


def test_the_source_keeps_every_contract() -> None:
    report = lint(ROOT / "src")

    assert kept(report) == [LAYERS, ROOMS, QUESTIONS, PURE, WIRED, CIRCLES], report


def test_no_import_is_excused() -> None:
    parser = ConfigParser()
    parser.read_string(CONTRACTS.read_text(encoding="utf-8"))

    options = {option for section in parser.sections() for option in parser[section]}

    assert "ignore_imports" not in options
    assert "exhaustive_ignores" not in options
    assert "skip_descendants" not in options


@pytest.mark.parametrize(
    ("contract", "files"),
    [
        pytest.param(LAYERS, {"numerics/planted": "import crustbreak.domain\n"}, id="sideways"),
        pytest.param(LAYERS, {"ports/planted": "import crustbreak.config\n"}, id="upwards"),
        pytest.param(LAYERS, {"attic/__init__": ""}, id="a room without a layer"),
        pytest.param(
            ROOMS, {"domain/trade/planted": "import crustbreak.domain.brewing\n"}, id="rooms"
        ),
        pytest.param(ROOMS, {"domain/attic": ""}, id="a domain room without a place"),
        pytest.param(PURE, {"domain/records/planted": "import time\n"}, id="a clock"),
        pytest.param(WIRED, {"web/planted": "import crustbreak.store\n"}, id="web to store"),
        pytest.param(
            QUESTIONS,
            {"questions/choose/planted": "import crustbreak.questions.match.definition\n"},
            id="a question to another",
        ),
        pytest.param(
            WIRED, {"web/planted": "import crustbreak.questions.match\n"}, id="web to a question"
        ),
        pytest.param(WIRED, {"cli/planted": "import crustbreak.store\n"}, id="terminal to store"),
        pytest.param(
            CIRCLES,
            {
                "numerics/planted": "import crustbreak.numerics.sown\n",
                "numerics/sown": "import crustbreak.numerics.planted\n",
            },
            id="a circle",
        ),
    ],
)
def test_a_planted_breach_is_caught(contract: str, files: dict[str, str], copy: Path) -> None:
    plant(copy, files)

    report = lint(copy)

    assert broken(report) == [contract], report


@pytest.mark.parametrize("room", ["core", "domain.records"])
def test_each_forbidden_package_is_caught(room: str, copy: Path) -> None:
    plant(copy, {f"{room.replace('.', '/')}/planted": ALL_FORBIDDEN})

    report = lint(copy)

    assert broken(report) == [PURE], report
    for name in FORBIDDEN:
        assert f"crustbreak.{room}.planted -> {name} " in report
