//! The finished static folder: the core as WebAssembly, its glue and tables, and everything in `www/page`.

use crate::gather::gather;
use crate::join::join_all;
use crate::order::reordered;
use crate::seal::{WORKER, files, seal};
use crate::shrink::shrink;
use crate::silent::silent;
use crate::{Trouble, cargo, licences, target, workspace};
use donorack::{LONGEST_NAME, LONGEST_NOTE, MOST_RACKS, field_rows, result_rows};
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::sync::atomic::{AtomicUsize, Ordering};

/// The longest link that the page hands on, in characters: what pages read that were installed before longer ones were.
const SENT_LINK: usize = 200_000;

/// The target that browsers run.
pub const WASM: &str = "wasm32-unknown-unknown";

/// Writes the whole page into `dir`, which may be served under any path. A build that fails leaves `dir` as it was.
///
/// Files that an earlier build left in `dir` and that no longer belong to the page stay there.
pub fn build(dir: &Path) -> Result<(), Trouble> {
    let fresh = Fresh::beside(&target().join("build"))?;
    make(&fresh.0)?;
    fs::create_dir_all(dir).map_err(|e| format!("{} cannot be made: {e}", dir.display()))?;
    copy(&fresh.0, dir)
}

/// Makes the page in an empty folder.
fn make(dir: &Path) -> Result<(), Trouble> {
    need_target()?;
    let (wasm, crates) = compile()?;
    let page = workspace().join("www/page");
    // By way of a folder of its own, to know what the glue is.
    let glued = Fresh::beside(&target().join("glue"))?;
    let made = &glued.0;
    let mut glue = wasm_bindgen_cli_support::Bindgen::new();
    glue.input_bytes("donorack", silent(&fs::read(&wasm)?)?).out_name("donorack").web(true)?;
    glue.omit_default_module_path(false).typescript(false).remove_name_section(true).remove_producers_section(true);
    glue.generate(made)?;
    let module = made.join("donorack_bg.wasm");
    fs::write(&module, reordered(&fs::read(&module)?)?)?;
    fs::write(made.join("tables.js"), tables()?)?;
    let mut names = files(&page)?;
    names.extend(files(made)?);
    copy(&page, dir)?;
    copy(made, dir)?;
    // The core stays apart: it calls its glue by its own address, and shares its tables with the page.
    join_all(dir, "start.js", &["core.js", "tables.js"], &mut names)?;
    let mut names = gather(dir, &names, &[WORKER])?;
    fs::write(dir.join(licences::NAME), licences::text(&crates)?)?;
    names.insert(licences::NAME.to_owned());
    // The worker is sealed by its own words, so they stay as they are.
    shrink(dir, names.iter().filter(|name| *name != WORKER))?;
    seal(dir, &names)?;
    Ok(())
}

/// The tables of measurements and results, and the most that a plan may hold, as a script: what is the same for every plan need not be
/// asked of the core.
fn tables() -> Result<String, Trouble> {
    let [fields, results] = [serde_json::to_string(&field_rows())?, serde_json::to_string(&result_rows())?];
    let most = format!("{{ racks: {MOST_RACKS}, name: {LONGEST_NAME}, note: {LONGEST_NOTE}, link: {SENT_LINK} }}");
    Ok(format!("export const fields = {fields};\nexport const results = {results};\nexport const most = {most};\n"))
}

/// Builds the page in a folder of our own, `target/NAME`, with nothing left from before, and tells where that is.
///
/// Whoever serves that folder meanwhile goes on with the page that is there until the new one is whole.
pub fn rebuild(name: &str) -> Result<PathBuf, Trouble> {
    let dir = target().join(name);
    let fresh = Fresh::beside(&dir)?;
    make(&fresh.0)?;
    put(&fresh.0, &dir)?;
    Ok(dir)
}

/// Puts the folder `fresh` in the place of `dir`, in one step where the system has one for that; what was there before is removed.
pub fn put(fresh: &Path, dir: &Path) -> Result<(), Trouble> {
    if exchange(fresh, dir) {
        return Ok(fs::remove_dir_all(fresh)?);
    }
    let before = Fresh::beside(dir)?;
    // Between these two nothing is there; whoever comes in between with a folder of the same name is moved away too.
    for _ in 0..9 {
        match fs::rename(dir, before.0.join("before")) {
            Err(e) if e.kind() != std::io::ErrorKind::NotFound => return Err(format!("{} cannot be replaced: {e}", dir.display()).into()),
            _ if fs::rename(fresh, dir).is_ok() => return Ok(()),
            _ => fs::remove_dir_all(before.0.join("before")).unwrap_or_default(),
        }
    }
    Err(format!("{} cannot be replaced: something else writes there", dir.display()).into())
}

