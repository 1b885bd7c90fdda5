"""The public names are those in `loomwright.__all__`, no more and no fewer, and each says what it is."""

from __future__ import annotations

import inspect
import types

import loomwright


def names() -> list[str]:
    return list(getattr(loomwright, "__all__", ()))


def test_all_is_sorted_and_says_each_name_once():
    assert names() == sorted(set(names()))


def test_nothing_else_is_public():
    bound = {
        name
        for name, value in vars(loomwright).items()
        if not name.startswith("_") and not isinstance(value, types.ModuleType) and name != "annotations"
    }
    assert bound <= set(names()), f"public by accident: {sorted(bound - set(names()))}"


def test_each_name_is_there_and_documented():
    for name in names():
        thing = getattr(loomwright, name)
        assert inspect.getdoc(thing), f"{name} has no docstring"
        if not isinstance(thing, types.ModuleType):
            assert thing.__module__.startswith("loomwright"), f"{name} comes from {thing.__module__}"


def test_star_import_brings_exactly_them():
    brought: dict[str, object] = {}
    exec("from loomwright import *", brought)
    assert {name for name in brought if name != "__builtins__"} == set(names())
