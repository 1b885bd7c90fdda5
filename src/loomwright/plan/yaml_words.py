"""What a YAML parser complains about, said in words for the person who types a plan."""

from __future__ import annotations

import yaml


def in_plain_words(wrong: yaml.MarkedYAMLError, text: str) -> tuple[int, int, str]:
    """Return line, column (from 1) and message for a syntax error."""
    mark = wrong.problem_mark or wrong.context_mark
    assert mark is not None
    return mark.line + 1, mark.column + 1, str(wrong.problem)
