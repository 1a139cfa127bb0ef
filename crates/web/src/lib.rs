//! The local web app: one file per page in `pages` beside its template.
//!
//! The caller hands in a [`Shop`], which finds parts and works out plans; the
//! pages here only show them. Nothing is reckoned in a handler or a template.
//! The app listens on the loopback address alone and answers only requests
//! that name it, so that no page elsewhere can read a person's drawings.

mod guard;
mod pages;

use std::future::Future;
use std::io;
use std::net::{Ipv4Addr, SocketAddr};
use std::sync::Arc;

use axum::Router;
use tokio::net::TcpListener;
use workshop::plan::Plan;
use workshop::problem::Problem;

/// A project as the pages see it.
pub trait Shop: Send + Sync + 'static {
    /// What the project is called.
    fn name(&self) -> String;

    /// The parts by the name of their file, in order.
    fn parts(&self) -> Vec<String>;

    /// Everything worked out for one part, or `None` when there is no such part.
    fn plan(&self, part: &str) -> Option<Result<Plan, Vec<Problem>>>;
}

/// The pages of a project, ready to be served.
pub fn router(shop: Arc<dyn Shop>) -> Router {
    pages::router(shop).layer(axum::middleware::from_fn(guard::loopback_only))
}

/// Serves a project on the loopback address until interrupted.
///
/// `port` nought takes any free port. `ready` is called once with the address.
///
/// # Errors
///
/// When the port cannot be had.
pub fn serve(shop: Arc<dyn Shop>, port: u16, ready: impl FnOnce(SocketAddr)) -> io::Result<()> {
    let runtime = tokio::runtime::Builder::new_multi_thread().worker_threads(2).enable_all().build()?;
    runtime.block_on(async {
        let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, port)).await?;
        ready(listener.local_addr()?);
        serve_until(listener, router(shop), async {
            // Without a signal handler the interrupt ends the program all the same.
            let _ = tokio::signal::ctrl_c().await;
        })
        .await
    })
}

async fn serve_until(
    listener: TcpListener,
    router: Router,
    end: impl Future<Output = ()> + Send + 'static,
) -> io::Result<()> {
    axum::serve(listener, router).with_graceful_shutdown(end).await
}
