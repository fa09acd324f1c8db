//! Lighthouse's score for speed, on its slow phone over its slow network: medians of five, as this server sends the files and compressed,
//! as most hosts do.
//!
//! `cargo bench -p donorack-tests --features browser --bench lighthouse`. Lighthouse works the slow phone out from a fast load, and a
//! busy machine spoils that; so this is no test.

use donorack_tests::browser::site;
use donorack_tests::lighthouse::Report;
use donorack_tests::samples::Samples;
use donorack_www::seal::files;
use donorack_www::site::copy;
use donorack_www::{Server, Trouble, target};
use flate2::{Compression, write::GzEncoder};
use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};

const RUNS: usize = 5;
const PERFORMANCE: &str = "performance";

/// A copy of the page with every file compressed beside it.
fn compressed() -> Result<PathBuf, Trouble> {
    let dir = target().join("lighthouse-compressed");
    if dir.exists() {
        fs::remove_dir_all(&dir)?;
    }
    copy(site(), &dir)?;
    for name in files(site())? {
        let mut gzip = GzEncoder::new(Vec::new(), Compression::best());
        gzip.write_all(&fs::read(dir.join(&name))?)?;
        fs::write(dir.join(format!("{name}.gz")), gzip.finish()?)?;
    }
    Ok(dir)
}

fn measure(what: &str, dir: &Path) -> Result<(), Trouble> {
    let server = Server::local(dir)?;
    let reports: Vec<Report> = (0..RUNS).map(|_| Report::of(&server.url(), &[PERFORMANCE])).collect();
    let mut scores: Vec<u64> = reports.iter().map(|report| report.score(PERFORMANCE)).collect();
    scores.sort_unstable();
    let figures = |audit: &str| reports.iter().map(|report| report.figure(audit)).collect::<Samples>();
    let sent = figures("total-byte-weight").median() / 1000.0;
    println!("Lighthouse, performance on its phone, {what} ({sent:.0} kB sent): median {} of {scores:?}", scores[RUNS / 2]);
    for audit in ["first-contentful-paint", "largest-contentful-paint", "total-blocking-time", "speed-index"] {
        figures(audit).say(audit);
    }
    println!("cumulative-layout-shift {:.3}", figures("cumulative-layout-shift").median());
    Ok(())
}

fn main() -> Result<(), Trouble> {
    measure("as it is", site())?;
    measure("compressed", &compressed()?)
}
