//! `devices:` — BACnet devices.

use super::reader::Reader;
use crate::fields::{Field, Shape, free, needed};
use crate::names::Written;

pub(crate) const FIELDS: &[Field] = &[
    needed(
        "instance",
        Shape::Whole(0, u32::MAX as u64),
        "its device instance, 0 to 4194302, one of a kind on the internetwork",
    ),
    free("network", Shape::Whole(1, 65534), "its network number"),
    free("text", Shape::Text, "what and where it is"),
];

/// A device.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct Device {
    /// Its instance as written; may be out of range, which a check reports.
    pub instance: Option<Written<u64>>,
    /// Its network number.
    pub network: Option<Written<u16>>,
}

pub(crate) fn lower(r: &mut Reader<'_>) -> Device {
    let f = r.fields(r.part.value(), FIELDS, "a device");
    let instance = f
        .get("instance")
        .and_then(|n| Some(Written::new(r.whole(n, 0, u64::from(u32::MAX), "a device instance")?, n)));
    let network = f
        .get("network")
        .and_then(|n| Some(Written::new(r.whole(n, 1, 65534, "a network number")? as u16, n)));
    Device { instance, network }
}
