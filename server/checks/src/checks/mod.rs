//! The registry: a plain array, in the order of the catalogue.

use crate::check::Check;

mod alarm_inside_band;
mod closed_day_exception;
mod command_pinned;
mod condensation_likely;
mod cov_coarser_than_differential;
mod deadband_narrow;
mod dehumidification_call_never_made;
mod dehumidification_gap;
mod dehumidification_never_runs;
mod dehumidification_without_reheat;
mod dehumidification_yields_to_heating;
mod deviation_unneeded;
mod deviation_without_reason;
mod device_instance_taken_twice;
mod differential_finer_than_sensor;
mod event_in_clock_change;
mod exception_never_applies;
mod exceptions_collide;
mod fan_runs_on;
mod heating_and_cooling_together;
mod humidify_and_dehumidify_together;
mod humidity_limit_implausible;
mod humidity_limit_unreachable;
mod import_outside_job;
mod import_unreadable;
mod indoor_dew_point_high;
mod input_not_wired;
mod input_without_effect;
mod instance_out_of_range;
mod inverted_twice;
mod key_missing;
mod key_unknown;
mod mould_conditions;
mod name_breaks_rule;
mod name_twice;
mod name_unknown;
mod not_proven;
mod object_taken_twice;
mod object_unfit;
mod occupancy_always_asserts;
mod occupancy_disagrees;
mod occupancy_never_asserts;
mod option_defeated_by_wiring;
mod option_without_effect;
mod output_always_on;
mod output_never_on;
mod point_undriven;
mod point_unused;
mod range_unfit;
mod reheat_never_enabled;
mod reheat_without_cooling;
mod requirement_unserved;
mod role_missing;
mod schedule_drives_nothing;
mod schedule_outside_period;
mod schedule_value_unfit;
mod setback_backwards;
mod setpoint_outside_range;
mod setpoints_crossed;
mod site_empty;
mod stage_never_reached;
mod terminal_unknown;
mod text_missing;
mod text_twice;
mod too_large;
mod two_writers;
mod unit_logic_unsafe;
mod unit_of_measure_missing;
mod units_missing;
mod units_unfit;
mod value_unfit;
mod window_reversed;
mod windows_overlap;
mod yaml_broken;
mod zone_turns_humid;

/// Every check.
pub static ALL: &[&Check] = &[
    // Occupancy and schedules
    &occupancy_never_asserts::CHECK,
    &occupancy_always_asserts::CHECK,
    &occupancy_disagrees::CHECK,
    &schedule_drives_nothing::CHECK,
    &window_reversed::CHECK,
    &windows_overlap::CHECK,
    &schedule_outside_period::CHECK,
    &exception_never_applies::CHECK,
    &exceptions_collide::CHECK,
    &closed_day_exception::CHECK,
    &event_in_clock_change::CHECK,
    &schedule_value_unfit::CHECK,
    &two_writers::CHECK,
    &command_pinned::CHECK,
    // Unit logic against schedules and setpoints
    &dehumidification_never_runs::CHECK,
    &dehumidification_gap::CHECK,
    &requirement_unserved::CHECK,
    &dehumidification_yields_to_heating::CHECK,
    &dehumidification_call_never_made::CHECK,
    &dehumidification_without_reheat::CHECK,
    &reheat_never_enabled::CHECK,
    &reheat_without_cooling::CHECK,
    &heating_and_cooling_together::CHECK,
    &humidify_and_dehumidify_together::CHECK,
    &option_defeated_by_wiring::CHECK,
    &option_without_effect::CHECK,
    &input_without_effect::CHECK,
    &output_never_on::CHECK,
    &output_always_on::CHECK,
    &stage_never_reached::CHECK,
    &unit_logic_unsafe::CHECK,
    &role_missing::CHECK,
    &fan_runs_on::CHECK,
    // Setpoints and air
    &setpoints_crossed::CHECK,
    &deadband_narrow::CHECK,
    &setback_backwards::CHECK,
    &setpoint_outside_range::CHECK,
    &differential_finer_than_sensor::CHECK,
    &humidity_limit_implausible::CHECK,
    &indoor_dew_point_high::CHECK,
    &humidity_limit_unreachable::CHECK,
    &condensation_likely::CHECK,
    &zone_turns_humid::CHECK,
    &mould_conditions::CHECK,
    // Points and wiring
    &name_unknown::CHECK,
    &name_twice::CHECK,
    &point_unused::CHECK,
    &point_undriven::CHECK,
    &input_not_wired::CHECK,
    &terminal_unknown::CHECK,
    &object_taken_twice::CHECK,
    &device_instance_taken_twice::CHECK,
    &instance_out_of_range::CHECK,
    &object_unfit::CHECK,
    &units_unfit::CHECK,
    &units_missing::CHECK,
    &range_unfit::CHECK,
    &alarm_inside_band::CHECK,
    &cov_coarser_than_differential::CHECK,
    &inverted_twice::CHECK,
    &text_missing::CHECK,
    &text_twice::CHECK,
    &name_breaks_rule::CHECK,
    // Writing
    &yaml_broken::CHECK,
    &key_unknown::CHECK,
    &key_missing::CHECK,
    &value_unfit::CHECK,
    &unit_of_measure_missing::CHECK,
    &import_unreadable::CHECK,
    &import_outside_job::CHECK,
    &too_large::CHECK,
    &site_empty::CHECK,
    // Behind all others of a unit, since it tells what they could not prove
    &not_proven::CHECK,
    &deviation_without_reason::CHECK,
    &deviation_unneeded::CHECK,
];
