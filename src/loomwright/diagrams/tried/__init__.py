"""A case of the mains side as a picture: the way from the post to a socket, core by core.

chain       what stands on the way, with its volts and amperes
picture     drawn: lines, letters and boxes (shapes), in pixels of a narrow screen
"""

from .chain import Stop, chain_of
from .picture import picture_of
from .shapes import Picture, Shape, Words

__all__ = ["Picture", "Shape", "Stop", "Words", "chain_of", "picture_of"]
