"""Every table names its source, in the six words."""

import importlib
import pkgutil
from collections.abc import Mapping
from typing import get_args

import pytest

from loomwright import mains, protection, tables
from loomwright.source import Checked, Source
from loomwright.tables.fuses import FUSE_TYPES

MODULES = [
    importlib.import_module(f"{package.__name__}.{found.name}")
    for package in (tables, protection, mains)
    for found in pkgutil.iter_modules(package.__path__)
]


def sources_in(module):
    return [value for value in vars(module).values() if isinstance(value, Source)]


def holds_figures(module):
    public = (value for name, value in vars(module).items() if not name.startswith("_"))
    return any(
        isinstance(value, Mapping) and any(isinstance(key, int | float) for key in value) for value in public
    )


@pytest.mark.parametrize("module", MODULES, ids=lambda module: module.__name__.rpartition(".")[2])
def test_a_module_that_holds_a_table_of_figures_names_a_source(module):
    assert sources_in(module) or not holds_figures(module)
    for source in sources_in(module):
        assert source.checked in get_args(Checked)


@pytest.mark.parametrize("kind", FUSE_TYPES.values(), ids=lambda kind: kind.name)
def test_every_figure_of_a_fuse_is_sourced(kind):
    assert list(kind.ratings_a) == sorted(kind.ratings_a)
    assert all(gates.source.work for gates in kind.gates)
    assert all(row.source.work for row in kind.breaking)
    assert bool(kind.cold_ohm) == (kind.cold_ohm_source is not None)
    for gates in kind.gates:
        multiples = [gate.multiple for gate in gates.gates]
        assert multiples == sorted(set(multiples))
    if kind.gates:
        assert kind.gates[-1].up_to_a >= kind.ratings_a[-1]
