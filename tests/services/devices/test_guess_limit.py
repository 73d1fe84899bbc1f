from at_the_table import MORNING

from crustbreak.services.devices.guess_limit import MemoryGuessLimit


def test_counts_wrong_codes_until_it_forgets_them() -> None:
    limit = MemoryGuessLimit()
    limit.wrong_code(MORNING)

    before = limit.wrong_code(MORNING)
    limit.forget_codes()

    assert before == (MORNING, MORNING)
    assert limit.wrong_code(MORNING) == (MORNING,)
