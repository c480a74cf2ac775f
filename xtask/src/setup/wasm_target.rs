//! A compiler that makes wasm.
//!
//! Takes the machine as it is; gives cargo commands that build for wasm32-unknown-unknown: with rustup's target,
//! added where it is missing; where it cannot be downloaded, with Debian's Rust, which builds the standard library
//! from its sources. It says which. The page's core is built with a standard library of its own, made small, wherever
//! that library's sources can be had.

use std::path::{Path, PathBuf};
use std::process::Command;

use anyhow::{Context, Result, bail};

use crate::house::House;
use crate::sh;

/// The target of the page's core.
pub const TARGET: &str = "wasm32-unknown-unknown";
/// Set to `debian` to use Debian's Rust although rustup's target is there.
const CHOICE: &str = "GLAZEFALL_WASM_RUST";
const DEBIAN_PACKAGES: [&str; 3] = ["rustc-web", "cargo-web", "rust-web-src"];
/// The standard library built from its sources.
const BUILD_STD: &str = "-Zbuild-std=std,panic_abort";
/// Made for the page: small rather than fast where it has the choice, a panic that traps without a word (nobody could
/// read it: the page replaces a trapped instance), no text for what is only ever printed while debugging. And leave for
/// the core to say of its few hot functions that they are to be fast. Two numbers at a time, which learning works with.
/// Half a megabyte of stack, of which all that the page asks uses 15 KB: behind it the data's addresses are a byte shorter
/// than behind the usual whole one.
const FOR_THE_PAGE: [&str; 2] = [
    "-Zbuild-std-features=optimize_for_size",
    "--config=target.wasm32-unknown-unknown.rustflags=['-Cpanic=immediate-abort', '-Zunstable-options', \
     '-Zlocation-detail=none', '-Zfmt-debug=none', '--cfg=fast_by_function', '-Ctarget-feature=+simd128', \
     '-Clink-arg=-zstack-size=524288']",
];

/// How wasm is compiled on this machine.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum WasmRust {
    /// rustup's (or any other) Rust that has the target's standard library.
    Ready,
    /// Debian's Rust with the standard library built from source.
    Debian {
        /// The linker, `wasm-ld` of some version.
        linker: PathBuf,
    },
}

impl WasmRust {
    /// Finds a way, installing what may be installed.
    pub fn set_up(house: &House) -> Result<Self> {
        let forced = std::env::var(CHOICE).is_ok_and(|choice| choice == "debian");
        if !forced {
            if has_target(&house.root)? {
                return Ok(Self::Ready);
            }
            println!("rustup target add {TARGET}: the standard library for the page's core");
            match sh::run(
                Command::new("rustup")
                    .args(["target", "add", TARGET])
                    .current_dir(&house.root),
            ) {
                Ok(()) => return Ok(Self::Ready),
                Err(error) => println!("The wasm target could not be added: {error:#}."),
            }
        }
        Self::debian()
    }

    fn debian() -> Result<Self> {
        println!(
            "Instead, Debian's Rust compiles the core and builds the standard library from its own sources."
        );
        if !debian_is_there() {
            install_debian()?;
        }
        let linker = wasm_linker().context(
            "no wasm-ld was found after installing lld: install Debian's newest `lld-…` package",
        )?;
        Ok(Self::Debian { linker })
    }

    /// A cargo command for the target, in the top folder: `arguments` such as `["build", "--release"]`.
    pub fn cargo(&self, house: &House, arguments: &[&str]) -> Command {
        match self {
            Self::Ready => {
                let mut command = sh::cargo(&house.root);
                command.args(arguments).args(["--target", TARGET]);
                command
            }
            Self::Debian { linker } => {
                let mut command = Command::new("/usr/bin/cargo");
                command
                    .current_dir(&house.root)
                    .args(arguments)
                    .args(["--target", TARGET, BUILD_STD])
                    // Debian's compiler is a stable one; building std from source is an unstable option of it.
                    .env("RUSTC_BOOTSTRAP", "1")
                    .env("RUSTC", "/usr/bin/rustc")
                    .env("CARGO_TARGET_WASM32_UNKNOWN_UNKNOWN_LINKER", linker)
                    // Another compiler's output must not be mixed with rustup's.
                    .env("CARGO_TARGET_DIR", self.target(house))
                    .env_remove("RUSTUP_TOOLCHAIN");
                command
            }
        }
    }

    /// A cargo command that builds for the page: as [`Self::cargo`], with the standard library made small where its
    /// sources can be had.
    pub fn cargo_for_page(&self, house: &House, arguments: &[&str]) -> Command {
        let mut command = self.cargo(house, arguments);
        match self {
            Self::Ready if has_sources(house) => {
                // Building std from source is an unstable option of a stable compiler.
                command.arg(BUILD_STD).env("RUSTC_BOOTSTRAP", "1");
            }
            Self::Ready => return command,
            Self::Debian { .. } => {}
        }
        command.args(FOR_THE_PAGE);
        command
    }

    /// The folder that [`Self::cargo`] builds into.
    pub fn target(&self, house: &House) -> PathBuf {
        match self {
            Self::Ready => house.target(),
            Self::Debian { .. } => house.target().join("debian"),
        }
    }
}

