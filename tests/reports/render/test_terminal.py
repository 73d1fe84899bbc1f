from crustbreak.questions.choose.document import choice_memo
from crustbreak.questions.match.chart import BowlRow, DifferenceBand, draw_bowls
from crustbreak.reports.blocks import Chart, Disclosure, Grid, Heading, Items, Text, strong, words
from crustbreak.reports.charts.intervals import Range, draw_ranges
from crustbreak.reports.charts.ranks import draw_ranks
from crustbreak.reports.render.terminal import as_text, blocks_as_lines, draw_in_signs
from papers import record, weighed


def test_draws_an_interval_in_signs_off_the_spec() -> None:
    row = Range(
        name="Tarn",
        small="as 204",
        mean=84.0,
        low=82.0,
        high=87.0,
        inner_low=83.0,
        inner_high=85.0,
        over=0.4,
        ratings=(81.0, 89.0),
    )
    spec = draw_ranges([row], cut_off=84.5, cut_off_said="cut", ends=(80.0, 90.0))["wide"]

    # 63 columns: six for the name, two between, 36 for figures, and so 21 for eleven points.
    head, drawn, ratings, ends = draw_in_signs(spec, 63)

    assert drawn[8:29] == "    ──▒▒●┊█━━━━      "
    assert drawn.endswith("84.0  82.0 to 87.0   40 in 100")
    assert ratings[8:29] == "  ╷               ╷  "
    assert head.index("cut") + 1 == 8 + 9
    assert ends.split() == ["80", "90"]


def test_draws_ranks_as_bars_with_their_chances() -> None:
    spec = draw_ranks({"Tarn": [1.0, 0.0], "Fen": [0.0, 1.0]})["wide"]

    head, tarn, fen = draw_in_signs(spec, 40)

    assert head.split() == ["1.", "2."]
    assert tarn.split() == ["Tarn", "█", ">99"]
    assert fen.split() == ["Fen", "█", ">99"]


def test_draws_bowls_in_signs_and_counts_those_of_one_mark() -> None:
    rows = [
        BowlRow(name="Tarn", small="control", marks=(1.0, 1.0, 0.0)),
        BowlRow(name="Tarn 2", small="compared", marks=(4.0,), is_new=True),
    ]
    gap = DifferenceBand(within=2.0, mean=3.0, low=1.0, high=4.0)
    spec = draw_bowls(rows, gap, most=5.0)["wide"]

    # 62 columns: eleven for the name, two between, 28 for figures, and so 21 for six points.
    lines = draw_in_signs(spec, 62)

    plots = [line[13:34] for line in lines[0:6:2]]
    assert plots == ["●···2················", "················●····", "····━━━━┊━━━●━━━━····"]
    assert lines[0].endswith("0.7  mean")
    assert lines[4].endswith("3.0  1.0 to 4.0")
    assert lines[5].endswith("d 2 at ┊")
    assert lines[6].split() == ["0", "5"]


def test_says_every_kind_of_block() -> None:
    spec = draw_ranks({"Tarn": [1.0]})
    blocks = (
        Text(words("So ", strong("it"), " is.")),
        Text(words("Hot."), "warned"),
        Heading("Order", "by chance"),
        Items((words("one"), words("two"))),
        Grid("Calls", ("coffee", "call"), ((words("Tarn"), words("buy")),), shown=True),
        Chart("Ranks", spec, ("Tarn is first.",)),
        Disclosure("More", (Text(words("Inside.")),)),
    )

    lines = blocks_as_lines(blocks, 60)

    for said in ("So it is.", "! Hot.", "ORDER (by chance)", "- one", "Calls", "More", "Inside."):
        assert said in lines
    assert "coffee  call" in lines
    assert "Tarn     buy" in lines


def test_wraps_to_the_columns_that_there_are() -> None:
    lines = blocks_as_lines((Text(words("word " * 40)), Items((words("word " * 40),))), 40)

    assert max(map(len, lines)) <= 40
    assert len(lines) > 8


def test_a_memo_as_text_says_what_the_others_say() -> None:
    text = as_text(choice_memo(record(evidence=weighed())))

    assert "BUY MARROW HILL." in text
    assert "IN WHICH ORDER" in text
    assert "Record 0123 4567 89ab cdef." in text
    assert not any(line != line.rstrip() for line in text.splitlines())
