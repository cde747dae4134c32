//! # What it finds
//!
//! A device or object instance above 4194302: one that does not fit in 22 bits, or 4194303, which is
//! reserved.
//!
//! # Why it matters
//!
//! The controller cannot be set to it. 4194303 means "not set yet" or "any", so nobody finds a device
//! that keeps it.
//!
//! # Example
//!
//! ```yaml bad
//! devices:
//!   fire-gateway: {instance: 4194303}
//!   #                        ^^^^^^^ reserved
//! points:
//!   FP1-SMOKE: {device: fire-gateway, object: binary-input 5000000}
//!   #                                         ^^^^^^^^^^^^^^^^^^^^ at most 4194302
//! ```
//! ```yaml good
//! devices:
//!   fire-gateway: {instance: 2001}
//! points:
//!   FP1-SMOKE: {device: fire-gateway, object: binary-input 1}
//! ```
//! ```yaml near
//! devices:
//!   fire-gateway: {instance: 4194302}
//!   controller-1: {instance: 0}
//! ```
//!
//! # Repair
//!
//! Use a free instance from 0 to 4194302.
//!
//! # Source
//!
//! ASHRAE 135 clause 20.2.14 (clause from memory): an object identifier has 22 bits of instance;
//! 4194303 is reserved.

use crate::about::About;
use crate::check::{Check, Run, Severity, Sink};
use crate::context::Ctx;
use crate::repair;
use model::{Item, bacnet::LAST_INSTANCE};

pub(crate) static CHECK: Check = Check {
    id: "instance-out-of-range",
    severity: Severity::Error,
    source: include_str!("instance_out_of_range.rs"),
    run: Run::Entry(run),
    repairs: &[repair::free_object, repair::free_instance],
};

fn run(ctx: &Ctx<'_>, out: &mut Sink) {
    let instance = match &ctx.entry.facts.item {
        Item::Device(device) => device.instance,
        Item::Point(point) => point.object.map(|object| object.map(|o| u64::from(o.instance))),
        _ => None,
    };
    let last = u64::from(LAST_INSTANCE);
    let Some(instance) = instance.filter(|instance| instance.value > last) else {
        return;
    };
    let why = if instance.value == last + 1 {
        format!("Instance {} is reserved by the standard.", instance.value)
    } else {
        format!("Instance {} is too large for the standard.", instance.value)
    };
    out.report(About::entry(), instance.at, format!("{why} Use a free one, at most {last}."));
}
