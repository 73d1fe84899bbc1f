"""Crustbreak plans a tasting table, runs it blind, and says what it can tell."""

import os

__version__ = "0.1.0"

# Before anything imports arrays: on a laptop that does other things as well, several threads take
# ten times as long over small matrices as one.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
