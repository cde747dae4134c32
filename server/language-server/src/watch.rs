//! Changes on disk that the client is asked to tell of.

use std::path::Path;
use tower_lsp_server::Client;
use tower_lsp_server::ls_types as lsp;

/// What the names of files end in whose changes matter: a job's own, what it imports, and the weather it names.
const ENDINGS: [&str; 7] = ["yaml", "yml", "ics", "csv", "epw", "tm2", "tm3"];

/// The file that says what is hidden.
pub(crate) const HIDES: &str = ".gitignore";

/// Whether a path is that of a file whose changes matter.
pub(crate) fn is_of_interest(path: &Path) -> bool {
    let ends = |ending: &&str| path.extension().is_some_and(|e| e.eq_ignore_ascii_case(ending));
    ENDINGS.iter().any(ends) || path.file_name().is_some_and(|name| name == HIDES)
}

/// Asks the client to tell of changes on disk.
pub(crate) async fn watch_files(client: Client) {
    let watcher =
        |glob: String, kind| lsp::FileSystemWatcher { glob_pattern: lsp::GlobPattern::String(glob), kind };
    let watchers = vec![
        watcher(format!("**/*.{{{}}}", ENDINGS.join(",")), None),
        watcher(format!("**/{HIDES}"), None),
        // A folder that comes or goes is one change, whatever is in it.
        watcher("**/*".to_owned(), Some(lsp::WatchKind::Create | lsp::WatchKind::Delete)),
    ];
    let options = lsp::DidChangeWatchedFilesRegistrationOptions { watchers };
    let registration = lsp::Registration {
        id: "drycall-files".to_owned(),
        method: "workspace/didChangeWatchedFiles".to_owned(),
        register_options: serde_json::to_value(options).ok(),
    };
    if let Err(why) = client.register_capability(vec![registration]).await {
        tracing::warn!("the client does not watch files: {why}");
    }
}
