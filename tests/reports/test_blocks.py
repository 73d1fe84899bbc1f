from crustbreak.reports.blocks import Run, strong, words


def test_puts_pieces_in_a_row_and_leaves_out_what_is_empty() -> None:
    assert words("Reason: ", strong("best"), "", strong("")) == (
        Run("Reason: "),
        Run("best", strong=True),
    )


def test_nothing_said_is_no_run() -> None:
    assert words("") == ()
