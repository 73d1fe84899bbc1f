"""Name every public function and class that no test refers to.

`tests/` is laid out as `src/crustbreak/`: what `core/units.py` offers is named in
`tests/core/test_units.py`. Two kinds are met elsewhere and may be:

* a web handler, by the journeys that ask for its path, so it is not looked for at all;
* a class without behaviour of its own (a protocol, an enumeration, a record, a plain
  exception), by whichever test uses it, so any test file will do.

A terminal command counts as named when its test gives the command's word.
"""

import ast
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

# Filled from outside the package's own code: pages, and steps that the store's tests run.
FOLDERS_WITHOUT_TESTS = frozenset({"templates", "static", "migrations"})

ROUTES = frozenset(
    {"get", "post", "put", "patch", "delete", "head", "options", "route", "api_route"}
    | {"exception_handler", "middleware"}
)
RECORD_BASES = frozenset(
    {"Protocol", "Enum", "IntEnum", "StrEnum", "Flag", "IntFlag"}
    | {"NamedTuple", "TypedDict", "BaseModel"}
)

Definition = ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef


@dataclass(frozen=True)
class Untested:
    """A public name that no test refers to, and the file in which one was looked for."""

    module: Path
    line: int
    name: str
    expected_in: str


def _last_word(node: ast.expr) -> str:
    """Return `c` of `a.b.c`, of `c`, of `c(...)` and of `c[...]`."""
    match node:
        case ast.Call(func=inner) | ast.Subscript(value=inner):
            return _last_word(inner)
        case ast.Attribute(attr=word) | ast.Name(id=word):
            return word
    return ""


def _is_handler(definition: Definition) -> bool:
    # Only `@app.get(...)` is a route; a bare `@get` may be anything.
    return not isinstance(definition, ast.ClassDef) and any(
        isinstance(decorator, ast.Call)
        and isinstance(decorator.func, ast.Attribute)
        and decorator.func.attr in ROUTES
        for decorator in definition.decorator_list
    )


def _is_command(definition: Definition) -> bool:
    return any(_last_word(decorator) == "command" for decorator in definition.decorator_list)


def _only_names_a_kind(definition: ast.ClassDef) -> bool:
    """Return whether a class adds no behaviour to its base."""
    return bool(definition.bases) and not any(
        isinstance(part, ast.FunctionDef | ast.AsyncFunctionDef) for part in definition.body
    )


def _is_record(definition: Definition) -> bool:
    if not isinstance(definition, ast.ClassDef):
        return False
    return (
        any(_last_word(base) in RECORD_BASES for base in definition.bases)
        or any(_last_word(decorator) == "dataclass" for decorator in definition.decorator_list)
        or _only_names_a_kind(definition)
    )


def public_definitions(module: Path) -> Iterator[Definition]:
    """Yield the functions and classes a module offers, web handlers left out."""
    for node in ast.parse(module.read_text(encoding="utf-8")).body:
        if isinstance(node, Definition) and not (node.name.startswith("_") or _is_handler(node)):
            yield node


def words_of(test: Path) -> frozenset[str]:
    """Collect every identifier and every short text that a test file uses."""
    words: set[str] = set()
    for node in ast.walk(ast.parse(test.read_text(encoding="utf-8"))):
        match node:
            case ast.Name(id=word) | ast.Attribute(attr=word) | ast.alias(name=word):
                words.add(word)
            case ast.Constant(value=str(text)):
                words.add(f'"{text}"')
    return frozenset(words)


def home_of_tests(module: Path) -> Path:
    """Return where the tests of a module belong, both relative to their own root."""
    is_package = module.stem == "__init__"
    subject = module.parent.name if is_package else module.stem.strip("_")
    return module.parent / f"test_{subject}.py"


def untested(package: Path, tests: Path) -> list[Untested]:
    """List the public names of a package that its tests do not refer to, in reading order."""
    words = {test: words_of(test) for test in sorted(tests.rglob("test_*.py"))}
    anywhere = frozenset[str]().union(*words.values())
    missing = []
    for module in sorted(package.rglob("*.py")):
        inside = module.relative_to(package)
        if FOLDERS_WITHOUT_TESTS.intersection(inside.parts):
            continue
        test = home_of_tests(inside)
        own = words.get(tests / test, frozenset())
        for definition in public_definitions(module):
            record = _is_record(definition)
            wanted = {definition.name}
            if _is_command(definition):
                wanted.add('"' + definition.name.replace("_", "-") + '"')
            if wanted.isdisjoint(anywhere if record else own):
                place = "any test" if record else (Path(tests.name) / test).as_posix()
                missing.append(Untested(module, definition.lineno, definition.name, place))
    return missing


def main(root: Path) -> int:
    """Print what is missing in a source tree and give the exit code."""
    missing = untested(root / "src" / "crustbreak", root / "tests")
    for one in missing:
        where = one.module.relative_to(root).as_posix()
        print(f"{where}:{one.line}: {one.name} is not named in {one.expected_in}")
    if missing:
        print(f"{len(missing)} public names without a test")
        print("hint: write the test in the file named, under the name of a behaviour")
    return 1 if missing else 0


if __name__ == "__main__":
    sys.exit(main(Path(__file__).parents[1]))
