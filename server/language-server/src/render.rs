//! The findings of a file as diagnostics, written as JSON.

use crate::outlet::Outlet;
use crate::place::Place;
use crate::shared::Held;
use crate::{convert, json};
use analysis::Because;
use checks::{Finding, Severity};
use model::{EntryId, FileId};
use rustc_hash::{FxHashMap, FxHasher};
use std::hash::Hasher;
use tower_lsp_server::ls_types as lsp;

/// Renders the findings of a job as it stands.
pub(crate) struct Renderer<'a> {
    held: &'a Held,
    outlet: &'a Outlet,
    /// Reasons of many findings lie in the same few entries.
    places: FxHashMap<EntryId, Option<Place<'a>>>,
    /// The files' addresses, as JSON.
    uris: FxHashMap<FileId, Option<Vec<u8>>>,
}

impl<'a> Renderer<'a> {
    pub(crate) fn new(held: &'a Held, outlet: &'a Outlet) -> Self {
        Renderer { held, outlet, places: FxHashMap::default(), uris: FxHashMap::default() }
    }

    /// Writes the diagnostics of a file as a JSON array.
    pub(crate) fn diagnostics(&mut self, file: FileId, json: &mut Vec<u8>) {
        json.push(b'[');
        let mut first = true;
        for (id, finding) in self.held.workspace.findings(file) {
            if !std::mem::take(&mut first) {
                json.push(b',');
            }
            self.diagnostic(id, finding, json);
        }
        json.push(b']');
    }

    /// One finding as the client is told of it.
    pub(crate) fn one(&mut self, id: EntryId, finding: &Finding) -> Vec<u8> {
        let mut json = Vec::new();
        self.diagnostic(id, finding, &mut json);
        json
    }

    /// Writes a finding. Source: Language Server Protocol 3.17, `Diagnostic`.
    fn diagnostic(&mut self, id: EntryId, finding: &Finding, json: &mut Vec<u8>) {
        let can = &self.outlet.abilities;
        let (related, links, unnecessary) = (can.related, can.links, can.unnecessary);
        let check = finding.check.id;
        json.extend_from_slice(b"{\"range\":");
        let range = self.place(id).map(|place| place.spot(&finding.spot)).unwrap_or_default();
        json::range(&range, json);
        json.extend_from_slice(b",\"severity\":");
        json::number(severity(finding.severity), json);
        json.extend_from_slice(b",\"code\":");
        json::string(check, json);
        if links {
            // The page is in the program: `drycall explain CHECK` prints it. A check's name needs no
            // escapes.
            json.extend_from_slice(b",\"codeDescription\":{\"href\":\"drycall:checks/");
            json.extend_from_slice(check.as_bytes());
            json.extend_from_slice(b"\"}");
        }
        json.extend_from_slice(b",\"source\":\"drycall\",\"message\":");
        let message = finding.shown(self.held.workspace.job());
        if related || finding.because.is_empty() {
            json::string(&message, json);
        } else {
            let reasons = finding.because.iter().map(|because| format!("\n- {}", because.text));
            json::string(&(message.into_owned() + &reasons.collect::<String>()), json);
        }
        if finding.unused && unnecessary {
            json.extend_from_slice(UNNECESSARY);
        }
        if related {
            self.related(&finding.because, json);
        }
        json.push(b'}');
    }

    /// Writes the reasons that stand anywhere.
    fn related(&mut self, because: &[Because], json: &mut Vec<u8>) {
        let mut any = false;
        for because in because {
            let Some(place) = self.place(because.place.entry) else { continue };
            let Some(uri) = self.uri(place.file) else { continue };
            json.extend_from_slice(if any { b"," } else { b",\"relatedInformation\":[" });
            any = true;
            json.extend_from_slice(b"{\"location\":{\"uri\":");
            json.extend_from_slice(uri);
            json.extend_from_slice(b",\"range\":");
            json::range(&place.spot(&because.place.spot), json);
            json.extend_from_slice(b"},\"message\":");
            json::string(&because.text, json);
            json.push(b'}');
        }
        if any {
            json.push(b']');
        }
    }

    /// Where an entry stands, found out once.
    fn place(&mut self, id: EntryId) -> Option<Place<'a>> {
        let (job, encoding) = (self.held.workspace.job(), self.outlet.abilities.encoding);
        *self.places.entry(id).or_insert_with(|| Place::of(job, id, encoding))
    }

    fn uri(&mut self, file: FileId) -> Option<&[u8]> {
        let uri = self.uris.entry(file).or_insert_with(|| {
            let mut written = Vec::new();
            json::string(convert::file_uri(self.held, self.outlet, file)?.as_str(), &mut written);
            Some(written)
        });
        uri.as_deref()
    }
}

/// `DiagnosticTag.Unnecessary` as the tags of a diagnostic.
const UNNECESSARY: &[u8] = b",\"tags\":[1]";

/// Source: Language Server Protocol 3.17, `DiagnosticSeverity`.
fn severity(severity: Severity) -> u32 {
    match severity {
        Severity::Error => 1,
        Severity::Warning => 2,
        Severity::Note => 3,
    }
}

/// What tells diagnostics from others: they themselves would be kept twice.
pub(crate) fn mark(diagnostics: &[u8]) -> u64 {
    let mut hasher = FxHasher::default();
    hasher.write(diagnostics);
    hasher.finish()
}

/// Begins a `textDocument/publishDiagnostics`; what follows are the diagnostics, and [`END`].
pub(crate) fn begin(uri: &lsp::Uri, version: Option<i32>, json: &mut Vec<u8>) {
    json.extend_from_slice(
        b"{\"jsonrpc\":\"2.0\",\"method\":\"textDocument/publishDiagnostics\",\"params\":{\"uri\":",
    );
    json::string(uri.as_str(), json);
    if let Some(version) = version {
        json.extend_from_slice(format!(",\"version\":{version}").as_bytes());
    }
    json.extend_from_slice(b",\"diagnostics\":");
}

/// What ends a `textDocument/publishDiagnostics`.
pub(crate) const END: &[u8] = b"}}";
