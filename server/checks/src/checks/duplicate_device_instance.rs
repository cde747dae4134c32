//! # What it finds
//!
//! Two devices with the same device instance. Both are reported.
//!
//! # Why it matters
//!
//! The instance is a device's address on the whole internetwork, whatever its network number. With two
//! of the same instance, the workstation reads one controller now and the other later.
//!
//! # Example
//!
//! ```yaml bad
//! devices:
//!   controller-1: {instance: 1201, network: 1}
//!   #                        ^^^^ also used by `controller-2`
//!   controller-2: {instance: 1201, network: 2}
//!   #                        ^^^^ also used by `controller-1`
//! ```
//! ```yaml good
//! devices:
//!   controller-1: {instance: 1201, network: 1}
//!   controller-2: {instance: 2201, network: 2}
//! ```
//! ```yaml near
//! devices:
//!   controller-1: {instance: 1201, network: 7}
//!   controller-2: {instance: 1202, network: 7}
//! ```
//!
//! # Repair
//!
//! Give one of them a free instance, in the controller, too. A cloned controller keeps the instance of
//! the original.
//!
//! # Source
//!
//! ASHRAE 135 clause 12, Device object (from memory): the object identifier is unique
//! internetwork-wide.

use crate::about::About;
use crate::check::{Check, Run, Severity, Sink};
use crate::context::Ctx;
use crate::others::others;
use crate::repair;
use analysis::Because;
use model::{Device, Found, Key};

pub(crate) static CHECK: Check = Check {
    id: "duplicate-device-instance",
    severity: Severity::Error,
    source: include_str!("duplicate_device_instance.rs"),
    run: Run::Device(run),
    repairs: &[repair::free_instance],
};

fn run(ctx: &Ctx<'_>, device: Found<'_, Device>, out: &mut Sink) {
    let Some(instance) = device.is.instance else {
        return;
    };
    let Some(others) = others::<Device>(ctx, Key::DeviceInstance(instance.value)) else {
        return;
    };
    let message = format!(
        "Device instance {} is also used by {}. It must be unique on the network. Give one of them a free instance.",
        instance.value,
        others.words()
    );
    let finding = out.report(About::entry(), instance.at, message);
    others.explain(finding, |other| {
        let place = other.is.instance.map_or_else(|| other.head(), |i| other.place(i.at));
        Because::new(place, format!("`{}` has instance {}", other.name(), instance.value))
    });
}
