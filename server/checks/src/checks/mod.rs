//! The registry: plain arrays, in the order of the catalogue.

use crate::check::Check;

mod alarm_inside_band;
mod clock_change_hour;
mod closed_day_exception;
mod competing_commands;
mod condensation_likely;
mod cov_coarser_than_differential;
mod deadband_narrow;
mod dehumidification_call_never_made;
mod dehumidification_gap;
mod dehumidification_never_runs;
mod dehumidification_without_reheat;
mod dehumidification_yields_to_heating;
mod description_missing;
mod deviation_unneeded;
mod deviation_without_reason;
mod differential_finer_than_sensor;
mod duplicate_description;
mod duplicate_device_instance;
mod duplicate_name;
mod duplicate_object;
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
mod name_breaks_rule;
mod name_unknown;
mod not_proven;
mod occupancy_always_asserts;
mod occupancy_disagrees;
mod occupancy_never_asserts;
mod option_defeated_by_wiring;
mod option_without_effect;
mod output_always_on;
mod output_never_on;
mod override_left_on;
mod point_undriven;
mod point_unused;
mod predicted_mold;
mod predicted_too_humid;
mod reheat_never_enabled;
mod reheat_without_cooling;
mod requirement_unserved;
mod role_missing;
mod schedule_drives_nothing;
mod schedule_outside_period;
mod setback_backwards;
mod setpoint_outside_range;
mod setpoints_crossed;
mod site_empty;
mod stage_never_reached;
mod syntax_error;
mod terminal_unknown;
mod too_large;
mod unit_logic_unsafe;
mod unit_of_measure_missing;
mod units_missing;
mod window_ends_before_start;
mod windows_overlap;
mod wrong_object_type;
mod wrong_range;
mod wrong_schedule_values;
mod wrong_units;
mod wrong_value;

/// Checks of one kind, as the catalogue lists them.
#[derive(Debug)]
pub struct Family {
    /// What they are about, as a heading.
    pub title: &'static str,
    /// The checks, in the order in which they run.
    pub checks: &'static [&'static Check],
}

/// Every family, in the order in which its checks run.
pub static FAMILIES: [Family; 6] = [
    Family { title: "Occupancy and schedules", checks: OCCUPANCY },
    Family { title: "Unit logic against schedules and setpoints", checks: LOGIC },
    Family { title: "Setpoints and air", checks: AIR },
    Family { title: "Points and wiring", checks: WIRING },
    Family { title: "Writing", checks: WRITING },
    Family { title: "The review itself", checks: REVIEW },
];

/// Every check, family by family.
pub static ALL: &[&Check] = &{
    let mut all: [&Check; COUNT] = [REVIEW[0]; COUNT];
    let (mut family, mut n) = (0, 0);
    while family < FAMILIES.len() {
        let mut of_family = 0;
        while of_family < FAMILIES[family].checks.len() {
            all[n] = FAMILIES[family].checks[of_family];
            (n, of_family) = (n + 1, of_family + 1);
        }
        family += 1;
    }
    all
};

const COUNT: usize = OCCUPANCY.len() + LOGIC.len() + AIR.len() + WIRING.len() + WRITING.len() + REVIEW.len();

static OCCUPANCY: &[&Check] = &[
    &occupancy_never_asserts::CHECK,
    &occupancy_always_asserts::CHECK,
    &occupancy_disagrees::CHECK,
    &schedule_drives_nothing::CHECK,
    &window_ends_before_start::CHECK,
    &windows_overlap::CHECK,
    &schedule_outside_period::CHECK,
    &exception_never_applies::CHECK,
    &exceptions_collide::CHECK,
    &closed_day_exception::CHECK,
    &clock_change_hour::CHECK,
    &wrong_schedule_values::CHECK,
    &competing_commands::CHECK,
    &override_left_on::CHECK,
];

static LOGIC: &[&Check] = &[
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
];

static AIR: &[&Check] = &[
    &setpoints_crossed::CHECK,
    &deadband_narrow::CHECK,
    &setback_backwards::CHECK,
    &setpoint_outside_range::CHECK,
    &differential_finer_than_sensor::CHECK,
    &humidity_limit_implausible::CHECK,
    &indoor_dew_point_high::CHECK,
    &humidity_limit_unreachable::CHECK,
    &condensation_likely::CHECK,
    &predicted_too_humid::CHECK,
    &predicted_mold::CHECK,
];

static WIRING: &[&Check] = &[
    &name_unknown::CHECK,
    &duplicate_name::CHECK,
    &point_unused::CHECK,
    &point_undriven::CHECK,
    &input_not_wired::CHECK,
    &terminal_unknown::CHECK,
    &duplicate_object::CHECK,
    &duplicate_device_instance::CHECK,
    &instance_out_of_range::CHECK,
    &wrong_object_type::CHECK,
    &wrong_units::CHECK,
    &units_missing::CHECK,
    &wrong_range::CHECK,
    &alarm_inside_band::CHECK,
    &cov_coarser_than_differential::CHECK,
    &inverted_twice::CHECK,
    &description_missing::CHECK,
    &duplicate_description::CHECK,
    &name_breaks_rule::CHECK,
];

static WRITING: &[&Check] = &[
    &syntax_error::CHECK,
    &key_unknown::CHECK,
    &key_missing::CHECK,
    &wrong_value::CHECK,
    &unit_of_measure_missing::CHECK,
    &import_unreadable::CHECK,
    &import_outside_job::CHECK,
    &too_large::CHECK,
    &site_empty::CHECK,
];

// Behind all others of a unit, since the first tells what they could not prove.
static REVIEW: &[&Check] =
    &[&not_proven::CHECK, &deviation_without_reason::CHECK, &deviation_unneeded::CHECK];
