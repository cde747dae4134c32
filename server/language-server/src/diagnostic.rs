//! The findings of a file as diagnostics: made once, whether they are published, asked for, or repaired.

use crate::client_handle::ClientHandle;
use crate::convert;
use crate::entry_ranges::EntryRanges;
use crate::shared::JobState;
use analysis::Because;
use checks::{Finding, Severity};
use model::{EntryId, FileId};
use rustc_hash::{FxHashMap, FxHasher};
use serde::{Serialize, Serializer};
use std::borrow::Cow;
use std::hash::{Hash, Hasher};
use std::rc::Rc;
use tower_lsp_server::ls_types as lsp;

/// The most findings of a file that a client is sent: more help nobody, and take long to draw. Code actions
/// see all.
pub(crate) const MAX_OF_FILE: usize = 1000;

/// A finding as it is sent to the client. Source: Language Server Protocol 3.17, `Diagnostic`.
#[derive(Serialize, Hash)]
#[serde(rename_all = "camelCase")]
pub(crate) struct Diagnostic<'a> {
    range: lsp::Range,
    severity: u32,
    #[serde(skip_serializing_if = "Option::is_none")]
    code: Option<&'static str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    code_description: Option<Page>,
    source: &'static str,
    message: Cow<'a, str>,
    #[serde(skip_serializing_if = "<[u32]>::is_empty")]
    tags: &'static [u32],
    #[serde(skip_serializing_if = "Vec::is_empty")]
    related_information: Vec<Related<'a>>,
}

/// Where a check's page is.
#[derive(Serialize, Hash)]
struct Page {
    #[serde(serialize_with = "page_address")]
    href: &'static str,
}

/// A reason, and where it stands.
#[derive(Serialize, Hash)]
struct Related<'a> {
    location: Location,
    message: &'a str,
}

#[derive(Serialize, Hash)]
struct Location {
    #[serde(serialize_with = "address")]
    uri: Rc<lsp::Uri>,
    range: lsp::Range,
}

/// The page is in the program: `drycall explain CHECK` prints it.
const PAGES: &str = "drycall:checks/";

#[allow(clippy::trivially_copy_pass_by_ref)] // serde passes a reference
fn page_address<S: Serializer>(check: &&'static str, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.collect_str(&format_args!("{PAGES}{check}"))
}

fn address<S: Serializer>(uri: &Rc<lsp::Uri>, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.serialize_str(uri.as_str())
}

/// `DiagnosticTag.Unnecessary`.
const UNNECESSARY: u32 = 1;

/// Source: Language Server Protocol 3.17, `DiagnosticSeverity`.
fn severity(severity: Severity) -> u32 {
    match severity {
        Severity::Error => 1,
        Severity::Warning => 2,
        Severity::Note => 3,
    }
}

impl Diagnostic<'_> {
    /// The same in the type that the library answers with.
    pub(crate) fn to_protocol(&self) -> lsp::Diagnostic {
        let page = |page: &Page| format!("{PAGES}{}", page.href).parse().ok();
        let related = |related: &Related<'_>| lsp::DiagnosticRelatedInformation {
            location: lsp::Location { uri: (*related.location.uri).clone(), range: related.location.range },
            message: related.message.to_owned(),
        };
        let severity = match self.severity {
            1 => lsp::DiagnosticSeverity::ERROR,
            2 => lsp::DiagnosticSeverity::WARNING,
            _ => lsp::DiagnosticSeverity::INFORMATION,
        };
        let related: Vec<_> = self.related_information.iter().map(related).collect();
        let tags = (!self.tags.is_empty()).then(|| vec![lsp::DiagnosticTag::UNNECESSARY]);
        lsp::Diagnostic {
            range: self.range,
            severity: Some(severity),
            code: self.code.map(|code| lsp::NumberOrString::String(code.to_owned())),
            code_description: self
                .code_description
                .as_ref()
                .and_then(page)
                .map(|href| lsp::CodeDescription { href }),
            source: Some(self.source.to_owned()),
            message: self.message.to_string(),
            related_information: (!related.is_empty()).then_some(related),
            tags,
            data: None,
        }
    }
}

/// What tells diagnostics of a file from others of it: they themselves would be kept twice.
pub(crate) fn fingerprint(diagnostics: &[Diagnostic<'_>]) -> u64 {
    let mut hasher = FxHasher::default();
    diagnostics.hash(&mut hasher);
    hasher.finish()
}

/// A `textDocument/publishDiagnostics`.
#[derive(Serialize)]
pub(crate) struct Publication<'a> {
    jsonrpc: &'static str,
    method: &'static str,
    params: Params<'a>,
}

#[derive(Serialize)]
struct Params<'a> {
    uri: &'a lsp::Uri,
    #[serde(skip_serializing_if = "Option::is_none")]
    version: Option<i32>,
    diagnostics: &'a [Diagnostic<'a>],
}

impl<'a> Publication<'a> {
    pub(crate) fn of(uri: &'a lsp::Uri, version: Option<i32>, diagnostics: &'a [Diagnostic<'a>]) -> Self {
        let params = Params { uri, version, diagnostics };
        Publication { jsonrpc: "2.0", method: "textDocument/publishDiagnostics", params }
    }
}

/// Makes diagnostics of a job as it stands.
pub(crate) struct Diagnostics<'a> {
    state: &'a JobState,
    client: &'a ClientHandle,
    /// Reasons of many findings lie in the same few entries.
    places: FxHashMap<EntryId, Option<EntryRanges<'a>>>,
    uris: FxHashMap<FileId, Option<Rc<lsp::Uri>>>,
}

