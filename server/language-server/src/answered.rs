//! Every request has an answer.
//!
//! The wire is silent on methods that begin with `$/` and that it does not know, which is right for a
//! notification; who sent a request would wait for ever. Source: Language Server Protocol 3.17, "Notification
//! and requests whose methods start with `$/`".

use std::pin::Pin;
use std::task::{Context, Poll};
use tower_lsp_server::jsonrpc::{Error, Request, Response};
use tower_service::Service;

/// A service that answers requests which the one inside leaves without an answer.
pub(crate) struct Answered<S>(pub(crate) S);

impl<S> Service<Request> for Answered<S>
where
    S: Service<Request, Response = Option<Response>>,
    S::Future: Send + 'static,
{
    type Response = Option<Response>;
    type Error = S::Error;
    type Future = Pin<Box<dyn Future<Output = Result<Option<Response>, S::Error>> + Send>>;

    fn poll_ready(&mut self, context: &mut Context<'_>) -> Poll<Result<(), S::Error>> {
        self.0.poll_ready(context)
    }

    fn call(&mut self, request: Request) -> Self::Future {
        let id = request.id().cloned();
        let answer = self.0.call(request);
        Box::pin(async move {
            let unheard_of = || Some(Response::from_error(id?, Error::method_not_found()));
            answer.await.map(|answer| answer.or_else(unheard_of))
        })
    }
}
