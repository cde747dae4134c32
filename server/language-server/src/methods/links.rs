//! `textDocument/documentLink`: files of the job that a calendar or the weather names.

use crate::context::Context;
use crate::convert;
use model::{Name, Spot};
use tower_lsp_server::ls_types as lsp;

/// A link at each name of a file that is there and may be read.
pub(super) fn links(context: &Context) -> Option<Vec<lsp::DocumentLink>> {
    let workspace = &context.snapshot.workspace;
    let job = workspace.job();
    let mut links = Vec::new();
    for id in job.file(context.file)?.entries() {
        let Some(entry) = job.entry(*id) else { continue };
        if entry.facts.imports().is_empty() {
            continue;
        }
        let part = &*entry.part;
        for (key, value) in (0..part.nodes()).map(syntax::NodeId).flat_map(|node| part.pairs(node)) {
            let Some(path) =
                part.scalar(value).filter(|_| matches!(part.scalar(key), Some("import" | "file")))
            else {
                continue;
            };
            let there = job.imports().get(&Name::new(path)).is_some_and(Result::is_ok);
            let target = crate::uri::of_path(&workspace.root().join(path.trim_start_matches("./")));
            let range = convert::range(&context.snapshot, &context.client, *id, &Spot::Node(value));
            if let (true, Some(range), target @ Some(_)) = (there, range, target) {
                links.push(lsp::DocumentLink { range, target, tooltip: None, data: None });
            }
        }
    }
    Some(links)
}
