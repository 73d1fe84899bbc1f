"""The script that names public functions without a test."""

from pathlib import Path

import pytest

from missing_tests import home_of_tests, main, public_definitions, untested, words_of


@pytest.fixture
def package(tmp_path: Path) -> Path:
    (tmp_path / "package").mkdir()
    (tmp_path / "tests").mkdir()
    return tmp_path / "package"


def missing_from(package: Path) -> list[tuple[str, str]]:
    found = untested(package, package.parent / "tests")
    return [(one.name, one.expected_in) for one in found]


def write_test(package: Path, name: str, text: str) -> None:
    (package.parent / "tests" / name).write_text(text)


def test_names_a_function_and_the_file_it_should_be_in(package: Path) -> None:
    (package / "units.py").write_text("def grams(): ...\ndef _hidden(): ...\n")

    assert missing_from(package) == [("grams", "tests/test_units.py")]


def test_a_mention_in_its_own_test_file_is_enough(package: Path) -> None:
    (package / "units.py").write_text("def grams(): ...\nasync def litres(): ...\n")
    write_test(package, "test_units.py", "import units\ngrams()\nunits.litres()\n")

    assert missing_from(package) == []


def test_a_mention_in_another_test_file_is_not(package: Path) -> None:
    (package / "units.py").write_text("def grams(): ...\n")
    write_test(package, "test_other.py", "grams()\n")

    assert missing_from(package) == [("grams", "tests/test_units.py")]


@pytest.mark.parametrize(
    "record",
    [
        "class Cup(Protocol):\n    def pour(self): ...\n",
        "class Cup(enum.StrEnum):\n    A = 'a'\n",
        "@dataclass(frozen=True)\nclass Cup:\n    a: int\n",
        "class Cup(CrustbreakError):\n    '''Say so.'''\n",
    ],
)
def test_a_class_without_behaviour_may_be_met_anywhere(record: str, package: Path) -> None:
    (package / "units.py").write_text(record)
    unnamed = missing_from(package)
    write_test(package, "test_other.py", "Cup\n")

    assert unnamed == [("Cup", "any test")]
    assert missing_from(package) == []


def test_a_class_with_behaviour_needs_its_own_test(package: Path) -> None:
    (package / "units.py").write_text("class Cup(Bowl):\n    def pour(self): ...\n")
    write_test(package, "test_other.py", "Cup\n")

    assert missing_from(package) == [("Cup", "tests/test_units.py")]


def test_web_handlers_are_left_to_the_journeys(package: Path) -> None:
    module = package / "pages.py"
    module.write_text("@app.get('/')\ndef today(): ...\n@get\ndef other(): ...\n")

    assert [one.name for one in public_definitions(module)] == ["other"]


def test_a_command_counts_when_its_word_is_given(package: Path) -> None:
    (package / "lab.py").write_text("@app.command()\ndef back_up(): ...\n")
    write_test(package, "test_lab.py", "run('back-up')\n")

    assert missing_from(package) == []


def test_folders_of_pages_and_migrations_are_passed_over(package: Path) -> None:
    (package / "migrations").mkdir()
    (package / "migrations" / "first.py").write_text("def upgrade(): ...\n")

    assert missing_from(package) == []


def test_words_are_names_attributes_imports_and_texts(tmp_path: Path) -> None:
    test = tmp_path / "test_it.py"
    test.write_text("from a import b\nc.d('e')\n")

    assert words_of(test) == {"b", "c", "d", '"e"'}


@pytest.mark.parametrize(
    ("module", "test"),
    [
        ("config.py", "test_config.py"),
        ("__main__.py", "test_main.py"),
        ("domain/planning/blind_codes.py", "domain/planning/test_blind_codes.py"),
        ("demo/__init__.py", "demo/test_demo.py"),
    ],
)
def test_the_tests_are_laid_out_as_the_source(module: str, test: str) -> None:
    assert home_of_tests(Path(module)) == Path(test)


def test_says_where_and_what_and_fails(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    package = tmp_path / "src" / "crustbreak"
    package.mkdir(parents=True)
    (package / "units.py").write_text("\ndef grams(): ...\n")

    code = main(tmp_path)

    said = capsys.readouterr().out
    assert code == 1
    assert "src/crustbreak/units.py:2: grams is not named in tests/test_units.py" in said


def test_is_content_and_quiet_when_nothing_is_missing(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    code = main(tmp_path)

    assert (code, capsys.readouterr().out) == (0, "")
