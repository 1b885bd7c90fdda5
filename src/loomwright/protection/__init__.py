"""The choice of cable and fuse: what a wire carries and drops, and what opens before it is harmed.

Plain figures and words go in; nothing here knows what a plan is.
"""
