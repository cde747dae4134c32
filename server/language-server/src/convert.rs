//! From the job's terms to the protocol's.

use crate::outlet::Outlet;
use crate::{methods::library, uri};
use checks::{Finding, Severity};
use model::{EntryId, FileId, Spot};
use std::ops::Range;
use syntax::{Encoding, Position, Text};
use tower_lsp_server::ls_types as lsp;
use workspace::Workspace;

/// Bytes of a text as a range.
pub(crate) fn range(text: &Text, span: Range<u32>, encoding: Encoding) -> lsp::Range {
    let at = |offset| {
        let Position { line, character } = text.position(offset, encoding);
        lsp::Position { line, character }
    };
    lsp::Range { start: at(span.start), end: at(span.end) }
}

/// A range as bytes of a text; what lies outside is cut off, and a reversed one turned.
pub(crate) fn span(text: &Text, range: lsp::Range, encoding: Encoding) -> Range<u32> {
    let (start, end) = (offset(text, range.start, encoding), offset(text, range.end, encoding));
    start.min(end)..start.max(end)
}

/// A position as a byte of a text.
pub(crate) fn offset(text: &Text, at: lsp::Position, encoding: Encoding) -> u32 {
    text.offset(Position { line: at.line, character: at.character }, encoding)
}

/// A spot of an entry as a place that an editor can go to.
pub(crate) fn location(workspace: &Workspace, outlet: &Outlet, id: EntryId, spot: &Spot) -> Option<lsp::Location> {
    let (file, span) = workspace.span(id, spot)?;
    let text = workspace.job().file(file)?.file().text();
    let uri = file_uri(workspace, outlet, file)?;
    Some(lsp::Location { uri, range: range(text, span, outlet.abilities.encoding) })
}

/// Where a file of the job, or of the library, is found.
pub(crate) fn file_uri(workspace: &Workspace, outlet: &Outlet, file: FileId) -> Option<lsp::Uri> {
    let file = workspace.job().file(file)?;
    if file.library {
        return library::uri(&file.path, outlet.abilities.library_scheme);
    }
    uri::of_path(&workspace.root().join(&file.path))
}

/// A finding as a diagnostic of the file it stands in.
pub(crate) fn diagnostic(
    workspace: &Workspace,
    outlet: &Outlet,
    id: EntryId,
    finding: &Finding,
) -> Option<lsp::Diagnostic> {
    let can = &outlet.abilities;
    let (file, span) = workspace.span(id, &finding.spot)?;
    let text = workspace.job().file(file)?.file().text();
    let mut diagnostic = lsp::Diagnostic {
        range: range(text, span, can.encoding),
        severity: Some(severity(finding.severity)),
        code: Some(lsp::NumberOrString::String(finding.check.id.to_owned())),
        source: Some("drycall".to_owned()),
        message: finding.message.clone(),
        tags: (finding.unused && can.unnecessary).then(|| vec![lsp::DiagnosticTag::UNNECESSARY]),
        ..lsp::Diagnostic::default()
    };
    if can.links {
        // The page is in the program: `drycall explain CHECK` prints it.
        let page = format!("drycall:checks/{}", finding.check.id).parse().ok();
        diagnostic.code_description = page.map(|href| lsp::CodeDescription { href });
    }
    if can.related {
        let reason = |b: &checks::Because| {
            let location = location(workspace, outlet, b.place.entry, &b.place.spot)?;
            Some(lsp::DiagnosticRelatedInformation { location, message: b.text.clone() })
        };
        let reasons: Vec<_> = finding.because.iter().filter_map(reason).collect();
        diagnostic.related_information = (!reasons.is_empty()).then_some(reasons);
    } else {
        for because in &finding.because {
            diagnostic.message += "\n- ";
            diagnostic.message += &because.text;
        }
    }
    Some(diagnostic)
}

fn severity(severity: Severity) -> lsp::DiagnosticSeverity {
    match severity {
        Severity::Error => lsp::DiagnosticSeverity::ERROR,
        Severity::Warning => lsp::DiagnosticSeverity::WARNING,
        Severity::Note => lsp::DiagnosticSeverity::INFORMATION,
    }
}
