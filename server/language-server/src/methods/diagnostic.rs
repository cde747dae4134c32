//! `textDocument/diagnostic` and `workspace/diagnostic`: findings for clients that ask for them.
//!
//! A report is known by a hash of what it says, so nothing has to be kept of what a client holds.

use crate::outlet::Outlet;
use crate::render::{Renderer, mark};
use crate::shared::{Held, Shared};
use crate::slow::Turn;
use crate::{convert, uri};
use model::FileId;
use std::collections::HashMap;
use std::path::PathBuf;
use tokio::sync::oneshot;
use tower_lsp_server::ls_types as lsp;

/// A file's report, or that it says what the client knows already.
type Report = lsp::DocumentDiagnosticReportKind;

/// A question about findings, and where the answer goes.
pub(crate) enum Diagnosis {
    /// Of one document, with the report that the client holds of it.
    Document(lsp::Uri, Option<String>, oneshot::Sender<Report>),
    /// Of all files, with the reports that it holds.
    All(Vec<lsp::PreviousResultId>, oneshot::Sender<lsp::WorkspaceDiagnosticReport>),
}

pub(crate) fn options() -> lsp::DiagnosticServerCapabilities {
    lsp::DiagnosticServerCapabilities::Options(lsp::DiagnosticOptions {
        identifier: Some("drycall".to_owned()),
        inter_file_dependencies: true,
        workspace_diagnostics: true,
        ..lsp::DiagnosticOptions::default()
    })
}

/// What is said of a document that nothing is found in, or that is in no job.
pub(crate) fn nothing() -> Report {
    Report::Full(lsp::FullDocumentDiagnosticReport::default())
}

/// As an answer about one document.
pub(crate) fn answer(report: Report) -> lsp::DocumentDiagnosticReportResult {
    let report = match report {
        Report::Full(full_document_diagnostic_report) => {
            lsp::DocumentDiagnosticReport::Full(lsp::RelatedFullDocumentDiagnosticReport {
                related_documents: None,
                full_document_diagnostic_report,
            })
        }
        Report::Unchanged(unchanged_document_diagnostic_report) => {
            lsp::DocumentDiagnosticReport::Unchanged(lsp::RelatedUnchangedDocumentDiagnosticReport {
                related_documents: None,
                unchanged_document_diagnostic_report,
            })
        }
    };
    lsp::DocumentDiagnosticReportResult::Report(report)
}

/// Answers about one file as soon as its job is worked out.
pub(crate) fn document(
    shared: &Shared,
    outlet: &Outlet,
    file: FileId,
    previous: Option<&str>,
    to: oneshot::Sender<Report>,
) {
    if to.is_closed() {
        return;
    }
    let _turn = Turn::begin("a file's findings");
    let held = shared.settled();
    // The client may cancel meanwhile.
    let _ = to.send(report(&mut Renderer::new(&held, outlet), file, previous));
}

/// Answers about every file of these jobs in which something is found, and every other that the client
/// holds a report of.
pub(crate) fn all(
    jobs: &[Shared],
    outlet: &Outlet,
    previous: Vec<lsp::PreviousResultId>,
    to: oneshot::Sender<lsp::WorkspaceDiagnosticReport>,
) {
    if to.is_closed() {
        return;
    }
    let _turn = Turn::begin("all findings");
    // Clients do not write a path as we do.
    let by_path = previous.into_iter().filter_map(|held| Some((uri::to_path(&held.uri)?, held)));
    let mut previous: HashMap<PathBuf, lsp::PreviousResultId> = by_path.collect();
    let mut items = Vec::new();
    for job in jobs {
        let held = job.settled();
        if to.is_closed() {
            return;
        }
        of_job(&held, outlet, &mut previous, &mut items);
    }
    // A report of a file that is no more has to be taken back.
    let mut gone: Vec<lsp::Uri> = previous.into_values().map(|held| held.uri).collect();
    gone.sort();
    items.extend(gone.into_iter().map(|uri| item(uri, None, nothing())));
    let _ = to.send(lsp::WorkspaceDiagnosticReport { items });
}

fn of_job(
    held: &Held,
    outlet: &Outlet,
    previous: &mut HashMap<PathBuf, lsp::PreviousResultId>,
    items: &mut Vec<lsp::WorkspaceDocumentDiagnosticReport>,
) {
    let mut renderer = Renderer::new(held, outlet);
    for (file, _) in held.workspace.files() {
        let Some(uri) = convert::file_uri(held, outlet, file) else { continue };
        let known = uri::to_path(&uri).and_then(|path| previous.remove(&path));
        if known.is_none() && held.workspace.findings(file).next().is_none() {
            continue;
        }
        let report = report(&mut renderer, file, known.as_ref().map(|known| known.value.as_str()));
        let version = held.open.get(&file).map(|open| i64::from(open.version));
        items.push(item(uri, version, report));
    }
}

fn report(renderer: &mut Renderer<'_>, file: FileId, previous: Option<&str>) -> Report {
    let mut json = Vec::new();
    renderer.diagnostics(file, &mut json);
    let result_id = format!("{:016x}", mark(&json));
    if previous == Some(result_id.as_str()) {
        return Report::Unchanged(lsp::UnchangedDocumentDiagnosticReport { result_id });
    }
    // What we wrote ourselves can be read.
    let items = serde_json::from_slice(&json).unwrap_or_default();
    Report::Full(lsp::FullDocumentDiagnosticReport { result_id: Some(result_id), items })
}

fn item(uri: lsp::Uri, version: Option<i64>, report: Report) -> lsp::WorkspaceDocumentDiagnosticReport {
    match report {
        Report::Full(full_document_diagnostic_report) => {
            lsp::WorkspaceDocumentDiagnosticReport::Full(lsp::WorkspaceFullDocumentDiagnosticReport {
                uri,
                version,
                full_document_diagnostic_report,
            })
        }
        Report::Unchanged(unchanged_document_diagnostic_report) => {
            lsp::WorkspaceDocumentDiagnosticReport::Unchanged(
                lsp::WorkspaceUnchangedDocumentDiagnosticReport {
                    uri,
                    version,
                    unchanged_document_diagnostic_report,
                },
            )
        }
    }
}
