"""Which changes are tried for which finding, in the order in which a workshop would try them.

Fuse value, switch or terminal, wire size, another feed, another way, another part.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from loomwright.rules.finding import Finding

from . import (
    behind,
    charging,
    copper,
    energy,
    feeds,
    fittings,
    fuses,
    hook_up,
    mains,
    other_fuses,
    parts,
    returns,
    states,
    supplies,
    under_load,
    vehicle,
    zones,
)
from .candidate import Base, Candidate, Proposer

_VOLTS: tuple[Proposer, ...] = (
    copper.for_lost_volts,
    fuses.for_volts_in_a_full_fuse,
    feeds.own_feed,
    returns.other_return,
    parts.joint_made_anew,
)
#: By rule, what proposes changes.
PROPOSERS: Mapping[str, tuple[Proposer, ...]] = {
    "drop_too_large": _VOLTS,
    "charging_drop_too_large": _VOLTS,
    "charger_input_too_low": _VOLTS,
    "start_drop_too_large": _VOLTS,
    "load_near_cut_out": _VOLTS,
    "load_cannot_be_held": (copper.one_size_up, feeds.own_feed),
    "dip_at_other_load": (states.bridge_moved, feeds.own_feed, copper.for_lost_volts, returns.other_return),
    "joint_loses_too_much": (parts.joint_made_anew, returns.second_stud, feeds.own_feed),
    "cable_overloaded": (fuses.for_overloaded_cable,),
    "fuse_above_cable_rating": (fuses.for_large_fuse,),
    "fuse_overloaded": (fuses.for_full_fuse,),
    "fuse_opens_at_start": (fuses.next_ratings,),
    "fuse_rating_unknown": (fuses.for_unknown_fuse,),
    "missing_fuse": (fuses.for_missing_fuse,),
    "fuse_breaks_too_little": (fuses.for_weak_fuse,),
    "fuse_too_far": (other_fuses.for_far_fuse,),
    "fuse_volts_too_low": (other_fuses.for_low_volts,),
    "breaker_wrong_way": (other_fuses.turned_round, other_fuses.both_ways),
    "fuse_not_made": (other_fuses.for_rating_not_made,),
    "size_unknown": (parts.listed_size,),
    "passage_overloaded": (vehicle.relay_behind_output, parts.larger_part, feeds.past_the_contact),
    "too_many_rings_on_stud": (returns.second_stud,),
    "wrong_voltage_class": (feeds.other_rail, feeds.other_part),
    "load_not_fed": (returns.past_the_body, feeds.missing_wires, behind.return_on_a_stud),
    "load_reversed": (returns.turned_round,),
    "battery_shorted": (feeds.without_it,),
    "open_return": (returns.some_return,),
    "open_end": (feeds.without_it,),
    "stud_not_named": (returns.named_stud,),
    "return_over_moving_part": (returns.off_the_moving_part,),
    "permanent_supply_cut": (supplies.past_the_switch,),
    "source_without_battery": (supplies.charger_past_the_switch,),
    "lead_battery_unvented": (supplies.vented,),
    "load_dump": (supplies.lead_instead,),
    "batteries_unlike": (supplies.made_alike,),
    "batteries_share_unequally": (supplies.crosswise,),
    "hot_place_derates": (parts.larger_in_the_heat,),
    "battery_overloaded": (parts.larger_part,),
    "dimmer_on_wrong_side": (supplies.other_side,),
    "cannot_be_accepted": (supplies.entry_taken_out,),
    "green_yellow_not_earth": (fittings.recoloured,),
    "colour_at_both_poles": (fittings.recoloured,),
    "colour_at_two_voltages": (fittings.recoloured,),
    "wire_outside_terminal": (fittings.fitting_wire,),
    "coil_diode_reversed": (fittings.coil_turned,),
    "start_overloads_passage": (vehicle.relay_behind_output, parts.larger_part),
    "stud_on_forbidden_bolt": (fittings.sound_stud,),
    "stud_on_paint": (fittings.sound_stud,),
    "stud_not_sealed": (fittings.sound_stud,),
    "cable_too_large_for_stud": (fittings.sound_stud,),
    "sensor_shares_stud": (returns.stud_for_sensor,),
    "fuse_above_lead_rating": (fuses.for_thin_lead,),
    "relay_chatters": (states.coil_fed_before_its_contact,),
    "batteries_joined_at_rest": (states.split_relay, feeds.without_it),
    "starter_drained_parked": (states.selector_left, states.parked_loads_moved, states.engine_relay),
    "charged_too_hard": (states.charger_set_lower,),
    "two_way_does_not_turn": (states.line_on_other_contact,),
    "load_between_batteries": (feeds.other_rail, feeds.from_converter, supplies.equalised),
    "cut_opens_at_start": (vehicle.cut_waits,),
    "monitored_lamp_feed_loaded": (vehicle.relay_on_lamp_feed,),
    "alternator_overloaded": (vehicle.charger_takes_less,),
    "d_plus_overloaded": (vehicle.relay_on_d_plus,),
    "trailer_drains_parked": (vehicle.relay_of_engine,),
    "trailer_fed_from_house": (vehicle.trailer_from_vehicle,),
    "back_feeds": (behind.charger_to_battery,),
    "broken_return_overloads": (copper.one_size_up, feeds.without_it),
    "overloaded_when_moved": (fuses.next_ratings, copper.one_size_up, parts.larger_part),
    "vehicle_fed_backwards": (behind.other_feed_out,),
    "master_bypassed": (behind.to_far_side,),
    "bond_stays_on_hook_up": (mains.bond_by_relay,),
    "appliance_above_inverter": (mains.hook_up_only,),
    "inlet_live_from_inverter": (mains.either_or,),
    "no_rcd": (hook_up.rcd_for_all,),
    "case_stays_live": (hook_up.rcd_for_all,),
    "no_main_switch": (hook_up.rcd_for_all,),
    "breaker_opens_one_pole": (hook_up.both_poles,),
    "shell_not_bonded": (hook_up.bond_to_body,),
    "pipes_not_bonded": (hook_up.pipes_bonded,),
    "sockets_on_floating_mains": (hook_up.bond_and_rcd,),
    "case_bond_burns": (hook_up.case_wire_thicker,),
    "mains_cable_without_earth": (hook_up.third_core,),
    "inlet_without_notice": (hook_up.notice_and_lid,),
    "lead_too_thin": (hook_up.thicker_lead,),
    "lead_left_wound": (hook_up.lead_unwound,),
    "mains_cable_too_thin": (hook_up.least_area,),
    "breaker_above_mains_cable": (hook_up.breaker_for_cable,),
    "mains_without_breaker": (hook_up.breaker_in_each_way,),
    "shunt_bypassed": (behind.to_far_side,),
    "promised_power_missed": (
        under_load.thicker_leads,
        under_load.promise_that_holds,
        under_load.one_battery_more,
    ),
    "inverter_sags": (
        under_load.thicker_leads,
        under_load.one_battery_more,
        under_load.smaller_inverter,
    ),
    "bank_opens_in_turn": (
        supplies.crosswise,
        under_load.batteries_that_give_more,
        under_load.one_battery_more,
    ),
    "promised_days_missed": (energy.more_sun, energy.larger_batteries, energy.days_that_hold),
    "empty_within_a_day": (energy.larger_batteries, energy.more_sun),
    "promised_charge_missed": (charging.charger_instead, charging.charge_that_comes),
    "alternator_has_no_spare": (vehicle.charger_takes_less,),
    "contact_may_weld": (charging.contact_that_makes,),
    "converter_folds_back": (under_load.larger_converter,),
    "short_outlasts_cable": (fuses.for_missing_fuse,),
    "short_never_clears": (other_fuses.smaller_ratings, copper.one_size_up),
    "fuse_before_opens_first": (other_fuses.smaller_ratings,),
    "wire_in_gas_locker": (zones.round_the_zone,),
    "wire_along_airbag": (zones.round_the_zone,),
    "wire_by_flue": (zones.round_the_zone, zones.silicone),
    "mains_beside_low_voltage": (zones.out_of_the_pipe,),
    "wire_not_flexible": (zones.flexible,),
    "clips_too_far_apart": (zones.more_clips,),
    "bundle_too_thick_for_hole": (zones.larger_hole,),
    "pipe_too_full": (zones.larger_pipe,),
    "insulation_below_air": (zones.for_the_heat,),
    "no_loop_at_moving_part": (zones.with_a_loop,),
    "lithium_charged_in_frost": (zones.stopped_in_frost,),
}
#: Why nothing is tried, by rule.
_WHY: Mapping[str, str] = {
    "unknown_figure_decides": "what is not known has to be measured or looked up first",
    "size_unknown": "the size has to be measured first",
    "fuse_overloaded": "no fuse of its type carries this load",
    "cable_overloaded": "no size that anybody would lay here carries this load",
    "lithium_too_hot": "the battery has to move, and its cables are laid and measured anew",
    "lithium_on_bare_link": "a charger between the batteries is chosen first, then its cables by its current",
    "double_switch": "which switch is to go is for the user to say",
    "too_heavy": "what stays at home or gets lighter is for the user to say",
    "short_folds_back": "there is nothing to mend: the cable carries what comes",
    "inlet_too_high": "where the inlet goes, or how high the floor is, is for the user to say",
    "return_by_mixed_shell": "the body has to be measured between its studs first",
    "pitch_overloaded": "what runs together is for the people in the van to say",
    "pitch_full_for_hours": "what runs for hours is for the people in the van to say",
    "start_opens_pitch": "what runs while it starts is for the people in the van to say",
    "pitch_on_combined_earth": "a licensed person has to say how to plug in there",
    "pitch_of_other_volts": "a licensed person has to choose a transformer first",
    "charger_fed_by_inverter": "where the change-over goes is for a licensed person to say",
    "dip_at_other_load": "what dips is inside the battery itself, not in the wiring",
}
_NOTHING = "no change of the plan is known that would clear this"


def proposals(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give the changes to try for a finding, the likeliest first."""
    for propose in PROPOSERS.get(finding.at_worst or finding.rule, ()):
        for candidate in propose(base, finding):
            yield candidate if not finding.at_worst else _at_worst(candidate)


def _at_worst(candidate: Candidate) -> Candidate:
    *first, last = candidate.moves
    return Candidate((*first, replace(last, says=f"{last.says} (enough at the worst too)")))


def why_none(finding: Finding, tried: Sequence[Candidate]) -> str:
    """Return in words why a finding has no cure."""
    if not tried:
        return _WHY.get(finding.rule, _NOTHING)
    first = tried[0].says
    if len(tried) == 1:
        return f"tried: {first}; it does not clear this without bringing something else"
    return f"{len(tried)} changes tried, from {first} on; none clears this without bringing something else"


__all__ = ["PROPOSERS", "Base", "Candidate", "proposals", "why_none"]
