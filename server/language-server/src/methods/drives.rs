//! Call hierarchy: what drives a thing, and what it drives, from calendars to outputs.
//!
//! Incoming calls are what drives it, outgoing calls what it drives: calendar, schedule, zone, point, input
//! of a unit, output, and the point that reads the output back.

use super::subject::{Detail, Subject, subject};
use super::symbols::symbol_kind;
use crate::context::Context;
use crate::convert;
use model::{
    Calendar, Driver, EntryId, Found, Kind, Name, Point, Schedule, Source, Spot, Unit, View, Wiring, Zone,
    schedule::On,
};
use serde::{Deserialize, Serialize};
use syntax::NodeId;
use tower_lsp_server::ls_types as lsp;

/// Something that is driven, or drives. It goes with an item to the client and comes back.
#[derive(Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
enum Link {
    Calendar(String),
    Schedule(String),
    Zone(String),
    Point(String),
    Unit(String),
    /// An input of a unit.
    Input(String, String),
    /// An output of a unit.
    Output(String, String),
}

/// The item at a position.
pub(super) fn prepare(context: &Context, at: lsp::Position) -> Option<Vec<lsp::CallHierarchyItem>> {
    let (id, offset) = context.entry_at(at)?;
    let view = View::new(context.snapshot.workspace.job());
    let link = match subject(&view, id, offset)?.1 {
        Subject::Used(used) => Link::of(used.kind, &used.name)?,
        Subject::Own(kind, name) => Link::of(kind, &name)?,
        Subject::OfUnit(unit, Detail::Input(input)) => Link::input(unit, &input),
        Subject::OfUnit(unit, Detail::Output(output)) => Link::output(unit, &output),
        _ => return None,
    };
    Some(vec![Chain { context, view }.item(&link)?])
}

/// What drives an item. The range that goes with each is where it is named itself.
pub(super) fn incoming(
    context: &Context,
    item: lsp::CallHierarchyItem,
) -> Option<Vec<lsp::CallHierarchyIncomingCall>> {
    let link: Link = serde_json::from_value(item.data?).ok()?;
    let chain = Chain { context, view: View::new(context.snapshot.workspace.job()) };
    let items = chain.drivers(&link)?.into_iter().filter_map(|link| chain.item(&link));
    let call = |from: lsp::CallHierarchyItem| {
        let from_ranges = vec![from.selection_range];
        lsp::CallHierarchyIncomingCall { from, from_ranges }
    };
    Some(items.map(call).collect())
}

/// What an item drives. The range that goes with each is where the item itself is named.
pub(super) fn outgoing(
    context: &Context,
    item: lsp::CallHierarchyItem,
) -> Option<Vec<lsp::CallHierarchyOutgoingCall>> {
    let link: Link = serde_json::from_value(item.data?).ok()?;
    let chain = Chain { context, view: View::new(context.snapshot.workspace.job()) };
    let from = chain.item(&link)?.selection_range;
    let items = chain.driven(&link)?.into_iter().filter_map(|link| chain.item(&link));
    Some(items.map(|to| lsp::CallHierarchyOutgoingCall { to, from_ranges: vec![from] }).collect())
}

impl Link {
    fn of(kind: Kind, name: &Name) -> Option<Link> {
        let name = name.to_string();
        Some(match kind {
            Kind::Calendar => Link::Calendar(name),
            Kind::Schedule => Link::Schedule(name),
            Kind::Zone => Link::Zone(name),
            Kind::Point => Link::Point(name),
            Kind::Unit => Link::Unit(name),
            _ => return None,
        })
    }

    fn input(unit: Found<'_, Unit>, input: &str) -> Link {
        Link::Input(unit.name().to_owned(), input.to_owned())
    }

    fn output(unit: Found<'_, Unit>, output: &str) -> Link {
        Link::Output(unit.name().to_owned(), output.to_owned())
    }
}

struct Chain<'a> {
    context: &'a Context,
    view: View<'a>,
}

