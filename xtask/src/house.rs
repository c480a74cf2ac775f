//! Where things lie in the project.
//!
//! Takes nothing but the place xtask was compiled at; gives every path that a chore needs, once.

use std::path::{Path, PathBuf};

use anyhow::{Context, Result};

/// The project's folders and files.
pub struct House {
    /// The top folder.
    pub root: PathBuf,
}

impl House {
    /// The house that this xtask belongs to: the folder above `xtask/`.
    pub fn find() -> Result<Self> {
        let root = Path::new(env!("CARGO_MANIFEST_DIR"))
            .parent()
            .context("xtask has no folder above it")?
            .to_path_buf();
        Ok(Self { root })
    }

    /// Cargo's output folder, as the environment or the default has it.
    pub fn target(&self) -> PathBuf {
        match std::env::var_os("CARGO_TARGET_DIR") {
            Some(folder) => self.root.join(folder),
            None => self.root.join("target"),
        }
    }

    /// The page's sources.
    pub fn www(&self) -> PathBuf {
        self.root.join("www")
    }

    /// The core as the page's sources import it: `glazefall.js`, `glazefall.d.ts`, `glazefall_bg.wasm`, all generated.
    pub fn core_for_page(&self) -> PathBuf {
        self.www().join("src/core")
    }

    /// What is served.
    pub fn site(&self) -> PathBuf {
        self.www().join("dist/site")
    }

    /// The one-file version.
    pub fn one_file(&self) -> PathBuf {
        self.www().join("dist/glazefall.html")
    }

    /// The browser tests.
    pub fn browser_tests(&self) -> PathBuf {
        self.root.join("tests/browser")
    }

    /// A program that npm installed, as an argument for node: `node_modules/<package>/<script>`.
    pub fn npm_script(&self, script: &str) -> PathBuf {
        self.www().join("node_modules").join(script)
    }
}

/// The version, which stands in the workspace's `Cargo.toml` only.
pub const VERSION: &str = env!("CARGO_PKG_VERSION");
