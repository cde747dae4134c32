//! What the server's threads need to reach the client.

use crate::abilities::Abilities;
use crate::ownership::Ownership;
use crate::settings::Settings;
use crate::writer::Writer;
use tokio::runtime::Handle;
use tower_lsp_server::Client;

/// The client, what it can do, and the runtime that carries messages to it.
#[derive(Clone)]
pub(crate) struct ClientHandle {
    /// Sends it the library's own requests and notifications.
    pub(crate) wire: Client,
    pub(crate) writer: Writer,
    pub(crate) ownership: Ownership,
    pub(crate) abilities: Abilities,
    pub(crate) settings: Settings,
    pub(crate) runtime: Handle,
}

impl ClientHandle {
    /// Asks the client to ask for its lenses again, if it can.
    pub(crate) fn refresh_lenses(&self) {
        if self.abilities.lens_refresh {
            let wire = self.wire.clone();
            self.runtime.spawn(async move { wire.code_lens_refresh().await });
        }
    }

    /// Asks the client to ask for its hints again, if it can.
    pub(crate) fn refresh_hints(&self) {
        if self.abilities.hint_refresh {
            let wire = self.wire.clone();
            self.runtime.spawn(async move { wire.inlay_hint_refresh().await });
        }
    }

    /// Asks the client to ask for its diagnostics again.
    pub(crate) fn refresh_diagnostics(&self) {
        let wire = self.wire.clone();
        self.runtime.spawn(async move { wire.workspace_diagnostic_refresh().await });
    }
}