/// Whether the Rust in use has the target's standard library.
fn has_target(root: &Path) -> Result<bool> {
    let folder = sh::output(
        rustc()
            .args(["--print", "target-libdir", "--target", TARGET])
            .current_dir(root),
    )?;
    Ok(std::fs::read_dir(folder.trim()).is_ok_and(|mut files| {
        files.any(|file| {
            file.is_ok_and(|file| file.file_name().to_string_lossy().starts_with("libstd-"))
        })
    }))
}

/// Whether the sources of the standard library of the Rust in use are there, fetched where they can be.
fn has_sources(house: &House) -> bool {
    if std_sources(rustc().current_dir(&house.root)).is_some() {
        return true;
    }
    println!(
        "rustup component add rust-src: the standard library's sources, to make it small for the page"
    );
    let added = sh::run(
        Command::new("rustup")
            .args(["component", "add", "rust-src"])
            .current_dir(&house.root),
    );
    if let Err(error) = added {
        println!(
            "They could not be added ({error:#}), so the page's core is built with the ready-made standard library \
             and is some 70 KB larger."
        );
        return false;
    }
    std_sources(rustc().current_dir(&house.root)).is_some()
}

fn rustc() -> Command {
    Command::new(std::env::var_os("RUSTC").unwrap_or_else(|| "rustc".into()))
}

fn debian_is_there() -> bool {
    Path::new("/usr/bin/rustc").is_file()
        && Path::new("/usr/bin/cargo").is_file()
        && std_sources(&mut Command::new("/usr/bin/rustc")).is_some()
        && wasm_linker().is_some()
}

fn install_debian() -> Result<()> {
    if sh::find_in_path(&["apt-get"]).is_none() {
        bail!(
            "neither rustup's target {TARGET} nor Debian's packages can be had here: \
             connect to a network and run `rustup target add {TARGET}`"
        );
    }
    // The names on offer are known only after an update.
    sh::run(Command::new("apt-get").args(["update", "--quiet"]))?;
    let names =
        sh::output(Command::new("apt-cache").args(["search", "--names-only", "^lld-[0-9]+$"]))?;
    let lld = newest_lld(&names);
    let packages = [DEBIAN_PACKAGES.as_slice(), &[&lld]].concat();
    println!("Installing {} with apt-get", packages.join(", "));
    sh::apt_install(&packages)
}

/// The newest of the versioned linkers that Debian offers: the plain `lld` is older than its newest Rust.
fn newest_lld(apt_names: &str) -> String {
    apt_names
        .lines()
        .filter_map(|line| {
            line.split_whitespace()
                .next()?
                .strip_prefix("lld-")?
                .parse::<u32>()
                .ok()
        })
        .max()
        .map_or_else(|| "lld".to_string(), |version| format!("lld-{version}"))
}

/// A compiler's copy of the standard library's sources.
fn std_sources(rustc: &mut Command) -> Option<PathBuf> {
    let sysroot = sh::output(rustc.args(["--print", "sysroot"])).ok()?;
    let sources = Path::new(sysroot.trim()).join("lib/rustlib/src/rust/library/std");
    sources.is_dir().then_some(sources)
}

/// `wasm-ld`, with or without a version in its name; the newest.
fn wasm_linker() -> Option<PathBuf> {
    let versioned: Vec<String> = (14..40)
        .rev()
        .map(|version| format!("wasm-ld-{version}"))
        .collect();
    let mut names: Vec<&str> = versioned.iter().map(String::as_str).collect();
    names.push("wasm-ld");
    sh::find_in_path(&names)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_newest_linker_is_asked_for() {
        assert_eq!(
            newest_lld("lld-14 - LLVM-based linker\nlld-22 - LLVM-based linker\nlld-19 - x\n"),
            "lld-22"
        );
        assert_eq!(newest_lld(""), "lld");
    }

    #[test]
    fn debians_rust_builds_apart_and_with_its_own_compiler() {
        let house = House {
            root: "/house".into(),
        };
        let rust = WasmRust::Debian {
            linker: "/usr/bin/wasm-ld-22".into(),
        };
        let command = rust.cargo(&house, &["build", "--release"]);
        let words: Vec<_> = command
            .get_args()
            .map(|word| word.to_string_lossy().into_owned())
            .collect();
        assert_eq!(
            words,
            [
                "build",
                "--release",
                "--target",
                TARGET,
                "-Zbuild-std=std,panic_abort"
            ]
        );
        let folder = command
            .get_envs()
            .find(|(name, _)| *name == "CARGO_TARGET_DIR")
            .and_then(|(_, value)| value);
        assert_ne!(
            folder.map(PathBuf::from),
            Some(WasmRust::Ready.target(&house))
        );
    }

    #[test]
    fn the_page_gets_a_small_standard_library_and_the_tests_do_not() {
        let house = House {
            root: "/house".into(),
        };
        let rust = WasmRust::Debian {
            linker: "/usr/bin/wasm-ld-22".into(),
        };
        let for_page = rust.cargo_for_page(&house, &["build"]);
        let for_tests = rust.cargo(&house, &["test"]);
        let says = |command: &Command, word: &str| {
            command
                .get_args()
                .any(|said| said.to_string_lossy().contains(word))
        };
        for word in ["optimize_for_size", "immediate-abort"] {
            assert!(says(&for_page, word) && !says(&for_tests, word), "{word}");
        }
    }
}
