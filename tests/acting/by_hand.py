"""A person at a page, whose taps, typing and thinking are counted.

Seconds are those of the keystroke-level model: a tap is a pointing and a press, a key a press, and
before each thing that is decided a moment of thought. Source: Card SK, Moran TP, Newell A. *The
keystroke-level model for user performance time with interactive systems.* Communications of the ACM
1980; 23(7): 396-410; pointing 1.1 s, a press 0.2 s, a key of an average typist 0.28 s, a thought
1.35 s; from memory. It leaves out reading a page for the first time, so a stranger's thoughts are
counted twice.
"""

from dataclasses import dataclass

from playwright.sync_api import Locator

POINT_S, PRESS_S, KEY_S, THOUGHT_S = 1.1, 0.2, 0.28, 1.35
# Copied elsewhere before: a long press or two keys, and the choice of "paste".
PASTE_KEYS = 3


@dataclass(slots=True)
class Hand:
    """What somebody did so far.

    is_stranger:  it is the first time, and everything is read.
    """

    is_stranger: bool = False
    taps: int = 0
    keys: int = 0

    def tap(self, target: Locator) -> None:
        """Tap once."""
        target.click()
        self.taps += 1

    def type(self, field: Locator, text: str) -> None:
        """Tap into a field and type."""
        field.fill(text)
        self.taps += 1
        self.keys += len(text)

    def paste(self, field: Locator, text: str) -> None:
        """Tap into a field and paste what was copied elsewhere."""
        field.fill(text)
        self.taps += 1
        self.keys += PASTE_KEYS

    def choose(self, field: Locator, value: str) -> None:
        """Open a list and choose from it."""
        field.select_option(value)
        self.taps += 2

    @property
    def seconds(self) -> float:
        """How long that takes by hand, s."""
        thoughts = self.taps * (2 if self.is_stranger else 1)
        return self.taps * (POINT_S + PRESS_S) + self.keys * KEY_S + thoughts * THOUGHT_S
