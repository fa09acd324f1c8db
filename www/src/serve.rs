//! A small static server: right types, nothing cached, nobody waited for without end.

use crate::{Trouble, headers};
use axum::Router;
use axum::extract::Request;
use axum::http::{HeaderMap, HeaderName, HeaderValue, header};
use axum::middleware::{Next, from_fn};
use hyper_util::rt::{TokioIo, TokioTimer};
use hyper_util::service::TowerToHyperService;
use std::collections::BTreeSet;
use std::net::{IpAddr, SocketAddr, TcpListener, UdpSocket};
use std::path::Path;
use std::sync::{Arc, Mutex, PoisonError};
use std::time::Duration;
use tokio_io_timeout::TimeoutStream;
use tower_http::services::ServeDir;

/// The port asked for first.
pub const PORT: u16 = 8420;

/// How long a connection may keep this server waiting.
#[derive(Clone, Copy, Debug)]
pub struct Patience {
    /// For the whole head of a request, from when the connection is open or the answer before it was sent.
    pub request: Duration,
    /// For the next bytes of an answer to be taken.
    pub stall: Duration,
    /// For everything that goes over one connection.
    pub whole: Duration,
}

impl Default for Patience {
    /// Long enough for the whole page over a line of 1 kB a second.
    fn default() -> Patience {
        Patience { request: Duration::from_secs(15), stall: Duration::from_secs(30), whole: Duration::from_secs(600) }
    }
}

/// A folder being served. Dropping it ends that.
pub struct Server {
    address: SocketAddr,
    served: Arc<Mutex<BTreeSet<String>>>,
    runtime: Option<tokio::runtime::Runtime>,
}

impl Server {
    /// Serves `dir` on a socket that already listens. A file that also lies there with `.gz` at the end of its name goes out compressed.
    pub fn start(listener: TcpListener, dir: &Path) -> Result<Server, Trouble> {
        Server::with(listener, dir, Patience::default())
    }

    /// The same with another patience.
    pub fn with(listener: TcpListener, dir: &Path, patience: Patience) -> Result<Server, Trouble> {
        let address = listener.local_addr()?;
        let policy = HeaderValue::from_str(&headers::policy())?;
        let served = Arc::new(Mutex::new(BTreeSet::new()));
        let seen = Arc::clone(&served);
        let note = from_fn(move |request: Request, next: Next| {
            let (seen, policy) = (Arc::clone(&seen), policy.clone());
            async move {
                let path = request.uri().path().to_owned();
                let mut response = next.run(request).await;
                protect(response.headers_mut(), policy);
                if response.status().is_success() {
                    seen.lock().unwrap_or_else(PoisonError::into_inner).insert(path);
                }
                response
            }
        });
        let pages = Router::new().fallback_service(ServeDir::new(dir).precompressed_gzip()).layer(note);
        let runtime = tokio::runtime::Builder::new_multi_thread().worker_threads(1).enable_all().build()?;
        listener.set_nonblocking(true)?;
        let listener = {
            let _inside = runtime.enter();
            tokio::net::TcpListener::from_std(listener)?
        };
        runtime.spawn(answer(listener, pages, patience));
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

/// Nothing is kept by whoever stands between; and what protects the reader. The content policy is for documents alone: a script that is
/// opened as if it were a page has none, and can hold the page in a frame.
fn protect(headers: &mut HeaderMap, policy: HeaderValue) {
    headers.insert(header::CACHE_CONTROL, HeaderValue::from_static("no-store"));
    for (name, value) in headers::ALWAYS {
        if let Ok(name) = HeaderName::from_bytes(name.as_bytes()) {
            headers.insert(name, HeaderValue::from_static(value));
        }
    }
    if headers.get(header::CONTENT_TYPE).is_some_and(|kind| kind.as_bytes().starts_with(b"text/html")) {
        headers.insert(header::CONTENT_SECURITY_POLICY, policy);
    }
}

/// Answers whoever connects, each only as long as `patience` allows.
async fn answer(listener: tokio::net::TcpListener, pages: Router, patience: Patience) {
    loop {
        let Ok((stream, _)) = listener.accept().await else {
            // The system has no room for another connection: those that are there end in time.
            tokio::time::sleep(Duration::from_millis(100)).await;
            continue;
        };
        let service = TowerToHyperService::new(pages.clone());
        tokio::spawn(async move {
            let mut stream = TimeoutStream::new(stream);
            stream.set_write_timeout(Some(patience.stall));
            let mut http = hyper::server::conn::http1::Builder::new();
            http.timer(TokioTimer::new()).header_read_timeout(patience.request);
            let connection = http.serve_connection(TokioIo::new(Box::pin(stream)), service);
            // Whoever goes away in the middle is nobody's trouble.
            let _ = tokio::time::timeout(patience.whole, connection).await;
        });
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
