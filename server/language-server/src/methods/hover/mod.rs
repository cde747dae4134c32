//! `textDocument/hover`: what this is for here. Small: it fits a window of 80 columns and 12 lines.

mod limit;
mod part;
mod point;
mod requirement;
mod schedule;
mod sheet;
mod thing;
mod unit;

use super::subject::{Path, Subject, subject};
use crate::context::Context;
use crate::convert;
use model::{Entries, EntryId, Item, Kind, Name, View};
use sheet::Sheet;
use tower_lsp_server::ls_types as lsp;
use workspace::Workspace;

pub(super) use limit::dew_point_at;
pub(super) use schedule::week_hours;

/// What there is to say of the place at a position.
pub(super) fn hover(context: &Context, at: lsp::Position) -> Option<lsp::Hover> {
    let here = context.entry_at(at).and_then(|(id, offset)| of_entry(context, id, offset));
    let covers = |range: lsp::Range| range.start <= at && at <= range.end;
    if here.as_ref().and_then(|hover| hover.range).is_some_and(covers) {
        return here;
    }
    of_finding(context, at.line).or(here)
}

/// What there is to say of the place of a line's first finding: beside the words of a line, that is what is asked about.
fn of_finding(context: &Context, line: u32) -> Option<lsp::Hover> {
    let workspace = &context.snapshot.workspace;
    let encoding = context.client.abilities.encoding;
    let text = workspace.job().file(context.file)?.file().text();
    let starts = workspace.findings(context.file).filter_map(|(id, finding)| {
        let (_, span) = workspace.span(id, &finding.spot)?;
        (text.position(span.start, encoding).line == line).then_some(span.start)
    });
    let (id, offset) = workspace.job().entry_at(context.file, starts.min()?)?;
    of_entry(context, id, offset)
}

/// What there is to say of a byte of an entry.
pub(super) fn of_entry(context: &Context, id: EntryId, offset: u32) -> Option<lsp::Hover> {
    let workspace = &context.snapshot.workspace;
    let view = View::new(workspace.job());
    let (spot, subject) = subject(&view, id, offset)?;
    let look = Look { view: &view, memo: workspace.memo() };
    let sheet = match subject {
        Subject::Own(kind, name) => look.declared(kind, &name),
        Subject::Used(used) => {
            let node = used.spot().node();
            node.and_then(|node| look.wired(id, node)).or_else(|| look.declared(used.kind, &used.name))
        }
        Subject::OfUnit(unit, detail) => look.of_unit(unit, &detail),
        Subject::OfType(unit_type, detail) => part::of_type(unit_type, &detail),
        Subject::Key(path) => look.key(id, &path),
    }?;
    Some(lsp::Hover {
        contents: lsp::HoverContents::Markup(sheet.markup(context.client.abilities.markdown)),
        range: convert::range(&context.snapshot, &context.client, id, &spot),
    })
}

/// What there is to say of a thing, wherever it is spoken of.
pub(super) fn of_thing(
    workspace: &Workspace,
    kind: Kind,
    name: &Name,
    markdown: bool,
) -> Option<lsp::MarkupContent> {
    let view = View::new(workspace.job());
    let look = Look { view: &view, memo: workspace.memo() };
    Some(look.declared(kind, name)?.markup(markdown))
}

/// The job as hovers look at it.
struct Look<'a, 'j> {
    view: &'a View<'j>,
    memo: &'a analysis::Memo,
}

impl Look<'_, '_> {
    /// The thing of a kind and name; where nothing declares it there is nothing to say.
    fn declared(&self, kind: Kind, name: &Name) -> Option<Sheet> {
        if kind.entries() != Entries::Named {
            return None;
        }
        match kind {
            Kind::Unit => self.unit(self.view.find(name)?),
            Kind::Point => self.point(self.view.find(name)?),
            Kind::Schedule => self.schedule(self.view.find(name)?),
            Kind::Zone => self.zone(self.view.find(name)?),
            Kind::Calendar => self.calendar(self.view.find(name)?),
            Kind::Device => self.device(self.view.find(name)?),
            Kind::UnitType => self.unit_type(self.view.find(name)?),
            _ => self.entry(kind, name),
        }
    }

    /// A key with a meaning of its own, and more where it is a limit of a zone or a requirement.
    fn key(&self, id: EntryId, path: &Path) -> Option<Sheet> {
        let mut sheet = Sheet::titled(path.field.key, "");
        sheet.line(path.field.text);
        match (&self.view.entry(id)?.facts.item, path.keys.as_slice()) {
            (Item::Zone(_), [mode, _]) => {
                self.limit(&mut sheet, self.view.as_found(id)?, mode, path.field.key);
            }
            (Item::Requirement(_), _) => self.requirement(&mut sheet, self.view.as_found(id)?),
            _ => {}
        }
        Some(sheet)
    }
}
