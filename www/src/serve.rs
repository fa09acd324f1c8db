//! A small static server: right types, nothing cached.

use crate::Trouble;
use axum::Router;
use axum::extract::Request;
use axum::http::{HeaderValue, header};
use axum::middleware::{Next, from_fn};
use std::collections::BTreeSet;
use std::net::{IpAddr, SocketAddr, TcpListener, UdpSocket};
use std::path::Path;
use std::sync::{Arc, Mutex, PoisonError};
use tower_http::services::ServeDir;
use tower_http::set_header::SetResponseHeaderLayer;

/// The port asked for first.
pub const PORT: u16 = 8420;

/// A folder being served. Dropping it ends that.
pub struct Server {
    address: SocketAddr,
    served: Arc<Mutex<BTreeSet<String>>>,
    runtime: Option<tokio::runtime::Runtime>,
}

impl Server {
    /// Serves `dir` on a socket that already listens. A file that also lies there with `.gz` at the end of its name goes out compressed.
    pub fn start(listener: TcpListener, dir: &Path) -> Result<Server, Trouble> {
        let address = listener.local_addr()?;
        let fresh = SetResponseHeaderLayer::overriding(header::CACHE_CONTROL, HeaderValue::from_static("no-store"));
        let served = Arc::new(Mutex::new(BTreeSet::new()));
        let seen = Arc::clone(&served);
        let note = from_fn(move |request: Request, next: Next| {
            let seen = Arc::clone(&seen);
            async move {
                let path = request.uri().path().to_owned();
                let response = next.run(request).await;
                if response.status().is_success() {
                    seen.lock().unwrap_or_else(PoisonError::into_inner).insert(path);
                }
                response
            }
        });
        let pages = Router::new().fallback_service(ServeDir::new(dir).precompressed_gzip()).layer(fresh).layer(note);
        let runtime = tokio::runtime::Builder::new_multi_thread().worker_threads(1).enable_all().build()?;
        listener.set_nonblocking(true)?;
        let listener = {
            let _inside = runtime.enter();
            tokio::net::TcpListener::from_std(listener)?
        };
        runtime.spawn(async move { axum::serve(listener, pages).await });
        Ok(Server { address, served, runtime: Some(runtime) })
    }

    /// Serves `dir` on this machine alone, on a port that is free.
    pub fn local(dir: &Path) -> Result<Server, Trouble> {
        Server::start(TcpListener::bind(("127.0.0.1", 0))?, dir)
    }

    /// Where it listens.
    pub fn address(&self) -> SocketAddr {
        self.address
    }

    /// The paths that it has answered with a file so far.
    pub fn served(&self) -> BTreeSet<String> {
        self.served.lock().unwrap_or_else(PoisonError::into_inner).clone()
    }

    /// The address to open on this machine, ending in a slash.
    pub fn url(&self) -> String {
        let ip = if self.address.ip().is_unspecified() { IpAddr::from([127, 0, 0, 1]) } else { self.address.ip() };
        format!("http://{}/", SocketAddr::new(ip, self.address.port()))
    }
}

impl Drop for Server {
    fn drop(&mut self) {
        if let Some(runtime) = self.runtime.take() {
            runtime.shutdown_background();
        }
    }
}

/// Listens at `address`, a host with or without a port. Without one: 8420, or the next that is free.
pub fn listen(address: &str) -> Result<TcpListener, Trouble> {
    let host = address.trim_start_matches('[').trim_end_matches(']');
    if let Ok(exact) = address.parse::<SocketAddr>() {
        return TcpListener::bind(exact).map_err(|e| format!("cannot listen at {exact}: {e}").into());
    }
    if host.parse::<IpAddr>().is_err() && address.contains(':') {
        return TcpListener::bind(address).map_err(|e| format!("cannot listen at {address}: {e}").into());
    }
    let mut last = None;
    for port in PORT..PORT + 100 {
        match TcpListener::bind((host, port)) {
            Ok(listener) => return Ok(listener),
            Err(e) if e.kind() == std::io::ErrorKind::AddrInUse => last = Some(e),
            Err(e) => return Err(format!("cannot listen at {host}, port {port}: {e}").into()),
        }
    }
    Err(format!("no free port at {host}: {}", last.map_or(String::new(), |e| e.to_string())).into())
}

/// The addresses at which others on the same network reach `listening`.
///
/// Asks the system which of its own addresses it would use towards private networks and the reserved
/// 192.0.2.0/24 (RFC 5737). A datagram socket that is only connected sends nothing.
pub fn reachable(listening: SocketAddr) -> Vec<SocketAddr> {
    if !listening.ip().is_unspecified() {
        return vec![listening];
    }
    let mut found = Vec::new();
    for towards in ["192.0.2.1:9", "192.168.0.1:9", "192.168.1.1:9", "10.0.0.1:9", "172.16.0.1:9"] {
        let own = UdpSocket::bind("0.0.0.0:0").and_then(|socket| socket.connect(towards).and_then(|()| socket.local_addr()));
        if let Ok(own) = own.map(|own| SocketAddr::new(own.ip(), listening.port()))
            && !own.ip().is_unspecified()
            && !found.contains(&own)
        {
            found.push(own);
        }
    }
    found
}
