//! Builds the page (`site`, `gather`, `shrink`, `silent`, `licences`, `seal`), serves it (`serve`, `headers`), runs every test (`suite`) with what those need (`needs`).

pub mod gather;
pub mod headers;
pub mod join;
pub mod licences;
pub mod needs;
pub mod order;
pub mod seal;
pub mod serve;
pub mod shrink;
pub mod silent;
pub mod site;
pub mod suite;

pub use serve::Server;
pub use site::{build, rebuild};

use std::path::PathBuf;

/// What ends a command: one sentence for a person.
pub type Trouble = Box<dyn std::error::Error + Send + Sync>;

/// The workspace that this program was compiled in.
pub fn workspace() -> PathBuf {
    let package = PathBuf::from(env!("CARGO_MANIFEST_DIR"));
    package.parent().map_or(package.clone(), PathBuf::from)
}

/// Where cargo puts what it builds: `CARGO_TARGET_DIR`, else `target` in the workspace.
pub fn target() -> PathBuf {
    std::env::var_os("CARGO_TARGET_DIR").map_or_else(|| workspace().join("target"), |dir| workspace().join(dir))
}

/// The cargo that started this program, else the one on the path.
pub fn cargo() -> std::process::Command {
    let mut command = std::process::Command::new(std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into()));
    command.current_dir(workspace());
    command
}
