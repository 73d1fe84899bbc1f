"""The worked examples in docstrings give what they print."""

import doctest
from importlib import import_module
from pathlib import Path

import pytest

SOURCE = Path(__file__).parents[2] / "src"
WITH_EXAMPLES = [
    ".".join(path.relative_to(SOURCE).with_suffix("").parts).removesuffix(".__init__")
    for path in sorted(SOURCE.rglob("*.py"))
    if ">>> " in path.read_text(encoding="utf-8")
]


@pytest.mark.parametrize("name", WITH_EXAMPLES)
def test_every_example_gives_what_it_prints(name: str) -> None:
    failed, tried = doctest.testmod(import_module(name))

    assert tried > 0
    assert failed == 0
