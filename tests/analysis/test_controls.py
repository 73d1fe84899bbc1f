from dataclasses import replace

from crustbreak.analysis.controls import ControlFinding, find_controls
from crustbreak.analysis.dataset import Dataset
from datasets import dataset, with_control


def stood(*totals: float | None, **more: object) -> Dataset:
    marks = {f"T{nth}": total for nth, total in enumerate(totals)}
    return with_control(dataset({"Tarn": {"T0": 84.0}}), "Old Post", marks, **more)


def test_says_today_and_what_is_usual() -> None:
    history = (stood(83.0, 84.0), stood(82.0, 83.0))
    given = replace(stood(85.0, None), history=history)

    (found,) = find_controls(given)

    assert found == ControlFinding(
        coffee="Old Post",
        code="999",
        today=85.0,
        usual=83.0,
        least=82.5,
        most=83.5,
        tables=2,
    )


def test_a_control_that_stands_for_the_first_time_has_nothing_usual() -> None:
    (found,) = find_controls(replace(stood(None), history=(stood(83.0, lot="another"),)))

    assert (found.today, found.usual, found.tables) == (None, None, 0)


def test_a_table_without_one_says_nothing() -> None:
    assert find_controls(dataset({"Tarn": {"T0": 84.0}})) == ()


def both(*controls: str) -> Dataset:
    """Give a table at which these controls stood."""
    plain = dataset({"Tarn": {"T0": 84.0}})
    stood = [with_control(plain, name, {"T0": 83.0}, lot=name) for name in controls]
    return replace(
        plain,
        controls=tuple(each for one in stood for each in one.controls),
        control_ratings=tuple(each for one in stood for each in one.control_ratings),
        lots={f"id of {name}": name for name in controls},
    )


def test_says_which_control_it_takes_over_from_and_how_long_they_stood_together() -> None:
    history = (both("Old Post", "New Post"), both("New Post", "Old Post"), both("Old Post"))

    (found,) = find_controls(replace(both("New Post"), history=history))
    old, new = find_controls(replace(both("Old Post", "New Post"), history=history))
    (first,) = find_controls(replace(both("New Post"), history=history[:2]))

    assert (found.follows, found.together) == ("Old Post", 2)
    # As long as both stand there nothing is taken over.
    assert (old.follows, new.follows) == ("", "")
    assert first.follows == ""
