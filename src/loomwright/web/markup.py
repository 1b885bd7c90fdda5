"""The markup of the page: templates that take texts as texts, whatever they hold."""

from __future__ import annotations

import json
import re
from collections.abc import Sequence
from functools import cache
from importlib.resources import files
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined

from loomwright.drawing.ink import DAY, EVENING
from loomwright.plan.edit import Edit

#: A minus that is a minus.
MINUS = "\N{MINUS SIGN}"


@cache
def _templates() -> Environment:
    made = Environment(
        loader=PackageLoader("loomwright.web", "pages"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.filters["figure"] = figure
    made.filters["edits_json"] = edits_json
    made.filters["sentence"] = sentence
    return made


def fill(name: str, /, **values: Any) -> str:
    """Return a template filled in; every value is text to it, never markup."""
    return _templates().get_template(name).render(**values)


def figure(value: float | None, unit: str = "", digits: int = 3) -> str:
    """Return a figure to the digits that matter, with its unit; a dash if there is none.

    Examples
    --------
    >>> figure(1.3571, "V"), figure(None), figure(-0.05, "A")
    ('1.36 V', '–', '−0.05 A')
    """
    if value is None:
        return "–"
    text = f"{value:.{digits}g}"
    if "e" in text:
        text = f"{value:.0f}"
    return f"{text.replace('-', MINUS)} {unit}".strip()


def sentence(text: str) -> str:
    """Return a text as a sentence; a name of the plan stays as it is typed there.

    Examples
    --------
    >>> sentence("use a larger cable"), sentence("water_pump has no wire")
    ('Use a larger cable.', 'water_pump has no wire.')
    """
    text = text.strip()
    is_name = re.match(r"\w*[_\d]", text) is not None
    first = text[:1] if is_name else text[:1].upper()
    return f"{first}{text[1:]}" + ("" if text.endswith((".", "?", "!")) else ".")


def edits_json(edits: Sequence[Edit]) -> str:
    """Return edits as JSON, for a button that makes them."""
    return json.dumps([edit.as_data() for edit in edits], ensure_ascii=False)


def tokens_css() -> str:
    """Return the colours of the sheets as properties of the page, for the day and for the evening."""
    day, evening = (
        "".join(f"--{token.replace('_', '-')}:{colour};" for token, colour in inks.items())
        for inks in (DAY, EVENING)
    )
    return f":root{{{day}color-scheme:light}}\n:root[data-light=evening]{{{evening}color-scheme:dark}}\n"


def font_bytes(name: str) -> bytes:
    """Return one of the font files that drawing and page share.

    Raises
    ------
    KeyError
        There is no such file.
    """
    fonts = files("loomwright.drawing").joinpath("fonts")
    names = {file.name for file in fonts.iterdir() if file.name.endswith(".woff2")}
    if name not in names:
        raise KeyError(name)
    return fonts.joinpath(name).read_bytes()
