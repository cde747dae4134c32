//! `textDocument/diagnostic` and `workspace/diagnostic`: findings for clients that ask for them.
//!
//! A report is known by a fingerprint of what it says, so nothing has to be kept of what a client holds.

use crate::client_handle::ClientHandle;
use crate::context::Context;
use crate::diagnostic::{Diagnostic, Diagnostics, fingerprint};
use crate::shared::{JobState, Snapshot};
use crate::{convert, uri};
use model::FileId;
use std::collections::HashMap;
use std::path::PathBuf;
use tower_lsp_server::ls_types as lsp;
use workspace::Stop;

/// A file's report, or that it says what the client knows already.
type Report = lsp::DocumentDiagnosticReportKind;

pub(crate) fn options() -> lsp::DiagnosticServerCapabilities {
    lsp::DiagnosticServerCapabilities::Options(lsp::DiagnosticOptions {
        identifier: Some("drycall".to_owned()),
        inter_file_dependencies: true,
        workspace_diagnostics: true,
        ..lsp::DiagnosticOptions::default()
    })
}

/// The report of one file. In a document that is in no job nothing is found.
pub(super) fn document(
    context: Option<&Context>,
    previous: Option<&str>,
) -> lsp::DocumentDiagnosticReportResult {
    let report = context.map_or_else(nothing, |context| {
        report(&mut Diagnostics::new(&context.snapshot, &context.client), context.file, previous)
    });
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

/// The reports of every file in which something is found, and of every other that the client holds a report
/// of.
pub(super) fn all(
    jobs: &mut dyn Iterator<Item = Snapshot>,
    client: &ClientHandle,
    previous: Vec<lsp::PreviousResultId>,
    gone: Stop<'_>,
) -> lsp::WorkspaceDiagnosticReport {
    // Clients do not write a path as we do.
    let by_path = previous.into_iter().filter_map(|known| Some((uri::to_path(&known.uri)?, known)));
    let mut previous: HashMap<PathBuf, lsp::PreviousResultId> = by_path.collect();
    let mut items = Vec::new();
    for state in jobs.take_while(|_| !gone()) {
        of_job(&state, client, &mut previous, &mut items);
    }
    // A report of a file that is no more has to be taken back.
    let mut left: Vec<lsp::Uri> = previous.into_values().map(|known| known.uri).collect();
    left.sort();
    items.extend(left.into_iter().map(|uri| item(uri, None, nothing())));
    lsp::WorkspaceDiagnosticReport { items }
}

/// What is said of a document in which nothing is found.
fn nothing() -> Report {
    Report::Full(lsp::FullDocumentDiagnosticReport::default())
}

fn of_job(
    state: &JobState,
    client: &ClientHandle,
    previous: &mut HashMap<PathBuf, lsp::PreviousResultId>,
    items: &mut Vec<lsp::WorkspaceDocumentDiagnosticReport>,
) {
    let mut diagnostics = Diagnostics::new(state, client);
    for (file, _) in state.workspace.files() {
        let Some(uri) = convert::file_uri(state, client, file) else { continue };
        let known = uri::to_path(&uri).and_then(|path| previous.remove(&path));
        if known.is_none() && state.workspace.findings(file).next().is_none() {
            continue;
        }
        let report = report(&mut diagnostics, file, known.as_ref().map(|known| known.value.as_str()));
        let version = state.open.get(&file).map(|open| i64::from(open.version));
        items.push(item(uri, version, report));
    }
}

fn report(diagnostics: &mut Diagnostics<'_>, file: FileId, previous: Option<&str>) -> Report {
    let found = diagnostics.of_file(file);
    let result_id = format!("{:016x}", fingerprint(&found));
    if previous == Some(result_id.as_str()) {
        return Report::Unchanged(lsp::UnchangedDocumentDiagnosticReport { result_id });
    }
    let items = found.iter().map(Diagnostic::to_protocol).collect();
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
