//! The findings of a file as diagnostics, written as JSON.

use crate::convert;
use crate::outlet::Outlet;
use crate::place::Place;
use crate::shared::Held;
use analysis::Because;
use checks::{Finding, Severity};
use model::{EntryId, FileId, Spot};
use rustc_hash::{FxHashMap, FxHasher};
use serde::Serialize;
use std::borrow::Cow;
use std::hash::Hasher;
use tower_lsp_server::ls_types as lsp;

/// Source: Language Server Protocol 3.17, `Diagnostic`.
#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Diagnostic<'a> {
    range: lsp::Range,
    severity: lsp::DiagnosticSeverity,
    code: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    code_description: Option<CodeDescription>,
    source: &'static str,
    message: Cow<'a, str>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    tags: Vec<lsp::DiagnosticTag>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    related_information: Vec<Related<'a>>,
}

#[derive(Serialize)]
struct CodeDescription {
    href: String,
}

#[derive(Serialize)]
struct Related<'a> {
    location: Location<'a>,
    message: &'a str,
}

#[derive(Serialize)]
struct Location<'a> {
    uri: &'a str,
    range: lsp::Range,
}

/// Renders the findings of a job as it stands.
pub(crate) struct Renderer<'a> {
    held: &'a Held,
    outlet: &'a Outlet,
    /// Reasons of many findings lie in the same few entries.
    places: FxHashMap<EntryId, Place<'a>>,
    uris: FxHashMap<FileId, lsp::Uri>,
}

impl<'a> Renderer<'a> {
    pub(crate) fn new(held: &'a Held, outlet: &'a Outlet) -> Self {
        Renderer { held, outlet, places: FxHashMap::default(), uris: FxHashMap::default() }
    }

    /// The diagnostics of a file as a JSON array.
    pub(crate) fn diagnostics(&mut self, file: FileId) -> Vec<u8> {
        let mut json = vec![b'['];
        for (id, finding) in self.held.workspace.findings(file) {
            if json.len() > 1 {
                json.push(b',');
            }
            self.diagnostic(id, finding, &mut json);
        }
        json.push(b']');
        json
    }

    /// One finding as the client is told of it.
    pub(crate) fn one(&mut self, id: EntryId, finding: &Finding) -> Vec<u8> {
        let mut json = Vec::new();
        self.diagnostic(id, finding, &mut json);
        json
    }

    fn diagnostic(&mut self, id: EntryId, finding: &Finding, json: &mut Vec<u8>) {
        let can = &self.outlet.abilities;
        let related = if can.related { finding.because.as_slice() } else { &[] };
        self.look_up(id);
        related.iter().for_each(|because| self.look_up(because.place.entry));
        let mut message = Cow::Borrowed(finding.message.as_str());
        if !can.related {
            for because in &finding.because {
                message.to_mut().push_str("\n- ");
                message.to_mut().push_str(&because.text);
            }
        }
        let diagnostic = Diagnostic {
            range: self.range(id, &finding.spot).map_or_else(lsp::Range::default, |(_, range)| range),
            severity: severity(finding.severity),
            code: finding.check.id,
            // The page is in the program: `drycall explain CHECK` prints it.
            code_description: can
                .links
                .then(|| CodeDescription { href: format!("drycall:checks/{}", finding.check.id) }),
            source: "drycall",
            message,
            tags: if finding.unused && can.unnecessary {
                vec![lsp::DiagnosticTag::UNNECESSARY]
            } else {
                Vec::new()
            },
            related_information: related.iter().filter_map(|because| self.related(because)).collect(),
        };
        // Plain data with string keys, written to memory: nothing can go wrong.
        let _ = serde_json::to_writer(json, &diagnostic);
    }

    fn related<'s>(&'s self, because: &'s Because) -> Option<Related<'s>> {
        let (file, range) = self.range(because.place.entry, &because.place.spot)?;
        let uri = self.uris.get(&file)?.as_str();
        Some(Related { location: Location { uri, range }, message: &because.text })
    }

    /// Finds out where an entry stands, once.
    fn look_up(&mut self, id: EntryId) {
        let (held, outlet) = (self.held, self.outlet);
        if self.places.contains_key(&id) {
            return;
        }
        let Some(place) = Place::of(held.workspace.job(), id, outlet.abilities.encoding) else { return };
        if !self.uris.contains_key(&place.file) {
            self.uris.extend(convert::file_uri(held, outlet, place.file).map(|uri| (place.file, uri)));
        }
        self.places.insert(id, place);
    }

    /// A spot of an entry that was looked up.
    fn range(&self, id: EntryId, spot: &Spot) -> Option<(FileId, lsp::Range)> {
        let span = spot.span(&self.held.workspace.job().entry(id)?.part);
        let place = self.places.get(&id)?;
        Some((place.file, place.range(&span)))
    }
}

fn severity(severity: Severity) -> lsp::DiagnosticSeverity {
    match severity {
        Severity::Error => lsp::DiagnosticSeverity::ERROR,
        Severity::Warning => lsp::DiagnosticSeverity::WARNING,
        Severity::Note => lsp::DiagnosticSeverity::INFORMATION,
    }
}

/// What tells diagnostics from others: they themselves would be kept twice.
pub(crate) fn mark(diagnostics: &[u8]) -> u64 {
    let mut hasher = FxHasher::default();
    hasher.write(diagnostics);
    hasher.finish()
}

/// A whole `textDocument/publishDiagnostics`, as JSON.
pub(crate) fn publication(uri: &lsp::Uri, version: Option<i32>, diagnostics: &[u8]) -> Vec<u8> {
    // A URI holds nothing that JSON would escape.
    let mut json = format!(
        "{{\"jsonrpc\":\"2.0\",\"method\":\"textDocument/publishDiagnostics\",\"params\":{{\"uri\":\"{}\",",
        uri.as_str()
    )
    .into_bytes();
    if let Some(version) = version {
        json.extend_from_slice(format!("\"version\":{version},").as_bytes());
    }
    json.extend_from_slice(b"\"diagnostics\":");
    json.extend_from_slice(diagnostics);
    json.extend_from_slice(b"}}");
    json
}
