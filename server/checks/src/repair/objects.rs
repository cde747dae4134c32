//! Objects and instances of the standard: a free one, or one of another type.

use super::text::Target;
use super::{Proposal, cost};
use crate::check::Finding;
use crate::context::Ctx;
use model::bacnet::{LAST_INSTANCE, Object, ObjectType};
use model::{Device, Key, Kind, Name, Point, Unit};

/// So many instances are looked at for a free one.
const FAR: u64 = 10_000;

/// The next object of the same type that no point of the device takes.
pub(crate) fn free_object(ctx: &Ctx<'_>, _: &Finding, out: &mut Vec<Proposal>) {
    let Some(point) = ctx.view.as_found::<Point>(ctx.id) else { return };
    let (Some(device), Some(object)) = (&point.is.device, &point.is.object) else { return };
    let taken = |instance: u64| {
        let object = Object { instance: instance as u32, ..object.value };
        ctx.view.any(&Key::Object(device.value.clone(), object))
    };
    let Some(instance) = next_free(u64::from(object.value.instance), taken) else { return };
    let text = format!("{} {instance}", object.value.kind.name());
    let edit = Target::new(ctx.id, ctx.entry).value(object.at, &text);
    let title = format!("Use the free object `{text}` for `{}`, in the controller, too", point.name());
    out.extend(Proposal::one(title, cost::VALUE, edit));
}

/// The next device instance that is free.
pub(crate) fn free_instance(ctx: &Ctx<'_>, _: &Finding, out: &mut Vec<Proposal>) {
    let Some(device) = ctx.view.as_found::<Device>(ctx.id) else { return };
    let Some(instance) = device.is.instance else { return };
    let Some(free) = next_free(instance.value, |i| ctx.view.any(&Key::DeviceInstance(i))) else {
        return;
    };
    let edit = Target::new(ctx.id, ctx.entry).value(instance.at, &free.to_string());
    let title = format!("Use the free instance {free} for `{}`, in the controller, too", device.name());
    out.extend(Proposal::one(title, cost::VALUE, edit));
}

/// The first free instance behind one that may stand for a device or object; else from 0.
fn next_free(after: u64, taken: impl Fn(u64) -> bool) -> Option<u64> {
    let last = u64::from(LAST_INSTANCE);
    let from = if after < last { after + 1 } else { 0 };
    (from..=last.min(from + FAR)).find(|instance| !taken(*instance))
}

/// An object of another type: with the instance as written, or the next that is free. What is wired to a
/// terminal is no mere value.
pub(crate) fn object_type(ctx: &Ctx<'_>, _: &Finding, out: &mut Vec<Proposal>) {
    use ObjectType as T;
    let Some(point) = ctx.view.as_found::<Point>(ctx.id) else { return };
    let Some(object) = point.is.object else { return };
    let measured = point.is.measures.is_some();
    let likely = if measured {
        [T::AnalogInput, T::BinaryInput, T::AnalogValue, T::BinaryValue]
    } else {
        [T::BinaryOutput, T::BinaryInput, T::BinaryValue, T::AnalogValue]
    };
    let wired = !ctx.view.users::<Unit>(Kind::Point, &Name::new(point.name())).is_empty();
    let is_value = |kind: T| matches!(kind, T::BinaryValue | T::AnalogValue);
    let fit = likely.into_iter().filter(|kind| *kind != object.value.kind && !(wired && is_value(*kind)));
    for (n, kind) in fit.enumerate() {
        let taken = |instance: u64| {
            let object = Object { kind, instance: instance as u32 };
            point
                .is
                .device
                .as_ref()
                .is_some_and(|device| ctx.view.any(&Key::Object(device.value.clone(), object)))
        };
        let written = u64::from(object.value.instance);
        let Some(instance) = (if taken(written) { next_free(written, taken) } else { Some(written) }) else {
            continue;
        };
        let text = format!("{} {instance}", kind.name());
        let edit = Target::new(ctx.id, ctx.entry).value(object.at, &text);
        let title = format!("Change `{}` to `{text}`, in the controller, too", point.name());
        out.extend(Proposal::one(title, cost::VALUE + n as u32, edit));
    }
}

/// The engineering units of what a point measures.
pub(crate) fn units(ctx: &Ctx<'_>, _: &Finding, out: &mut Vec<Proposal>) {
    let Some(point) = ctx.view.as_found::<Point>(ctx.id) else { return };
    let quantity = point.is.measures.as_ref().and_then(|m| m.quantity).map(|q| q.value);
    let usual: &[&str] = match quantity {
        Some("humidity") => &["percent-relative-humidity"],
        Some("temperature" | "dew-point") => &["degrees-fahrenheit", "degrees-celsius"],
        Some("carbon-dioxide") => &["parts-per-million"],
        Some("pressure") => &["pascals", "inches-of-water"],
        _ => &["no-units"],
    };
    let target = Target::new(ctx.id, ctx.entry);
    for (n, unit) in usual.iter().enumerate() {
        let edit = target.pair(ctx.entry.part.value(), "units", unit);
        let title = format!("Add `units: {unit}`");
        out.extend(Proposal::one(title, cost::SOURCE + n as u32, edit));
    }
}
