//! `devices:` — BACnet devices.

use super::reader::Reader;
use super::section::Section;
use crate::bacnet::LAST_INSTANCE;
use crate::fields::{Field, ValueShape, free, needed};
use crate::names::Written;
use syntax::NodeId;

const FIELDS: &[Field] = &[
    needed(
        "instance",
        ValueShape::Whole(0, u32::MAX as u64),
        "its device instance, 0 to 4194302, unique on the network",
    ),
    free("network", ValueShape::Whole(1, 65534), "its network number"),
    free("description", ValueShape::Text, "what and where it is"),
];

#[derive(Clone, PartialEq, Debug, Default)]
pub struct Device {
    /// Its instance as written; may be out of range, which a check reports.
    pub instance: Option<Written<u64>>,
    /// Its network number.
    pub network: Option<Written<u16>>,
}

/// A number as written, which a check holds against the standard's limit.
fn instance(r: &mut Reader<'_>, node: NodeId) -> Option<u64> {
    let number = r.part.scalar(node).and_then(|text| text.parse().ok());
    match number.filter(|n| u32::try_from(*n).is_ok()) {
        Some(number) => Some(number),
        None => r.whole(node, 0, u64::from(LAST_INSTANCE), "a device instance"),
    }
}

impl Section for Device {
    const ENTRY: ValueShape = ValueShape::Fields(FIELDS);

    fn lower(r: &mut Reader<'_>) -> Option<Device> {
        let f = r.fields(r.part.value(), FIELDS, "a device");
        let instance = f.get("instance").and_then(|n| Some(Written::new(instance(r, n)?, n)));
        let network = f
            .get("network")
            .and_then(|n| Some(Written::new(r.whole(n, 1, 65534, "a network number")? as u16, n)));
        Some(Device { instance, network })
    }

    fn brief(&self) -> Option<String> {
        self.instance.map(|instance| format!("instance {}", instance.value))
    }
}
