//! `drycall.week`: a unit's week, with places that an editor can go to.

use super::command::{Done, no_unit};
use crate::convert;
use crate::outlet::Outlet;
use crate::shared::Held;
use calendar::Date;
use serde_json::to_value;

/// The object that [`reports::week_json`] describes; a place is a `Location` of the protocol.
pub(super) fn week(held: &Held, outlet: &Outlet, unit: &str, from: Option<Date>) -> Done {
    let locate =
        |place: &model::Place| to_value(convert::location(held, outlet, place.entry, &place.spot)?).ok();
    reports::week_json(&held.workspace, unit, from, &locate).ok_or_else(|| no_unit(unit))
}
