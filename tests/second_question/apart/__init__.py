"""The twins asked by the difference sheet: with words beside the scale, and five for a call.

Only the tests ask it, on the pages of a lab that is served.
"""
