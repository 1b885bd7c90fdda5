"""The class of a line: the worst severity among the findings that are about what it is about."""

from __future__ import annotations

from loomwright.assessment.record import Assessment
from loomwright.assessment.sag_promises import power_promises
from loomwright.rules.check import Checked
from loomwright.rules.finding import Finding
from tests.scenarios.figures import MODE_OF, is_state, wire_of
from tests.scenarios.lines import Line

DROP = frozenset(
    {
        "drop_too_large",
        "charging_drop_too_large",
        "charger_input_too_low",
        "load_near_cut_out",
        "load_cannot_be_held",
        "load_not_fed",
        "open_return",
    }
)
CURRENT = frozenset({"cable_overloaded", "fuse_overloaded", "joint_loses_too_much", "passage_overloaded"})
#: The rules that belong to what is measured.
RULES_OF = {
    "drop_v": DROP,
    "drop_pct": DROP,
    "loop_mohm": DROP,
    "start_drop_v": frozenset({"start_drop_too_large", "load_near_cut_out"}),
    "dip_v": frozenset({"dip_at_other_load"}),
    "rating_a": frozenset(
        {"fuse_above_cable_rating", "fuse_rating_unknown", "cable_overloaded", "passage_overloaded"}
    ),
    "current_a": CURRENT,
    "load_a": CURRENT,
    "permanent_supply": frozenset({"permanent_supply_cut"}),
    "source_without_battery": frozenset({"source_without_battery"}),
    "share_pct": frozenset({"batteries_share_unequally", "battery_overloaded"}),
    "voltage_class": frozenset({"wrong_voltage_class"}),
    "fuse_rule": frozenset({"missing_fuse", "fuse_too_far"}),
    "breaking": frozenset({"fuse_breaks_too_little", "fuse_volts_too_low"}),
    "fault_current_a": frozenset(
        {
            *("missing_fuse", "fuse_breaks_too_little", "short_outlasts_cable", "short_never_clears"),
            "case_stays_live",
        }
    ),
    "touch_v": frozenset({"case_stays_live"}),
    "rcd": frozenset({"no_rcd", "sockets_on_floating_mains"}),
    "neutral": frozenset({"sockets_on_floating_mains", "bond_stays_on_hook_up"}),
    "poles": frozenset({"breaker_opens_one_pole"}),
    "bonding": frozenset({"shell_not_bonded", "case_bond_burns"}),
    "notice": frozenset({"inlet_without_notice"}),
    "supply_a": frozenset({"pitch_overloaded"}),
    "lasting_pct": frozenset({"pitch_full_for_hours"}),
    "short_folds_back": frozenset({"short_folds_back"}),
    "balance": frozenset({"load_between_batteries"}),
    "backfeed": frozenset({"back_feeds", "vehicle_fed_backwards", "batteries_joined_at_rest"}),
    "hours_to_fall_back": frozenset({"falls_back"}),
    "charge_ah_per_h": frozenset({"promised_charge_missed"}),
    "power_w": frozenset({"promised_power_missed"}),
    "volts": frozenset({"promised_power_missed", "load_between_batteries"}),
    "gas_locker": frozenset({"wire_in_gas_locker"}),
    "clip_spacing_m": frozenset({"clips_too_far_apart"}),
    "segregation": frozenset({"mains_beside_low_voltage"}),
    "solid_core": frozenset({"wire_not_flexible"}),
    "charge_temperature_c": frozenset({"lithium_charged_in_frost"}),
    "ah_per_day": frozenset({"empty_within_a_day"}),
    "days": frozenset({"promised_days_missed", "empty_within_a_day"}),
    "solar_ah_per_day": frozenset(),
    "start_load_a": frozenset({"passage_overloaded", "converter_folds_back"}),
}
GRAVITY = ("danger", "fault", "watch")


def touches(line: Line, finding: Finding, job: Assessment) -> bool:
    """True if a finding is about what a line is about."""
    if finding.rule not in RULES_OF[line.what]:
        return False
    named = (finding.where, *finding.also)
    if line.what == "power_w":
        return finding.where == line.name
    if line.what == "volts" and line.charge:  # of its promise, the states that miss it
        missed = [state for one in power_promises(job) if one.part == line.name for state in one.missed]
        return any(is_state(line, state) for state in missed)
    if line.what in ("ah_per_day", "days"):
        return finding.where == line.name
    if line.thing == "plan" and line.name in job.plan.supplies:
        return finding.where == line.name
    if line.thing == "plan":
        return finding.mode in ("", line.name)
    if finding.mode != (MODE_OF.get((line.van, line.selector), "") if finding.mode else ""):
        return False
    if line.what == "dip_v":  # who feels it, then the wire and who starts
        return line.name in (finding.where, *finding.also[:-2]) and finding.also[-1] == line.by
    if line.what == "bonding":
        return line.name in named
    if line.thing == "part":
        return any(name == line.name or name.startswith(f"{line.name}/") for name in named)
    run = wire_of(line, job)
    on_run = any(name == run or name.startswith(f"{run}.") for name in named)
    load = line.of or (line.name if line.thing == "circuit" else "")
    by_load = line.what in ("drop_v", "drop_pct", "loop_mohm", "start_drop_v")
    return on_run and (not (load and by_load) or load in named)


def grade(line: Line, done: Checked) -> str:
    """Return the class that the findings give a line."""
    found = {f.severity for f in done.findings if touches(line, f, done.assessment)}
    return next((word for word in GRAVITY if word in found), "pass")
