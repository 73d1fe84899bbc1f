"""Papers as HTML: a whole document, or its blocks as a piece of a page."""

from base64 import b64encode
from functools import cache
from hashlib import sha256
from pathlib import Path

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup

from crustbreak.reports.blocks import Block, Paper
from crustbreak.reports.charts.specs import as_svg

TEMPLATES = Path(__file__).parents[1] / "templates"


def as_html(paper: Paper) -> str:
    """Return a document as a page that stands by itself; the same bytes for the same paper."""
    return _environment().get_template("paper.html").render(paper=paper)


def as_piece(blocks: tuple[Block, ...]) -> str:
    """Return blocks as a piece of a page whose style is `evidence_style`."""
    return _environment().get_template("piece.html").render(blocks=blocks)


@cache
def _environment() -> Environment:
    environment = Environment(
        loader=FileSystemLoader(TEMPLATES),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    # What a spec says is text in SVG as Vega writes it, every sign escaped.
    environment.filters["svg"] = lambda spec: Markup(as_svg(spec))
    environment.filters["kind"] = lambda block: type(block).__name__
    environment.globals["style"] = Markup(paper_style())
    return environment


def evidence_style() -> str:
    """Return the style of the evidence, for a page that shows it outside a document."""
    return (TEMPLATES / "evidence.css").read_text(encoding="utf-8")


@cache
def paper_style() -> str:
    """Return the style that every document carries, so that a saved one still looks right."""
    return (TEMPLATES / "paper.css").read_text(encoding="utf-8") + evidence_style()


def paper_policy() -> str:
    """Return the content policy under which a document may be shown: its own style.

    Nothing else.
    """
    digest = b64encode(sha256(paper_style().encode("utf-8")).digest()).decode("ascii")
    return f"default-src 'none'; style-src 'sha256-{digest}'; frame-ancestors 'none'"
