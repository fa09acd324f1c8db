//! Lighthouse's marks for accessibility and best practices: full ones, on its phone. How fast the page is, a bench reports.

use donorack_tests::browser::site;
use donorack_tests::lighthouse::Report;
use donorack_www::seal::{files, seal};
use donorack_www::{Server, site::copy};

const CATEGORIES: [&str; 2] = ["accessibility", "best-practices"];

#[test]
fn full_marks() {
    let server = Server::local(site()).unwrap();
    // What a first visit shows, and a part with pictures.
    let mut reports = Vec::new();
    for part in ["", "#turning"] {
        let report = Report::of(&format!("{}{part}", server.url()), &CATEGORIES);
        for category in CATEGORIES {
            assert_eq!(report.score(category), 100, "{category}:\n{}", report.failing(category).join("\n"));
        }
        reports.push(report);
    }
    // It judged the page itself, with its tables, fields and pictures, and not a word that it loads.
    let judged: Vec<&str> = reports.iter().flat_map(|report| report.judged("accessibility")).collect();
    let report = &reports[0];
    for audit in ["color-contrast", "label", "button-name", "svg-img-alt", "target-size"] {
        assert!(judged.contains(&audit), "{audit} found nothing to judge: {judged:?}");
    }
    assert!(report.judged("best-practices").contains(&"errors-in-console"));
}

/// Full marks can be missed: a picture without words, and a script that is not there.
#[test]
fn planted_faults_cost_marks() {
    let dir = donorack_www::target().join("lighthouse-planted");
    if dir.exists() {
        std::fs::remove_dir_all(&dir).unwrap();
    }
    copy(site(), &dir).unwrap();
    let page = std::fs::read_to_string(dir.join("index.html")).unwrap();
    let planted = page.replacen("<footer", "<img src=\"icon.svg\" width=\"40\" height=\"40\"><script src=\"none.js\"></script><footer", 1);
    assert_ne!(planted, page);
    std::fs::write(dir.join("index.html"), planted).unwrap();
    // Sealed again, or the worker would miss a file of its build as well.
    seal(&dir, &files(&dir).unwrap()).unwrap();
    let server = Server::local(&dir).unwrap();
    let report = Report::of(&server.url(), &CATEGORIES);
    for (category, audit) in CATEGORIES.into_iter().zip(["image-alt: ", "errors-in-console: "]) {
        let failing = report.failing(category);
        assert!(report.score(category) < 100, "{category}: {failing:?}");
        assert!(failing.len() == 1 && failing[0].starts_with(audit), "{category}: {failing:?}");
    }
}