impl<'a> Chain<'a> {
    fn unit(&self, name: &str) -> Option<Found<'a, Unit>> {
        self.view.find(&Name::new(name))
    }

    /// A link as the client shows it; nothing if it is not there any more.
    fn item(&self, link: &Link) -> Option<lsp::CallHierarchyItem> {
        let (entry, node, kind, name, detail) = match link {
            Link::Calendar(name) => self.named::<Calendar>(name)?,
            Link::Schedule(name) => self.named::<Schedule>(name)?,
            Link::Zone(name) => self.named::<Zone>(name)?,
            Link::Point(name) => self.named::<Point>(name)?,
            Link::Unit(name) => self.named::<Unit>(name)?,
            Link::Input(unit, input) => {
                let found = self.unit(unit)?;
                let written = found.is.wiring(input).map(|(name, _)| name.at);
                self.part_of(found, written, lsp::SymbolKind::FIELD, input, "input")
            }
            Link::Output(unit, output) => {
                let found = self.unit(unit)?;
                let written = found.is.outputs.iter().find(|(name, _)| name.value == *output);
                let written = written.map(|(name, _)| name.at);
                self.part_of(found, written, lsp::SymbolKind::FUNCTION, output, "output")
            }
        };
        let (state, client) = (&self.context.snapshot, &self.context.client);
        let part = &self.view.entry(entry)?.part;
        let (key, value) = (part.span(part.key_node()), part.span(part.value()));
        let whole = Spot::Bytes(key.start.min(value.start)..key.end.max(value.end));
        let location = convert::location(state, client, entry, &whole)?;
        Some(lsp::CallHierarchyItem {
            name,
            kind,
            tags: None,
            detail: Some(detail),
            uri: location.uri,
            range: location.range,
            selection_range: convert::range(state, client, entry, &node.into())?,
            data: serde_json::to_value(link).ok(),
        })
    }

    /// Something that an entry declares.
    fn named<T: model::Declared>(&self, name: &str) -> Option<Shown> {
        let found: Found<'_, T> = self.view.find(&Name::new(name))?;
        let detail = T::KIND.noun().to_owned();
        Some((found.id, found.entry.part.key_node(), symbol_kind(T::KIND), name.to_owned(), detail))
    }

    /// A part of a unit: at its line in the unit, or at the unit's name where it has none.
    fn part_of(
        &self,
        unit: Found<'_, Unit>,
        written: Option<NodeId>,
        kind: lsp::SymbolKind,
        name: &str,
        noun: &str,
    ) -> Shown {
        let node = written.unwrap_or(unit.entry.part.key_node());
        (unit.id, node, kind, name.to_owned(), format!("{noun} of {}", unit.name()))
    }

    /// What drives a link.
    fn drivers(&self, link: &Link) -> Option<Vec<Link>> {
        let mut found = Vec::new();
        match link {
            Link::Calendar(_) => {}
            Link::Schedule(name) => {
                let schedule: Found<'_, Schedule> = self.view.find(&Name::new(name))?;
                for exception in &schedule.is.exceptions {
                    if let Some(On::Calendar(calendar)) = exception.on.as_ref().map(|on| &on.value) {
                        found.push(Link::Calendar(calendar.to_string()));
                    }
                }
            }
            Link::Zone(name) => {
                let zone: Found<'_, Zone> = self.view.find(&Name::new(name))?;
                found.extend(zone.is.schedule.iter().map(|name| Link::Schedule(name.value.to_string())));
            }
            Link::Point(name) => {
                let name = Name::new(name);
                let point: Found<'_, Point> = self.view.find(&name)?;
                point.is.drivers.iter().for_each(|driver| found.extend(sources(driver)));
                for unit in self.view.users::<Unit>(Kind::Point, &name) {
                    let read = unit.is.outputs.iter().filter(|(_, point)| point.value == name);
                    found.extend(read.map(|(output, _)| Link::output(unit, &output.value)));
                }
            }
            Link::Unit(name) => {
                let unit = self.unit(name)?;
                found.extend(unit.is.inputs.iter().map(|(input, _)| Link::input(unit, &input.value)));
            }
            Link::Input(unit, input) => {
                let unit = self.unit(unit)?;
                match unit.is.wiring(input).map(|(_, wiring)| &wiring.value) {
                    Some(Wiring::Point(point)) => found.push(Link::Point(point.to_string())),
                    Some(Wiring::TiedTo(other)) => found.push(Link::input(unit, other)),
                    Some(Wiring::Tied(_) | Wiring::NotWired | Wiring::Unreadable) | None => {}
                }
            }
            Link::Output(unit, output) => {
                let analysis = self.analysis(self.unit(unit)?)?;
                for (_, inputs) in analysis.inputs_of_outputs().iter().filter(|(name, _)| *name == output) {
                    found.extend(inputs.iter().map(|input| Link::input(analysis.unit, input)));
                }
            }
        }
        Some(once_each(found))
    }

    /// What a link drives.
    fn driven(&self, link: &Link) -> Option<Vec<Link>> {
        let mut found = Vec::new();
        match link {
            Link::Calendar(name) => {
                let schedules = self.view.users::<Schedule>(Kind::Calendar, &Name::new(name));
                found.extend(schedules.iter().map(|schedule| Link::Schedule(schedule.name().to_owned())));
            }
            Link::Schedule(name) => {
                let zones = self.view.users::<Zone>(Kind::Schedule, &Name::new(name));
                found.extend(zones.iter().map(|zone| Link::Zone(zone.name().to_owned())));
                found.extend(self.points_driven_by(Kind::Schedule, name, link));
            }
            Link::Zone(name) => found.extend(self.points_driven_by(Kind::Zone, name, link)),
            Link::Point(name) => {
                found.extend(self.points_driven_by(Kind::Point, name, link));
                for unit in self.view.users::<Unit>(Kind::Point, &Name::new(name)) {
                    let wired =
                        |wiring: &Wiring| matches!(wiring, Wiring::Point(point) if point.as_str() == name);
                    let inputs = unit.is.inputs.iter().filter(|(_, wiring)| wired(&wiring.value));
                    found.extend(inputs.map(|(input, _)| Link::input(unit, &input.value)));
                }
            }
            Link::Unit(name) => {
                let analysis = self.analysis(self.unit(name)?)?;
                let outputs = analysis.outputs().iter();
                found.extend(outputs.map(|(output, _)| Link::output(analysis.unit, output)));
            }
            Link::Input(name, input) => {
                let unit = self.unit(name)?;
                let tied =
                    |wiring: &Wiring| matches!(wiring, Wiring::TiedTo(other) if other.as_str() == input);
                let inputs = unit.is.inputs.iter().filter(|(_, wiring)| tied(&wiring.value));
                found.extend(inputs.map(|(other, _)| Link::input(unit, &other.value)));
                if let Some(analysis) = self.analysis(unit) {
                    let outputs = analysis.inputs_of_outputs();
                    let moved = outputs.iter().filter(|(_, inputs)| inputs.iter().any(|i| *i == input));
                    found.extend(moved.map(|(output, _)| Link::output(unit, output)));
                }
            }
            Link::Output(name, output) => {
                let unit = self.unit(name)?;
                let read = unit.is.outputs.iter().filter(|(name, _)| name.value == *output);
                found.extend(read.map(|(_, point)| Link::Point(point.value.to_string())));
            }
        }
        Some(once_each(found))
    }

    /// Points whose drivers lead back to a link, among those that use its name.
    fn points_driven_by(&self, kind: Kind, name: &str, link: &Link) -> Vec<Link> {
        let users = self.view.users::<Point>(kind, &Name::new(name));
        let driven =
            users.iter().filter(|point| point.is.drivers.iter().any(|driver| sources(driver).contains(link)));
        driven.map(|point| Link::Point(point.name().to_owned())).collect()
    }

    fn analysis(&self, unit: Found<'a, Unit>) -> Option<analysis::UnitAnalysis<'a>> {
        analysis::Analysis::of_review(&self.view, self.context.snapshot.workspace.memo())?.unit(unit)
    }
}

/// An item's entry and node, its kind, its name, and a word on it.
type Shown = (EntryId, NodeId, lsp::SymbolKind, String, String);

/// What one source of a point names.
fn sources(driver: &Driver) -> Vec<Link> {
    match &driver.source {
        Some(Source::Schedule(name)) => vec![Link::Schedule(name.value.to_string())],
        Some(Source::Call { zone: Some(zone), .. }) => vec![Link::Zone(zone.value.to_string())],
        Some(Source::Point(name)) => vec![Link::Point(name.value.to_string())],
        Some(Source::Logic(words)) => {
            let mut points = Vec::new();
            words.value.each_name(&mut |name, _| points.push(Link::Point(name.to_string())));
            points
        }
        Some(Source::Call { zone: None, .. } | Source::Operator(_) | Source::Contact(_)) | None => Vec::new(),
    }
}

/// In the order they are written, and none twice.
fn once_each(links: Vec<Link>) -> Vec<Link> {
    let mut each: Vec<Link> = Vec::new();
    for link in links {
        if !each.contains(&link) {
            each.push(link);
        }
    }
    each
}
