import sys

import pytest

from crustbreak.__main__ import main


def test_says_a_foreseen_error_in_two_lines(
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    tmp_path_factory: pytest.TempPathFactory,
) -> None:
    folder = tmp_path_factory.mktemp("lab")
    monkeypatch.setattr(sys, "argv", ["crustbreak", "memo", "none", "--folder", str(folder)])

    with pytest.raises(SystemExit) as stopped:
        main()

    said = capsys.readouterr().err.splitlines()
    assert stopped.value.code == 1
    assert said[0].startswith("error: There is no such table")
    assert said[1].startswith("hint: ")
