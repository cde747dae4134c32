//! What the server's threads need to speak to the client.

use crate::abilities::Abilities;
use crate::mouth::Mouth;
use tokio::runtime::Handle;
use tower_lsp_server::Client;

/// The client, what it can do, and the runtime that carries messages to it.
#[derive(Clone)]
pub(crate) struct Outlet {
    pub(crate) client: Client,
    pub(crate) mouth: Mouth,
    pub(crate) abilities: Abilities,
    pub(crate) runtime: Handle,
}
