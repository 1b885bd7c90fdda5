"""Write docs/rules.md, the manual page of every rule, from the rules and the examples of their tests.

Run from the project's folder after a rule has come or changed; a test says so when the page is stale:

    python -m tools.make_rules_page
"""

from __future__ import annotations

from pathlib import Path

from loomwright import read_text
from loomwright.rules.check import check_plan
from loomwright.rules.finding import SEVERITIES, Finding
from loomwright.rules.registry import RULES, Rule
from loomwright.source import Source
from loomwright.tables.limits import LIMIT_SETS, WORKSHOP, Limit
from tests.rules.cases import CASES, UNKNOWN_DECIDES

PAGE = Path(__file__).parent.parent / "docs" / "rules.md"
#: Which limit of a set a rule compares with; the others have none that a plan could change.
LIMIT_OF = {
    "drop_too_large": "drop",
    "charging_drop_too_large": "charging_drop",
    "start_drop_too_large": "start_drop",
    "load_near_cut_out": "cut_out_margin",
    "dip_at_other_load": "dip",
    "joint_loses_too_much": "joint",
    "cable_overloaded": "load_over_rating",
    "fuse_above_cable_rating": "fuse_over_cable",
    "fuse_overloaded": "load_over_fuse",
    "fuse_above_lead_rating": "fuse_over_cable",
    "start_overloads_passage": "load_over_rating",
    "fuse_too_far": "fuse_distance",
    "missing_fuse": "fuse_distance",
    "passage_overloaded": "load_over_rating",
    "too_many_rings_on_stud": "stud_lugs",
}
HEAD = """\
# Rules

What `check` looks for, rule by rule. (This page is written by `python -m tools.make_rules_page`.)

A rule compares one figure with one limit and is named after the bad state. A plan may choose another set of
limits (`basis.limit_set`) or change single ones (`basis.limits`). A figure that nobody knows counts at its
worse end; where the better end would pass, the finding turns into a watch that asks for the figure, see
[unknown_figure_decides](#unknown_figure_decides).

Limits of standards were not read in the standards themselves unless the page says "read in the work": check
them against a licensed copy before you rely on them.

"""


def page() -> str:
    """Return the page as it ought to be."""
    severities = "".join(f"| `{word}` | {says} |\n" for word, says in SEVERITIES.items())
    contents = "".join(f"- [{name}](#{name}): {rule.asks}\n" for name, rule in sorted(RULES.items()))
    rules = "".join(_rule(rule) for _, rule in sorted(RULES.items()))
    return f"{HEAD}| severity | means |\n|---|---|\n{severities}\n{contents}\n{rules}{_unknown()}"


def _rule(rule: Rule) -> str:
    case = CASES[rule.name]
    limit = _limits(rule.name) if rule.name in LIMIT_OF else ""
    example = _example(case.example, _finding(case.trips, rule.name))
    return (
        f"## {rule.name}\n\n{rule.asks} Gravest: *{rule.worst}*.\n\n{rule.why}\n\n{limit}{example}"
        f"Whence: {_source(rule.source)}.\n\n"
    )


def _limits(rule: str) -> str:
    """Return the limits of every set that differs from the workshop's, as a table."""
    own = getattr(WORKSHOP, LIMIT_OF[rule])
    rows = [("workshop", own)]
    rows += [(n, limit) for n, s in LIMIT_SETS.items() if (limit := getattr(s, LIMIT_OF[rule])) != own]
    lines = [
        f"| `{n}` | {_level(one, one.watch)} | {_level(one, one.fault)} | {_source(one.source)} |"
        for n, one in rows
    ]
    return "| set | watch | fault | source |\n|---|---|---|---|\n" + "\n".join(lines) + "\n\n"


def _level(limit: Limit, level: float | None) -> str:
    if level is None:
        return "–"
    if limit.below:
        return f"less than {level:g} {limit.unit} above"
    ratio = not limit.unit and level < 2
    return f"more than {100 * level:g} %" if ratio else f"more than {level:g} {limit.unit}".rstrip()


def _source(source: Source) -> str:
    return f"{source.work}, {source.place} ({source.checked})"


def _example(words: str, finding: Finding) -> str:
    says = f"> {finding.severity.upper()} {finding.where}: {finding.says}"
    return f"Example. {words}\n\n{says}\n>\n> {finding.do}\n\n"


def _finding(text: str, rule: str) -> Finding:
    return next(finding for finding in check_plan(read_text(text)).findings if finding.rule == rule)


def _unknown() -> str:
    text = UNKNOWN_DECIDES
    return (
        "## unknown_figure_decides\n\nDoes it matter that a figure is not known? Gravest: *watch*.\n\n"
        "Said in place of a finding that holds at the bad end of what is not known and not at the good end. "
        "It names the fields to fill in; a figure whose both ends give the same verdict is not asked for.\n\n"
        + _example(
            "A wire of 1.5 mm² is somewhere between 1 and 8 m long, and 10 A flow through it.",
            _finding(text, "unknown_figure_decides"),
        ).rstrip("\n")
        + "\n"
    )


if __name__ == "__main__":
    PAGE.write_text(page(), encoding="utf-8")
