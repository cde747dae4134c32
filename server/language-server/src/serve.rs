//! One client served from its first word to its last.

use crate::answered::Answered;
use crate::input;
use crate::parent;
use crate::server::Server;
use crate::writer::writer;
use std::process::ExitCode;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use tokio::io::{AsyncRead, AsyncWrite, duplex};
use tokio::runtime::Builder;
use tokio::sync::oneshot;
use tower_lsp_server::{LspService, Server as Library};

/// Handlers wait for answers only, so any number may wait: were there a limit, a few slow answers
/// would keep edits from being seen.
const WAITING_AT_ONCE: usize = 4096;

/// Bytes of checked messages that the library may be behind.
const AHEAD: usize = 1 << 18;

/// Serves one client over standard input and output until it goes. Success if it asked to shut
/// down first.
pub fn serve() -> ExitCode {
    let runtime = match Builder::new_current_thread().enable_all().build() {
        Ok(runtime) => runtime,
        Err(why) => {
            tracing::error!("no runtime: {why}");
            return ExitCode::FAILURE;
        }
    };
    let orderly = runtime.block_on(serve_on(tokio::io::stdin(), tokio::io::stdout()));
    // A read of standard input may never return.
    runtime.shutdown_background();
    if orderly { ExitCode::SUCCESS } else { ExitCode::FAILURE }
}

/// Serves one client over a pair of streams until it goes; whether it asked to shut down first.
pub async fn serve_on(input: impl AsyncRead + Unpin, output: impl AsyncWrite) -> bool {
    let orderly = Arc::new(AtomicBool::new(false));
    let (tell_parent, parent) = oneshot::channel();
    let shut = orderly.clone();
    let (writer, to_client, writer_loop) = writer();
    let (to_library, from_client) = duplex(AHEAD);
    let refusals = writer.clone();
    let server = move |client| Server::new(client, writer, shut, tell_parent);
    let (service, socket) =
        LspService::build(server).custom_method("drycall/libraryText", Server::library_text).finish();
    let library = Library::new(from_client, to_client, socket).concurrency_level(WAITING_AT_ONCE);
    // Once the client hangs up, so does this end of the library's input.
    let reading = async {
        if let Err(why) = input::relay(input, to_library, &refusals).await {
            tracing::warn!("what the client sends cannot be read any more: {why}");
        }
        std::future::pending::<()>().await;
    };
    let parent_gone = async {
        match parent.await {
            Ok(process) => parent::gone(process).await,
            Err(_) => std::future::pending().await,
        }
    };
    // When the library is done it hangs up, and the writer ends with its last message.
    let serving = async {
        library.serve(Answered(service)).await;
        std::future::pending::<()>().await;
    };
    tokio::select! {
        () = reading => {}
        () = serving => {}
        written = writer_loop.run(output) => {
            if let Err(why) = written {
                tracing::warn!("the client does not listen any more: {why}");
            }
        }
        () = parent_gone => tracing::warn!("the editor is gone"),
    }
    orderly.load(Ordering::SeqCst)
}
