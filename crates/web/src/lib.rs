//! The local web app: one file per page in `pages` beside its template.
//!
//! The caller hands in a [`Shop`], which finds parts and works out plans; the
//! pages here only show them. Nothing is reckoned in a handler or a template.
//! The app listens on the loopback address alone and answers only its own pages,
//! so that no page elsewhere can read or change a person's drawings.

mod desk;
mod guard;
mod pages;
mod shop;

pub use shop::{
    Chosen, Drafts, Earlier, Image, MOST_IMAGE_BYTES, MOST_TEXT_BYTES, Metric, Motion, Moved, Paper, Piece,
    Saving, Shop, Text,
};

use std::future::Future;
use std::io;
use std::net::{Ipv4Addr, SocketAddr};
use std::sync::Arc;

use axum::Router;
use tokio::net::TcpListener;

/// The pages of a project, ready to be served on a port; requests that name
/// another are refused.
pub fn router(shop: Arc<dyn Shop>, port: Option<u16>) -> Router {
    pages::router(shop).layer(axum::middleware::from_fn_with_state(port, guard::this_app_only))
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
        let address = listener.local_addr()?;
        ready(address);
        serve_until(listener, router(shop, Some(address.port())), async {
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
