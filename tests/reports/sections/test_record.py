"""What every paper says of the record it is written from."""

from crustbreak.reports.render.terminal import blocks_as_lines
from crustbreak.reports.sections.record import (
    asked_block,
    cut_off_text,
    day_blocks,
    deviation_blocks,
    record_foot,
    verdict_blocks,
    whole_record,
)
from match_papers import MORNING, match_record


def test_what_an_old_record_does_not_tell_had_not_happened() -> None:
    record = match_record()
    old = {**record, "table": {**record["table"]}, "left_out": {"late": 1, "set_aside": 0}}
    for name in ("admitted", "earlier_verdicts"):
        del old[name]
    for name in ("cut_off_planned", "cut_off_moves"):
        del old["table"][name]

    whole = whole_record(old)

    assert (whole["admitted"], whole["earlier_verdicts"]) == ([], [])
    assert (whole["table"]["cut_off_planned"], whole["table"]["cut_off_moves"]) == (1.5, [])
    assert whole["left_out"] == {"late": 1, "set_aside": 0, "seats": [], "refused": 0}


def test_a_figure_that_was_moved_is_said_with_when_and_why() -> None:
    move = {
        "after": 2.0,
        "at": MORNING.format(50),
        "is_late": True,
        "knew_names": False,
        "reason": "The contract says so.",
    }

    said = cut_off_text({**match_record()["table"], "cut_off_moves": [move]})

    assert "Moved to 2.00 on 4 March 2031, 09:50 UTC" in said
    assert said.endswith("after the first pour, before the names: The contract says so.")


def test_a_day_says_who_tasted_how_it_was_poured_and_what_was_left_out() -> None:
    left = {
        "late": 2,
        "set_aside": 1,
        "refused": 0,
        "seats": [{"taster": "Wren", "reason": "Ill."}],
    }

    said = "\n".join(blocks_as_lines(day_blocks(match_record(left_out=left)), 400))

    assert "Tasted by Odile on 4 March 2031." in said
    assert "Out of the evidence: 2 marks that came late, 1 set aside." in said
    assert "Left out: Wren. Reason: Ill." in said


def test_bowls_of_a_coffee_are_counted_where_none_stands_open() -> None:
    record = match_record()
    table = {**record["table"], "cups": [5, 5, 5]}
    del table["open"]

    said = "\n".join(blocks_as_lines(day_blocks({**record, "table": table}), 400))

    assert "5 bowls a coffee, 8.25 g to 150 ml" in said


def test_asked_decided_and_kept_are_said_as_they_were() -> None:
    record = match_record()
    lines = blocks_as_lines((asked_block(record), *verdict_blocks(record["verdict"])), 400)

    assert lines[0].startswith("Is this the coffee we approved? Arrival of Oskelan.")
    assert "Is this the coffee we approved?: different, worse." in lines[2]
    assert record_foot(record).endswith("Record ab12 ab12 ab12 ab12.")
    assert deviation_blocks(record["evidence"]) == ()
