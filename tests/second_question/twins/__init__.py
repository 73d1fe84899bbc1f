"""A question that only the tests ask, to see that a further one costs one folder.

Six bowls, each with a code of its own, three of either coffee; another sheet, one answer for the
whole table, other words, other paper. It is not a question of the lab's.
"""
