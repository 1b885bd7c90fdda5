"""Figures of standards and of the trade, one file per standard; every one names its source.

Nothing here knows what a plan is: sizes, degrees and words go in, figures come out.
"""
