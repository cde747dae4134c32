//! Changes on disk that the client is asked to tell of.

use tower_lsp_server::Client;
use tower_lsp_server::ls_types as lsp;

/// Files whose changes on disk matter: a job's own, what it imports, and the weather it names.
const WATCHED: [&str; 2] = ["**/*.{yaml,yml,ics,csv,epw,tm2,tm3}", "**/.gitignore"];

/// Asks the client to tell of changes on disk.
pub(crate) async fn watch_files(client: Client) {
    let watchers = WATCHED.map(|glob| lsp::FileSystemWatcher {
        glob_pattern: lsp::GlobPattern::String(glob.to_owned()),
        kind: None,
    });
    let options = lsp::DidChangeWatchedFilesRegistrationOptions { watchers: watchers.to_vec() };
    let registration = lsp::Registration {
        id: "drycall-files".to_owned(),
        method: "workspace/didChangeWatchedFiles".to_owned(),
        register_options: serde_json::to_value(options).ok(),
    };
    if let Err(why) = client.register_capability(vec![registration]).await {
        tracing::warn!("the client does not watch files: {why}");
    }
}
