//! Whether the program that started the server is still there.

use std::path::Path;
use std::time::Duration;

/// How often that is looked at. Closing standard input is the quick way to tell the server.
const CHECK_INTERVAL: Duration = Duration::from_secs(3);

/// Returns when the process of this id is gone. Where that cannot be seen (no `/proc`, or a process
/// outside the server's container) it never returns: the closed input is left to tell.
pub(crate) async fn gone(process: u32) {
    let entry = Path::new("/proc").join(process.to_string());
    if !entry.exists() {
        return std::future::pending().await;
    }
    while entry.exists() {
        tokio::time::sleep(CHECK_INTERVAL).await;
    }
}
