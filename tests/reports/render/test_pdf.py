"""The memo as PDF: read back by a library of its own (pypdf)."""

import io
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader

from crustbreak.exchange.canonical_json import plain
from crustbreak.questions.choose.document import choice_memo
from crustbreak.questions.choose.evidence import choice_evidence
from crustbreak.reports.cards.cards import printed_data
from crustbreak.reports.render.pdf import UNSHOWN, as_pdf, typeset
from datasets import dataset
from papers import record, weighed
from prints import PRINTED


def read(pdf: bytes) -> PdfReader:
    return PdfReader(io.BytesIO(pdf))


def text_of(pdf: bytes) -> str:
    return " ".join(" ".join(page.extract_text() for page in read(pdf).pages).split())


def named(name: str) -> dict[str, Any]:
    said = {"subject": name, "word": "buy"}
    return record(
        evidence=weighed(), verdict={**record()["verdict"], "words": [said], "reason": name}
    )


def test_says_what_the_memo_says_on_numbered_pages() -> None:
    pdf = as_pdf(choice_memo(record(evidence=weighed())))
    said = text_of(pdf)

    for part in ("Buy Marrow Hill.", "Reason: The best.", "cut-off 84.00", "In which order"):
        assert part in said
    count = len(read(pdf).pages)
    for nth in range(1, count + 1):
        assert f"Page {nth} of {count}" in said
    assert "Record 0123 4567 89ab cdef." in said


def test_is_marked_for_an_archive_and_for_a_screen_reader() -> None:
    """Source: ISO 19005-2, 6.6.4 and ISO 14289-1, 5: the marks; Typst checks the rest."""
    reader = read(as_pdf(choice_memo(record(evidence=weighed()))))
    root: Any = reader.trailer["/Root"]

    marks = root["/Metadata"].get_object().get_data().decode()
    assert "<pdfaid:part>2</pdfaid:part>" in marks
    assert "<pdfaid:conformance>A</pdfaid:conformance>" in marks
    assert "<pdfuaid:part>1</pdfuaid:part>" in marks
    assert root["/MarkInfo"]["/Marked"]
    assert root["/Lang"] == "en"
    assert reader.metadata is not None
    assert reader.metadata.title == "Decision memo: Morning offers"


def test_carries_its_faces_in_itself() -> None:
    for page in read(as_pdf(choice_memo(record(evidence=weighed())))).pages:
        resources: Any = page["/Resources"]
        for font in resources["/Font"].values():
            (descendant,) = font.get_object()["/DescendantFonts"]
            descriptor = descendant.get_object()["/FontDescriptor"].get_object()
            assert {"/FontFile2", "/FontFile3"} & set(descriptor)
            assert "Roboto" in descriptor["/FontName"]


def test_another_program_run_gives_the_same_bytes(tmp_path: Path) -> None:
    here = as_pdf(choice_memo(record(evidence=weighed())))
    script = (
        "import sys; from pathlib import Path; from papers import record, weighed;"
        "from crustbreak.questions.choose.document import choice_memo;"
        "from crustbreak.reports.render.pdf import as_pdf;"
        "Path(sys.argv[1]).write_bytes(as_pdf(choice_memo(record(evidence=weighed()))))"
    )
    there = tmp_path / "memo.pdf"

    run = (sys.executable, "-c", f"import sys; sys.path[:0] = {sys.path!r}; {script}", str(there))
    subprocess.run(run, check=True, timeout=120)

    assert there.read_bytes() == here
    assert as_pdf(choice_memo(record(evidence=weighed()))) == here


@pytest.mark.parametrize("count", [1, 5, 12])
def test_a_full_table_has_two_pages_at_most(count: int) -> None:
    totals = {
        f"Coffee of the upper terrace {nth}": {f"Taster {each}": 88.0 - nth for each in range(6)}
        for nth in range(count)
    }
    evidence = plain(choice_evidence(dataset(totals, cut_off=84.0)))
    words = [{"subject": name, "word": "decline"} for name in totals]
    given = record(evidence=evidence)

    pdf = as_pdf(choice_memo({**given, "verdict": {**given["verdict"], "words": words}}))

    assert len(read(pdf).pages) <= 2


@pytest.mark.parametrize(
    "name",
    [
        "#panic() $x$ *bold* _it_ `raw` @ref <label> \\ //",
        "</text><script>alert(1)</script>",
        '"); #sys.inputs; ("',
        "W" * 80,
        "Finca Ñandú, Žďár, Łódź, Øst, Ελλάδα, Кения",
    ],
)
def test_whatever_people_type_is_said_and_never_read_as_markup(name: str) -> None:
    said = text_of(as_pdf(choice_memo(named(name))))

    assert name.replace(" ", "") in said.replace(" ", "")


@pytest.mark.parametrize(
    "name",
    [
        "\u8863\u7d22 7",
        "\u05e7\u05e4\u05d4",
        "\U0001f600 hill",
        "a\u0378b",
        # Of private use: ISO 19005-2 takes none of them into an archive without its meaning.
        "\uf0b7 \ue000\ue001 dry",
    ],
)
def test_a_sign_that_no_face_shows_does_not_cost_the_paper(name: str) -> None:
    pdf = as_pdf(choice_memo(named(name)))

    said = text_of(pdf)
    assert "Page 1 of" in said
    # Either this machine has a face for it, or the foot owns up.
    assert (UNSHOWN in said) is ("has no face for" in said)


def test_plain_data_is_set_in_the_form_of_a_template() -> None:
    cards = [{"code": "606", "bowl": ""}]
    data = {**printed_data(PRINTED, "a4"), "cards": cards, "bowls": False, "foot": "Cut."}

    assert text_of(typeset("place_cards", data)) == "606 4 March 2031 Cut."


def test_signs_that_no_face_shows_are_owned_up_to_once() -> None:
    # Unassigned in Unicode, so in no face.
    foot = "\u0378\u0379\u0380\u0381\u0382 end."
    data = {**printed_data(PRINTED, "a4"), "cards": [], "bowls": False, "foot": foot}

    said = text_of(typeset("place_cards", data, unshown_said="Some were left out."))

    assert said == f"{UNSHOWN * 5} end. Some were left out."
