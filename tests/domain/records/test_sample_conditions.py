from crustbreak.domain.records.sample_conditions import NOTHING_SAID, SampleConditions


def test_nothing_is_taken_for_said() -> None:
    assert SampleConditions() == NOTHING_SAID
    assert (NOTHING_SAID.sample_g, NOTHING_SAID.ground_min, NOTHING_SAID.swallowed) == (
        None,
        None,
        0,
    )
