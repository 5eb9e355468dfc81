//! Sockets and connections: this machine alone, by both of its addresses.

use super::answer::{Site, answer};
use anyhow::Context;
use axum::Router;
use hyper_util::rt::{TokioIo, TokioTimer};
use hyper_util::service::TowerToHyperService;
use std::net::{Ipv4Addr, Ipv6Addr};
use std::sync::Arc;
use std::time::Duration;
use tokio::net::{TcpListener, TcpStream};
use tokio::sync::Semaphore;

/// Connections at a time; further ones wait to be taken.
const MOST_CONNECTIONS: usize = 256;
/// Longest wait for the head of a request.
const HEAD_PATIENCE: Duration = Duration::from_secs(10);
/// Wait after a connection could not be taken, as when the system is out of handles.
const PAUSE: Duration = Duration::from_millis(100);

/// Sockets that listen.
pub(super) struct Sockets {
    /// Their port.
    pub(super) port: u16,
    v4: TcpListener,
    /// Not every machine has the newer address.
    v6: Option<TcpListener>,
}

/// Listens on a port; 0 takes a free one.
pub(super) async fn bind(port: u16) -> anyhow::Result<Sockets> {
    let v4 = TcpListener::bind((Ipv4Addr::LOCALHOST, port)).await.with_context(|| {
        format!("cannot listen on port {port} of this machine; another program may hold it: name another with --port, or 0 for any")
    })?;
    let port = v4.local_addr()?.port();
    let v6 = TcpListener::bind((Ipv6Addr::LOCALHOST, port)).await.ok();
    Ok(Sockets { port, v4, v6 })
}

/// Takes connections until the program ends.
pub(super) async fn accept(sockets: Sockets, site: Arc<Site>) -> anyhow::Result<()> {
    let router = Router::new().fallback(answer).with_state(site);
    let free = Arc::new(Semaphore::new(MOST_CONNECTIONS));
    loop {
        let Ok(permit) = Arc::clone(&free).acquire_owned().await else { return Ok(()) };
        let Some(stream) = next(&sockets).await else {
            tokio::time::sleep(PAUSE).await;
            continue;
        };
        let service = TowerToHyperService::new(router.clone());
        tokio::spawn(async move {
            let connection = hyper::server::conn::http1::Builder::new()
                .timer(TokioTimer::new())
                .header_read_timeout(HEAD_PATIENCE)
                .serve_connection(TokioIo::new(stream), service);
            // A connection that breaks off is the browser's affair.
            let _ = connection.await;
            drop(permit);
        });
    }
}

async fn next(sockets: &Sockets) -> Option<TcpStream> {
    let taken = match &sockets.v6 {
        Some(v6) => tokio::select! { taken = sockets.v4.accept() => taken, taken = v6.accept() => taken },
        None => sockets.v4.accept().await,
    };
    taken.ok().map(|(stream, _)| stream)
}
