import pytest

from crustbreak.web.http.numbers import read_number


@pytest.mark.parametrize(
    ("text", "number"),
    [("84.5", 84.5), ("84,5", 84.5), (" 80 ", 80.0), ("", None), ("many", None), ("8 4", None)],
)
def test_reads_a_number_with_a_point_or_a_comma(text: str, number: float | None) -> None:
    assert read_number(text) == number