/// Exchanges two folders in one step; whether that was done.
#[cfg(target_os = "linux")]
fn exchange(a: &Path, b: &Path) -> bool {
    use rustix::fs::{CWD, RenameFlags, renameat_with};
    renameat_with(CWD, a, CWD, b, RenameFlags::EXCHANGE).is_ok()
}

/// Exchanges two folders in one step; whether that was done.
#[cfg(not(target_os = "linux"))]
fn exchange(_: &Path, _: &Path) -> bool {
    false
}

/// An empty folder that nobody else has, gone when this is dropped.
struct Fresh(PathBuf);

impl Fresh {
    /// Next to `dir`, so that it can be renamed to that.
    fn beside(dir: &Path) -> Result<Fresh, Trouble> {
        static COUNT: AtomicUsize = AtomicUsize::new(0);
        let name = format!("new-{}-{}", std::process::id(), COUNT.fetch_add(1, Ordering::Relaxed));
        let own = dir.with_extension(name);
        // Left by a program of the same number that was ended.
        if own.exists() {
            fs::remove_dir_all(&own)?;
        }
        fs::create_dir_all(&own).map_err(|e| format!("{} cannot be made: {e}", own.display()))?;
        Ok(Fresh(own))
    }
}

impl Drop for Fresh {
    fn drop(&mut self) {
        // Where it was put into its place there is nothing left to remove.
        let _ = fs::remove_dir_all(&self.0);
    }
}

/// Adds the WebAssembly target to the Rust toolchain when it is not there.
pub fn need_target() -> Result<(), Trouble> {
    let line = format!("rustup target add {WASM}");
    let sysroot = Command::new("rustc").args(["--print", "sysroot"]).current_dir(workspace()).output();
    let library = sysroot.ok().map(|out| PathBuf::from(String::from_utf8_lossy(&out.stdout).trim()).join("lib/rustlib").join(WASM));
    if library.is_some_and(|dir| dir.is_dir()) {
        return Ok(());
    }
    eprintln!("{line}");
    match Command::new("rustup").args(["target", "add", WASM]).current_dir(workspace()).status() {
        Ok(status) if status.success() => Ok(()),
        _ => Err(format!("the Rust target for WebAssembly is missing and could not be added; run: {line}").into()),
    }
}

/// Compiles the core and tells where the result lies, and which packages are in it.
fn compile() -> Result<(PathBuf, Vec<String>), Trouble> {
    // A folder of its own: neither waits for a native build nor makes one stale.
    let out = target().join("page");
    let mut child = cargo();
    child.args(["build", "--package", "donorack", "--lib", "--target", WASM, "--profile", "wasm", "--locked"]);
    child.arg("--message-format=json-render-diagnostics");
    child.arg("--target-dir").arg(&out).env("CARGO_ENCODED_RUSTFLAGS", flags().join("\x1f"));
    let said = child.stderr(Stdio::inherit()).output()?;
    if !said.status.success() {
        return Err("the core did not compile for WebAssembly".into());
    }
    Ok((out.join(WASM).join("wasm/donorack.wasm"), licences::compiled(&String::from_utf8_lossy(&said.stdout), WASM)))
}

/// What the compiler is told beside the profile.
///
/// Inlining with restraint: a threshold of 30 weighed 5 kB more (`gzip -9`) for a tenth less time an evaluation, 0 weighed more as well. The remaps keep the folders of whoever builds out of panic messages.
fn flags() -> Vec<String> {
    let variable = |name| std::env::var(name).ok().filter(|value| !value.is_empty());
    let home = variable("HOME");
    let crates = variable("CARGO_HOME").or_else(|| home.as_ref().map(|home| format!("{home}/.cargo")));
    // The last that fits wins.
    let pairs = [(home, "home"), (crates, "cargo"), (Some(workspace().display().to_string()), "donorack")];
    let remaps = pairs.into_iter().filter_map(|(from, to)| from.map(|from| format!("--remap-path-prefix={from}=/{to}")));
    std::iter::once("-Cllvm-args=-inline-threshold=5".to_owned()).chain(remaps).collect()
}

/// Copies a folder with all that is in it; files of the same name there are replaced.
pub fn copy(from: &Path, to: &Path) -> Result<(), Trouble> {
    fs::create_dir_all(to)?;
    for entry in fs::read_dir(from).map_err(|e| format!("{} cannot be read: {e}", from.display()))? {
        let entry = entry?;
        let goal = to.join(entry.file_name());
        if entry.file_type()?.is_dir() {
            copy(&entry.path(), &goal)?;
        } else {
            fs::copy(entry.path(), goal)?;
        }
    }
    Ok(())
}
