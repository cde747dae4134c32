//! The language server.

/// Serves one client over standard input and output until it goes.
pub fn serve() -> std::process::ExitCode {
    std::process::ExitCode::FAILURE
}
