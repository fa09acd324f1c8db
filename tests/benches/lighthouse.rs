//! Lighthouse's score for speed, on its slow phone over its slow network: the median of five.
//!
//! `cargo bench -p donorack-tests --features browser --bench lighthouse`. Lighthouse works the slow phone out from a fast load, and a
//! busy machine spoils that; so this is no test.

use donorack_tests::browser::site;
use donorack_tests::lighthouse::Report;
use donorack_tests::samples::Samples;
use donorack_www::Server;

const RUNS: usize = 5;
const PERFORMANCE: &str = "performance";

fn main() {
    let server = Server::local(site()).expect("a free port");
    let reports: Vec<Report> = (0..RUNS).map(|_| Report::of(&server.url(), &[PERFORMANCE])).collect();
    let mut scores: Vec<u64> = reports.iter().map(|report| report.score(PERFORMANCE)).collect();
    scores.sort_unstable();
    println!("Lighthouse, performance on its phone: median {} of {scores:?}", scores[RUNS / 2]);
    for audit in ["first-contentful-paint", "largest-contentful-paint", "total-blocking-time", "speed-index"] {
        reports.iter().map(|report| report.figure(audit)).collect::<Samples>().say(audit);
    }
    let mut shifts: Vec<f64> = reports.iter().map(|report| report.figure("cumulative-layout-shift")).collect();
    shifts.sort_by(f64::total_cmp);
    println!("cumulative-layout-shift: median {:.3}", shifts[RUNS / 2]);
    for line in reports[0].failing(PERFORMANCE) {
        println!("not full: {line}");
    }
}
