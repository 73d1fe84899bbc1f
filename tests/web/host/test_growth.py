"""No page asks more of the lab's files in a lab of sixty tables than in one of ten."""

import re
from collections.abc import Iterator
from contextlib import ExitStack

import pytest
from lab_of_years import PAGES, Grown, grown_lab, stir
from many_tables import counted_statements

from crustbreak.services.tables.views import ENDED_A_PAGE

SIZES = (10, 60)
# What is polled every two seconds, and what is opened.
MOST_POLLED, MOST_OPENED = 12, 20


@pytest.fixture(scope="module")
def labs(tmp_path_factory: pytest.TempPathFactory) -> Iterator[list[Grown]]:
    """Give the same lab twice, once with many more tables before today."""
    folder = tmp_path_factory.mktemp("labs")
    with ExitStack() as opened:
        yield [opened.enter_context(grown_lab(folder / f"{size}", size)) for size in SIZES]


def asked(grown: Grown, path: str) -> list[str]:
    with counted_statements() as statements:
        assert grown.host.get(path).status_code == 200
    # A page of twenty tables names twenty where one of ten names ten.
    return [re.sub(r"\(\?(, \?)*\)", "(...)", statement) for statement in statements]


@pytest.mark.parametrize("page", PAGES)
def test_a_page_opened_again_asks_the_same_in_a_lab_of_sixty_tables(
    labs: list[Grown], page: str
) -> None:
    for grown in labs:
        asked(grown, grown.address(page))

    few, many = (asked(grown, grown.address(page)) for grown in labs)

    assert many == few
    assert len(few) <= (MOST_POLLED if page.startswith("live") else MOST_OPENED)


def test_evidence_after_a_change_reads_the_changed_table_alone(labs: list[Grown]) -> None:
    for grown in labs:
        asked(grown, grown.address("evidence"))
        stir(grown)

    few, many = (asked(grown, grown.address("evidence")) for grown in labs)

    assert len(many) == len(few)


def test_a_page_of_today_lists_a_bounded_number_and_leads_on_to_all(labs: list[Grown]) -> None:
    path, seen = "/", set()
    while path:
        page = labs[1].host.get(path).text
        shown = [part.split('"')[0] for part in page.split('class="done"><p><a href="/tables/')[1:]]
        assert len(shown) <= ENDED_A_PAGE
        assert not seen & set(shown)
        seen |= set(shown)
        _, found, rest = page.partition('href="/?before=')
        path = f"/?before={rest.split(chr(34))[0]}" if found else ""

    assert len(seen) == SIZES[1]


def test_an_older_page_of_today_leads_back(labs: list[Grown]) -> None:
    nothing = labs[0].host.get("/?before=nobody").text

    assert "Earlier tables." in nothing
    assert 'href="/">Today' in nothing
