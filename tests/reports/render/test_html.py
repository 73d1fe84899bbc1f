import re
from base64 import b64encode
from dataclasses import replace
from hashlib import sha256
from typing import get_args

import pytest
from jinja2 import UndefinedError

from crustbreak.questions.choose.document import choice_blocks, choice_memo
from crustbreak.reports.blocks import (
    Block,
    Chart,
    Disclosure,
    Grid,
    Heading,
    Items,
    Paper,
    Part,
    Text,
    words,
)
from crustbreak.reports.charts.ranks import draw_ranks
from crustbreak.reports.render.html import (
    as_html,
    as_piece,
    evidence_style,
    paper_policy,
    paper_style,
)
from papers import record, weighed

HOSTILE = "<script>alert('1')</script> & \"x\""
ESCAPED = "&lt;script&gt;alert(&#39;1&#39;)&lt;/script&gt; &amp; &#34;x&#34;"


def test_escapes_what_is_said() -> None:
    piece = as_piece((Text(words(HOSTILE)), Grid(HOSTILE, (HOSTILE,), ((words(HOSTILE),),))))

    assert f"<p>{ESCAPED}</p>" in piece
    assert f'<th scope="row">{ESCAPED}</th>' in piece
    assert "<script>" not in piece


def test_gives_every_document_the_style_in_itself() -> None:
    page = as_html(choice_memo(record()))

    assert evidence_style() in paper_style()
    assert f"<style>{paper_style()}</style>" in page


def test_allows_its_own_style_and_nothing_else() -> None:
    page = as_html(choice_memo(record()))
    style = re.search(r"<style>(.*?)</style>", page, re.DOTALL)
    assert style is not None

    policy = paper_policy()

    # A browser hashes what stands between the tags: Content Security Policy Level 3, hashes.
    digest = b64encode(sha256(style[1].encode()).digest()).decode()
    assert f"style-src 'sha256-{digest}'" in policy
    assert "default-src 'none'" in policy


def test_a_picture_says_what_it_shows_and_brings_no_style_of_its_own() -> None:
    shown = weighed()

    piece = as_piece(choice_blocks(shown))

    # A strict policy takes no style attribute, and colours are the page's own.
    assert "style=" not in piece
    assert "var(--ink)" in piece
    assert piece.count('role="img" aria-label=') == 2
    for each in shown["sure"]["coffees"]:
        low, high = each["total"]["low"], each["total"]["high"]
        assert f"with nine in ten {low:.1f} to {high:.1f}" in piece


def test_lays_out_a_whole_paper() -> None:
    part = Part("Asked", (Text(words("So?")),))
    paper = Paper(
        kind="Note",
        about="",
        lab="Test lab",
        day="4 March 2031",
        at="2031-03-04T11:00:00.000Z",
        finding="So.",
        parts=(part, replace(part, wide=True)),
        signs=("Piet, decides",),
        foot="The end.",
    )

    page = as_html(paper)

    assert "<title>Note · Test lab</title>" in page
    assert page.count("<h2>Asked</h2>") == 2
    assert page.count('class="part whole"') == 1
    assert '<div class="sign"><p>Piet, decides</p></div>' in page


def test_the_same_paper_gives_the_same_bytes() -> None:
    paper = choice_memo(record(evidence=weighed()))

    assert as_html(paper) == as_html(replace(paper))


def test_draws_every_kind_of_block_and_refuses_another() -> None:
    chart = Chart("Chart", draw_ranks({"Tarn": (0.6, 0.4), "Fen": (0.4, 0.6)}), ("Tarn: 60",))
    blocks: tuple[Block, ...] = (
        Text(words("plain")),
        Heading("heading", ""),
        Items((words("item"),)),
        chart,
        Grid("caption", ("head",), ((words("cell"),),)),
        Disclosure("summary", (Text(words("inside")),)),
    )

    drawn = as_piece(blocks)

    assert {type(each) for each in blocks} == set(get_args(Block))
    for said in ("plain", "heading", "item", "Tarn: 60", "cell", "summary", "inside"):
        assert said in drawn
    with pytest.raises(UndefinedError):
        as_piece((object(),))  # type: ignore[arg-type]
