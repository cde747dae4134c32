//! What the server's threads need to speak to the client.

use crate::abilities::Abilities;
use crate::claims::Claims;
use crate::mouth::Mouth;
use crate::settings::Settings;
use tokio::runtime::Handle;
use tower_lsp_server::Client;

/// The client, what it can do, and the runtime that carries messages to it.
#[derive(Clone)]
pub(crate) struct Outlet {
    pub(crate) client: Client,
    pub(crate) mouth: Mouth,
    pub(crate) claims: Claims,
    pub(crate) abilities: Abilities,
    pub(crate) settings: Settings,
    pub(crate) runtime: Handle,
}

impl Outlet {
    /// Asks the client to ask for its lenses again, if it can.
    pub(crate) fn refresh_lenses(&self) {
        if self.abilities.lens_refresh {
            let client = self.client.clone();
            self.runtime.spawn(async move { client.code_lens_refresh().await });
        }
    }

    /// Asks the client to ask for its hints again, if it can.
    pub(crate) fn refresh_hints(&self) {
        if self.abilities.hint_refresh {
            let client = self.client.clone();
            self.runtime.spawn(async move { client.inlay_hint_refresh().await });
        }
    }
}
