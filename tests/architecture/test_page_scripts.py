"""Page scripts import in one direction, each room only what its app serves."""

import re
import shutil
from graphlib import CycleError, TopologicalSorter
from pathlib import Path

import pytest

STATIC = Path(__file__).parents[2] / "src" / "crustbreak" / "web" / "static"
# Also what is fetched later: `import("./x.js")`, with or without a query.
IMPORT = re.compile(r"""^(?:import\b[^"'`(]*|.*\bimport\()["'`]([^"'`]+)["'`]""", re.MULTILINE)
ALLOWED = {"phone": {"phone", "shared"}, "host": {"host", "shared"}, "shared": {"shared"}}

Imports = dict[str, set[str]]


def imports_of(static: Path) -> Imports:
    """Return for each script, by its path, the paths of those that it imports."""
    return {
        script.relative_to(static).as_posix(): {
            (script.parent / re.sub(r"\$.*|\?.*", "", name))
            .resolve()
            .relative_to(static)
            .as_posix()
            for name in IMPORT.findall(script.read_text(encoding="utf-8"))
        }
        for script in static.rglob("*.js")
    }


def circle_in(imports: Imports) -> list[str]:
    """Return the scripts of one import circle; none where there is none."""
    try:
        TopologicalSorter(imports).prepare()
    except CycleError as error:
        circle: list[str] = error.args[1]
        return circle
    return []


def strayed(imports: Imports) -> list[str]:
    """Return the imports that leave the rooms a script may import from."""
    return [
        f"{script} imports {wanted}"
        for script, found in sorted(imports.items())
        for wanted in sorted(found)
        if wanted.partition("/")[0] not in ALLOWED[script.partition("/")[0]]
    ]


@pytest.fixture
def copy(tmp_path: Path) -> Path:
    """Return a copy of the scripts that a test may spoil."""
    return Path(shutil.copytree(STATIC, tmp_path.resolve() / "static"))


def plant(static: Path, script: str, line: str) -> None:
    path = static / script
    path.write_text(f"{path.read_text(encoding='utf-8')}\n{line}\n", encoding="utf-8")


def test_every_import_is_read_and_leads_to_a_script() -> None:
    imports = imports_of(STATIC)

    later = imports["phone/phone-page.js"]
    assert {"phone/hand-in.js", "shared/help-page.js", "shared/rehearsal-table.js"} <= later
    assert {wanted for found in imports.values() for wanted in found} <= set(imports)
    words = sum(
        len(re.findall(r"^import |\bimport\(", script.read_text(encoding="utf-8"), re.MULTILINE))
        for script in STATIC.rglob("*.js")
    )
    found = sum(
        len(IMPORT.findall(script.read_text(encoding="utf-8"))) for script in STATIC.rglob("*.js")
    )
    assert found == words > 100


def test_no_script_takes_part_in_an_import_circle() -> None:
    assert circle_in(imports_of(STATIC)) == []


def test_scripts_import_only_what_their_app_serves() -> None:
    assert strayed(imports_of(STATIC)) == []


@pytest.mark.parametrize(
    ("script", "line"),
    [
        ("shared/dom.js", 'import "./help-page.js";'),
        ("shared/rehearsal-table.js", 'import { a } from "./rehearsal-table.js";'),
        ("phone/marks-later.js", 'import("./phone-page.js");'),
        ("phone/steps.js", "const later = () => import(`./phone-sheet.js${again}`);"),
    ],
)
def test_a_planted_circle_is_caught(copy: Path, script: str, line: str) -> None:
    (copy / "phone/marks-later.js").write_text('import { draw } from "../shared/dom.js";\n')
    plant(copy, "phone/phone-page.js", 'import "./marks-later.js";')
    assert circle_in(imports_of(copy)) == []

    plant(copy, script, line)

    assert script in circle_in(imports_of(copy))


@pytest.mark.parametrize(
    ("script", "wanted"),
    [
        ("phone/steps.js", "host/table-clock.js"),
        ("host/table-clock.js", "phone/steps.js"),
        ("shared/dom.js", "phone/steps.js"),
        ("shared/dom.js", "host/table-clock.js"),
    ],
)
def test_a_planted_stray_import_is_caught(copy: Path, script: str, wanted: str) -> None:
    plant(copy, script, f'import {{ planted }} from "../{wanted}";')

    assert strayed(imports_of(copy)) == [f"{script} imports {wanted}"]
