"""Where the pages' own language runs without a browser."""

import shutil
from pathlib import Path

import playwright

# The browser driver brings a node of a known version: no other needs to be installed.
DRIVERS_NODE = Path(playwright.__file__).parent / "driver" / "node"


def find_node() -> str | None:
    """Give the driver's own node, else whichever is on the path."""
    return str(DRIVERS_NODE) if DRIVERS_NODE.is_file() else shutil.which("node")
