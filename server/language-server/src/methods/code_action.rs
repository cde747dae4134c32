//! `textDocument/codeAction`: proven repairs of the findings at a place, a deviation to state, and all
//! repairs of a file that are safe.

use crate::context::Context;
use crate::convert;
use crate::diagnostic::Diagnostics;
use model::FileId;
use std::collections::BTreeMap;
use std::sync::atomic::Ordering;
use syntax::Position;
use tower_lsp_server::ls_types as lsp;
use workspace::{FileEdit, Repair, Stop, edits_of};

/// All repairs that change no meaning but the fault.
pub(crate) const FIX_ALL: lsp::CodeActionKind = lsp::CodeActionKind::new("source.fixAll.drycall");

/// The actions for a range, of the kinds that are asked for. Nothing more as soon as an edit waits, since
/// what is proven would be of a job that is no more, or as nobody waits for the answer.
pub(super) fn code_actions(
    context: &Context,
    range: lsp::Range,
    only: Option<&[lsp::CodeActionKind]>,
    gone: Stop<'_>,
) -> Option<lsp::CodeActionResponse> {
    let mut actions = Vec::new();
    let stop = || gone() || context.writer_waits.load(Ordering::Relaxed);
    if wants(only, &lsp::CodeActionKind::QUICKFIX, true) {
        quick_fixes(context, range, &stop, &mut actions);
    }
    if wants(only, &FIX_ALL, false) {
        actions.extend(fix_all(context, &stop));
    }
    Some(actions.into_iter().map(lsp::CodeActionOrCommand::CodeAction).collect())
}

/// Whether a kind is asked for: by its own name or a wider one; `unasked` where the client names none.
fn wants(only: Option<&[lsp::CodeActionKind]>, kind: &lsp::CodeActionKind, unasked: bool) -> bool {
    let within =
        |wider: &str| kind.as_str().strip_prefix(wider).is_some_and(|r| r.is_empty() || r.starts_with('.'));
    only.map_or(unasked, |only| only.iter().any(|wider| wider.as_str().is_empty() || within(wider.as_str())))
}

fn quick_fixes(context: &Context, range: lsp::Range, stop: Stop<'_>, actions: &mut Vec<lsp::CodeAction>) {
    let workspace = &context.snapshot.workspace;
    let Some(text) = workspace.job().file(context.file).map(|file| file.file().text()) else { return };
    let asked = convert::span(text, whole_lines(range), context.client.abilities.encoding);
    let cursor = convert::offset(text, range.start, context.client.abilities.encoding);
    let mut repairer = workspace.repairer();
    let mut diagnostics = Diagnostics::new(&context.snapshot, &context.client);
    let touched = workspace.findings(context.file).filter_map(|(id, finding)| {
        let (_, span) = workspace.span(id, &finding.spot)?;
        let apart = span.end < asked.start || asked.end < span.start;
        (!apart).then_some((id, finding, span.start <= cursor && cursor <= span.end))
    });
    let mut touched: Vec<_> = touched.collect();
    // What stands under the cursor comes before the rest of its line.
    touched.sort_by_key(|(.., under)| !under);
    for (id, finding, _) in touched {
        if stop() {
            return;
        }
        let diagnostic = diagnostics.of_finding(id, finding).to_protocol();
        let mut add = |title: String, edits: &[FileEdit], preferred: bool| {
            actions.push(lsp::CodeAction {
                title,
                kind: Some(lsp::CodeActionKind::QUICKFIX),
                diagnostics: Some(vec![diagnostic.clone()]),
                edit: Some(workspace_edit(context, edits)),
                is_preferred: preferred.then_some(true),
                ..lsp::CodeAction::default()
            });
        };
        let repairs = repairer.repairs(id, finding, stop);
        let single = repairs.iter().any(|repair| repair.steps == 1);
        let mut offered: Vec<&Repair> = repairs.iter().collect();
        offered.retain(|repair| if single { repair.steps == 1 } else { is_of_one_entry(context, repair) });
        // The least change that uncovers no other fault is the likeliest.
        let likeliest = offered.iter().position(|repair| repair.shows.is_empty());
        for (n, repair) in offered.into_iter().enumerate() {
            add(title(repair), &repair.edits, likeliest == Some(n));
        }
        if let Some(edit) = repairer.deviation(id, finding, stop) {
            add(
                format!("State a deviation from {}; its reason is yours to write", finding.check.id),
                &[edit],
                false,
            );
        }
    }
}

/// A range widened to its lines: an editor asks for the place of the cursor, and a finding may stand elsewhere in the
/// line. The line at whose start a selection ends is not part of it.
fn whole_lines(range: lsp::Range) -> lsp::Range {
    let start = lsp::Position { character: 0, ..range.start };
    let open = range.end.character == 0 && range.start.line < range.end.line;
    let character = if open { 0 } else { u32::MAX };
    lsp::Range { start, end: lsp::Position { character, ..range.end } }
}

/// Whether all that a repair changes lies in one entry. A chain of changes in several is for `drycall repair`, which
/// shows each.
fn is_of_one_entry(context: &Context, repair: &Repair) -> bool {
    let job = context.snapshot.workspace.job();
    let mut entries =
        repair.edits.iter().map(|(file, range, _)| job.entry_at(*file, range.start).map(|(id, _)| id));
    let first = entries.next().flatten();
    first.is_some() && entries.all(|entry| entry == first)
}

/// What a repair is for and what it does to the hours of services; each change that it takes is in its preview.
fn title(repair: &Repair) -> String {
    let effect = repair.effect.as_ref().map_or(String::new(), |effect| format!(": {effect}"));
    format!("{}{effect}", repair.summary())
}

fn fix_all(context: &Context, stop: Stop<'_>) -> Option<lsp::CodeAction> {
    let mut repairer = context.snapshot.workspace.repairer();
    let chosen = repairer.together(&[context.file], stop);
    if chosen.is_empty() {
        return None;
    }
    let count = chosen.len();
    Some(lsp::CodeAction {
        title: format!("Apply {count} safe {}", if count == 1 { "repair" } else { "repairs" }),
        kind: Some(FIX_ALL),
        edit: Some(workspace_edit(context, &edits_of(&chosen))),
        ..lsp::CodeAction::default()
    })
}

/// Edits of files as the client takes them.
fn workspace_edit(context: &Context, edits: &[FileEdit]) -> lsp::WorkspaceEdit {
    let mut files: BTreeMap<FileId, Vec<lsp::TextEdit>> = BTreeMap::new();
    for (file, range, new) in edits {
        let Some(read) = context.snapshot.workspace.job().file(*file) else { continue };
        let position = |at: u32| {
            let Position { line, character } =
                read.file().text().position(at, context.client.abilities.encoding);
            lsp::Position { line, character }
        };
        let range = lsp::Range { start: position(range.start), end: position(range.end) };
        files.entry(*file).or_default().push(lsp::TextEdit { range, new_text: new.clone() });
    }
    convert::workspace_edit(&context.snapshot, &context.client, files)
}
