//! Progress of long work, shown by clients that can.

use crate::client_handle::ClientHandle;
use std::time::Duration;
use tokio::sync::watch;
use tower_lsp_server::Client;
use tower_lsp_server::ls_types::ProgressToken;

/// Work that ends sooner is not worth a bar that flickers.
const SHOWN_AFTER: Duration = Duration::from_millis(300);

/// A progress bar; gone when dropped.
pub(crate) struct Bar(Option<watch::Sender<u32>>);

impl Bar {
    /// A bar that appears if the work lasts.
    pub(crate) fn new(client: &ClientHandle, title: &'static str) -> Bar {
        if !client.abilities.progress {
            return Bar(None);
        }
        let (percent, shown) = watch::channel(0);
        client.runtime.spawn(show(client.wire.clone(), shown, title));
        Bar(Some(percent))
    }

    /// Says how far the work is. Callable from many threads; costs nothing between per cents.
    pub(crate) fn report(&self, done: usize, all: usize) {
        let now = (done.saturating_mul(100) / all.max(1)) as u32;
        if let Some(percent) = &self.0 {
            percent.send_if_modified(|shown| {
                let further = now > *shown;
                *shown = now.max(*shown);
                further
            });
        }
    }
}

async fn show(client: Client, mut percent: watch::Receiver<u32>, title: &'static str) {
    let over = async { while percent.changed().await.is_ok() {} };
    if tokio::time::timeout(SHOWN_AFTER, over).await.is_ok() {
        return;
    }
    let token = ProgressToken::String(format!("drycall/{}", client.next_request_id()));
    if client.create_work_done_progress(token.clone()).await.is_err() {
        return;
    }
    let bar = client.progress(token, title).with_percentage(0).begin().await;
    while percent.changed().await.is_ok() {
        let now = *percent.borrow_and_update();
        bar.report(now).await;
    }
    bar.finish().await;
}
