"""Reports' part: one template for the page and one for the note."""

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from crustbreak.reports.documents import render

FOLDER = Path(__file__).parent / "templates"


def show_twins(evidence: Mapping[str, Any]) -> str:
    """Draw the evidence for the host's page."""
    return render("twins_evidence.html", {"evidence": evidence}, folder=FOLDER)


def twin_note(record: Mapping[str, Any]) -> str:
    """Write the note from the kept record."""
    return render("twins_note.html", record, folder=FOLDER)
