"""The pages' own logic, run where its language runs."""

import subprocess
from pathlib import Path

import pytest
from on_node import find_node

HERE = Path(__file__).parent
MODULES = HERE.glob("*/*.test.mjs")


@pytest.mark.parametrize("module", sorted(MODULES), ids=lambda path: path.name)
def test_module_keeps_its_word(module: Path) -> None:
    run = subprocess.run(
        [find_node(), "--test", module.name],
        cwd=module.parent,
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )

    assert run.returncode == 0, run.stdout + run.stderr
