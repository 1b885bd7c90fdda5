"""All types of fuse that a plan may name, by that name."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from loomwright.errors import OutOfTableError
from loomwright.tables.fuse_type import FuseType
from loomwright.tables.iso_8820 import BLADE, BOLTED, LARGE_BLADE, MINI_BLADE, POST
from loomwright.tables.sae_j553 import BREAKER
from loomwright.tables.ul_248 import GLASS, HIGH_BREAKING

FUSE_TYPES: Mapping[str, FuseType] = MappingProxyType(
    {
        kind.name: kind
        for kind in (BLADE, MINI_BLADE, LARGE_BLADE, BOLTED, HIGH_BREAKING, GLASS, POST, BREAKER)
    }
)


def fuse_type(name: str) -> FuseType:
    """Return the type of this name.

    Parameters
    ----------
    name : str
        One of `FUSE_TYPES`.

    Returns
    -------
    FuseType
        What is known of it.

    Raises
    ------
    OutOfTableError
        No such type.

    Examples
    --------
    >>> fuse_type("bolted").ratings_a[:3]
    (30, 40, 50)
    """
    if name not in FUSE_TYPES:
        raise OutOfTableError(f'no fuse type "{name}"; held: {", ".join(FUSE_TYPES)}')
    return FUSE_TYPES[name]