impl<'a> Diagnostics<'a> {
    pub(crate) fn new(state: &'a JobState, client: &'a ClientHandle) -> Self {
        Diagnostics { state, client, places: FxHashMap::default(), uris: FxHashMap::default() }
    }

    /// Those of a file in the order of its entries: the worst, by severity and then by line, where there are
    /// too many, headed by how many more there are.
    pub(crate) fn of_file(&mut self, file: FileId) -> Vec<Diagnostic<'a>> {
        let mut found: Vec<(EntryId, &'a Finding)> = self.state.workspace.findings(file).collect();
        let mut diagnostics = Vec::with_capacity(found.len().min(MAX_OF_FILE + 1));
        diagnostics.extend(self.leave_worst(&mut found));
        diagnostics.extend(found.into_iter().map(|(id, finding)| self.of_finding(id, finding)));
        diagnostics
    }

    /// Leaves the worst findings in their order; what says that there are more.
    fn leave_worst(&self, found: &mut Vec<(EntryId, &'a Finding)>) -> Option<Diagnostic<'a>> {
        let more = found.len().checked_sub(MAX_OF_FILE).filter(|more| *more > 0)?;
        let job = self.state.workspace.job();
        // Entries come in the order of the file; what is found in one may lie in several lines.
        let (mut entry, mut last) = (0, None);
        let rank = |(at, (id, finding)): (usize, &(EntryId, &'a Finding))| {
            entry += u32::from(last.replace(*id) != Some(*id));
            let start = job.entry(*id).map_or(0, |entry| finding.spot.span(&entry.part).start);
            (severity(finding.severity), entry, start, at)
        };
        let mut ranks: Vec<(u32, u32, u32, usize)> = found.iter().enumerate().map(rank).collect();
        let (_, worst_hidden, _) = ranks.select_nth_unstable(MAX_OF_FILE);
        let severity = worst_hidden.0;
        ranks.truncate(MAX_OF_FILE);
        let mut kept: Vec<usize> = ranks.into_iter().map(|(.., at)| at).collect();
        kept.sort_unstable();
        *found = kept.into_iter().filter_map(|at| found.get(at).copied()).collect();
        let are = if more == 1 { "finding of this file is" } else { "findings of this file are" };
        Some(Diagnostic {
            range: lsp::Range::default(),
            severity,
            code: None,
            code_description: None,
            source: SOURCE,
            message: format!(
                "{more} more {are} not shown here: an editor gets the {MAX_OF_FILE} worst. `drycall review` lists all."
            )
            .into(),
            tags: &[],
            related_information: Vec::new(),
        })
    }

    /// That of a finding.
    pub(crate) fn of_finding(&mut self, id: EntryId, finding: &'a Finding) -> Diagnostic<'a> {
        let can = &self.client.abilities;
        let check = finding.check.id;
        let mut message = finding.shown(self.state.workspace.job());
        if !can.related {
            for because in &finding.because {
                message.to_mut().push_str(&format!("\n- {}", because.text));
            }
        }
        Diagnostic {
            range: self.place(id).map(|place| place.spot(&finding.spot)).unwrap_or_default(),
            severity: severity(finding.severity),
            code: Some(check),
            code_description: can.links.then_some(Page { href: check }),
            source: SOURCE,
            message,
            tags: if finding.unused && can.unnecessary { &[UNNECESSARY] } else { &[] },
            related_information: if can.related { self.related(&finding.because) } else { Vec::new() },
        }
    }

    /// The reasons that stand anywhere.
    fn related(&mut self, because: &'a [Because]) -> Vec<Related<'a>> {
        let related = |because: &'a Because| {
            let place = self.place(because.place.entry)?;
            let location = Location { uri: self.uri(place.file)?, range: place.spot(&because.place.spot) };
            Some(Related { location, message: &because.text })
        };
        because.iter().filter_map(related).collect()
    }

    /// Where an entry stands, found out once.
    fn place(&mut self, id: EntryId) -> Option<EntryRanges<'a>> {
        let (job, encoding) = (self.state.workspace.job(), self.client.abilities.encoding);
        *self.places.entry(id).or_insert_with(|| EntryRanges::of(job, id, encoding))
    }

    fn uri(&mut self, file: FileId) -> Option<Rc<lsp::Uri>> {
        let (state, client) = (self.state, self.client);
        self.uris.entry(file).or_insert_with(|| convert::file_uri(state, client, file).map(Rc::new)).clone()
    }
}

/// Who says it, as clients show it.
const SOURCE: &str = "drycall";

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    /// What is written to the wire is what the library would write: its types follow the protocol.
    #[test]
    fn both_forms_are_the_same() {
        let range = lsp::Range::new(lsp::Position::new(1, 2), lsp::Position::new(3, 4));
        let location = Location { uri: Rc::new("file:///a%20b.yaml".parse().unwrap()), range };
        let bare = || Diagnostic {
            range,
            severity: 1,
            code: None,
            code_description: None,
            source: SOURCE,
            message: "a \"b\" \\ \u{7f}\n𝄞".into(),
            tags: &[],
            related_information: Vec::new(),
        };
        let full = Diagnostic {
            severity: 2,
            code: Some("name-unknown"),
            code_description: Some(Page { href: "name-unknown" }),
            tags: &[UNNECESSARY],
            related_information: vec![Related { location, message: "because" }],
            ..bare()
        };
        let note = Diagnostic { severity: 3, ..bare() };
        for diagnostic in [bare(), full, note] {
            let written = serde_json::to_value(&diagnostic).unwrap();
            assert_eq!(written, serde_json::to_value(diagnostic.to_protocol()).unwrap());
        }
    }
}
