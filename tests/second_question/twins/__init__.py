"""A question that only the tests ask, to see that a second one costs one file a floor.

Six bowls, each with a code of its own, three of either coffee; another sheet, one answer for the
whole table, other words, other paper. It is not a question of the lab's.
"""
