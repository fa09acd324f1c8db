//! A build's seal: which files belong together, written into the service worker and the page.

use crate::{Trouble, licences};
use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use sha2::{Digest, Sha256};
use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

/// The service worker, which the build tells what belongs to it.
pub const WORKER: &str = "sw.js";
/// The page, which the build tells its name.
const PAGE: &str = "index.html";

/// The names of all files below `dir`, with `/` between folders.
pub fn files(dir: &Path) -> Result<BTreeSet<String>, Trouble> {
    let mut names = BTreeSet::new();
    for entry in fs::read_dir(dir).map_err(|e| format!("{} cannot be read: {e}", dir.display()))? {
        let entry = entry?;
        let name = entry.file_name().into_string().map_err(|name| format!("{} is no name for a web address", name.display()))?;
        if entry.file_type()?.is_dir() {
            names.extend(files(&entry.path())?.into_iter().map(|below| format!("{name}/{below}")));
        } else {
            names.insert(name);
        }
    }
    Ok(names)
}

/// Writes into the worker of `dir` which of its files are one build, each with its hash, and the build's name into worker and page.
///
/// The name follows from the contents: the same files have the same name wherever they were built, and sealing again changes nothing.
/// The hashes are those of Subresource Integrity (W3C, SHA-256): a browser refuses a file of another build.
pub fn seal(dir: &Path, names: &BTreeSet<String>) -> Result<String, Trouble> {
    let read = |name: &str| fs::read(dir.join(name)).map_err(|e| format!("{name} cannot be read: {e}"));
    let text = |name: &str| read(name).and_then(|bytes| String::from_utf8(bytes).map_err(|_| format!("{name} is not UTF-8")));
    let page = with(&text(PAGE)?, "data-build=\"", "\"", "")?;
    let worker = with(&with(&text(WORKER)?, "const BUILD = \"", "\"", "")?, "const FILES = [", "];", "")?;
    let mut all = Sha256::new();
    for name in names {
        let bytes = match name.as_str() {
            PAGE => page.clone().into_bytes(),
            WORKER => worker.clone().into_bytes(),
            _ => read(name)?,
        };
        all.update(format!("{name} {}\n", bytes.len()));
        all.update(bytes);
    }
    let build: String = all.finalize().iter().take(6).map(|byte| format!("{byte:02x}")).collect();
    fs::write(dir.join(PAGE), with(&page, "data-build=\"", "\"", &build)?)?;
    let mut list = String::new();
    // The system asks for the icons' pixels when it installs the page, and a person may for the licences; the page itself never does, and a
    // first visit need not pay for them.
    for name in names.iter().filter(|name| ![WORKER, licences::NAME].contains(&name.as_str()) && !name.ends_with(".png")) {
        // The page is asked for by its folder: some hosts send its own name elsewhere.
        let address = if name == PAGE { "./" } else { name };
        list += &format!("\n  [\"{address}\", \"sha256-{}\"],", STANDARD.encode(Sha256::digest(read(name)?)));
    }
    list.push('\n');
    let worker = with(&with(&worker, "const BUILD = \"", "\"", &build)?, "const FILES = [", "];", &list)?;
    fs::write(dir.join(WORKER), worker)?;
    Ok(build)
}

/// `text` with `new` in place of what stands between the first `from` and the `to` after it.
fn with(text: &str, from: &str, to: &str, new: &str) -> Result<String, Trouble> {
    let missing = || format!("nowhere to write the build: no {from}…{to}");
    let start = text.find(from).ok_or_else(missing)? + from.len();
    let end = start + text[start..].find(to).ok_or_else(missing)?;
    Ok(format!("{}{new}{}", &text[..start], &text[end..]))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test fails by panicking")]
    use super::{files, seal};
    use std::fs;

    #[test]
    fn a_seal_follows_the_contents() {
        let dir = std::env::temp_dir().join(format!("donorack-seal-{}", std::process::id()));
        fs::create_dir_all(dir.join("deep")).unwrap();
        fs::write(dir.join("index.html"), "<html data-build=\"\">").unwrap();
        fs::write(dir.join("sw.js"), "const BUILD = \"\";\nconst FILES = [];\n").unwrap();
        fs::write(dir.join("deep/a.js"), "abc").unwrap();
        let names = files(&dir).unwrap();
        assert_eq!(names.iter().collect::<Vec<_>>(), ["deep/a.js", "index.html", "sw.js"]);
        let first = seal(&dir, &names).unwrap();
        assert_eq!(fs::read_to_string(dir.join("index.html")).unwrap(), format!("<html data-build=\"{first}\">"));
        let worker = fs::read_to_string(dir.join("sw.js")).unwrap();
        // FIPS 180-4's example "abc", SHA-256 = ba7816bf 8f01cfea … f20015ad, in base64.
        assert!(worker.contains("[\"deep/a.js\", \"sha256-ungWv48Bz+pBQUDeXa4iI7ADYaOWF3qctBD/YfIAFa0=\"],"), "{worker}");
        assert!(worker.contains("[\"./\", \"sha256-") && !worker.contains("\"sw.js\""), "{worker}");
        assert_eq!(seal(&dir, &names).unwrap(), first, "again");
        assert_eq!(fs::read_to_string(dir.join("sw.js")).unwrap(), worker, "again");
        fs::write(dir.join("deep/a.js"), "abd").unwrap();
        assert_ne!(seal(&dir, &names).unwrap(), first, "another file");
        fs::write(dir.join("sw.js"), "no place for it").unwrap();
        assert!(seal(&dir, &names).unwrap_err().to_string().contains("const BUILD"));
        fs::remove_dir_all(&dir).unwrap();
    }
}
