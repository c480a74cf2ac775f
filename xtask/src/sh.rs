//! Running other programs.
//!
//! Takes a command; gives its success or its output, and an error that says which command failed and how.

use std::ffi::OsStr;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use anyhow::{Context, Result, bail};

/// Runs a command with its output shown; an error unless it ends with status 0.
pub fn run(command: &mut Command) -> Result<()> {
    let status = command
        .status()
        .with_context(|| format!("`{}` could not be started", shown(command)))?;
    if !status.success() {
        bail!("`{}` failed ({status})", shown(command));
    }
    Ok(())
}

/// Runs a command and gives what it printed; an error with its words unless it ends with status 0.
pub fn output(command: &mut Command) -> Result<String> {
    let output = command
        .stdin(Stdio::null())
        .output()
        .with_context(|| format!("`{}` could not be started", shown(command)))?;
    if !output.status.success() {
        bail!(
            "`{}` failed ({})\n{}",
            shown(command),
            output.status,
            String::from_utf8_lossy(&output.stderr).trim()
        );
    }
    Ok(String::from_utf8_lossy(&output.stdout).into_owned())
}

/// The first of `names` that stands in `PATH` as a file.
pub fn find_in_path(names: &[&str]) -> Option<PathBuf> {
    find_in(names, &std::env::var_os("PATH")?)
}

/// The first of `names` that stands in one of the folders of `path` as a file.
pub fn find_in(names: &[&str], path: &OsStr) -> Option<PathBuf> {
    let suffix = std::env::consts::EXE_SUFFIX;
    let folders: Vec<PathBuf> = std::env::split_paths(path).collect();
    names
        .iter()
        .flat_map(|name| {
            folders
                .iter()
                .map(move |folder| folder.join(format!("{name}{suffix}")))
        })
        .find(|file| file.is_file())
}

/// The cargo that started xtask, in the top folder.
pub fn cargo(root: &Path) -> Command {
    let mut command = Command::new(std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into()));
    command.current_dir(root);
    // A chore's cargo is told its target by arguments; what `cargo run` set for xtask itself is not meant for it.
    for name in [
        "CARGO_MANIFEST_DIR",
        "CARGO_MANIFEST_PATH",
        "CARGO_PKG_NAME",
        "CARGO_PKG_VERSION",
    ] {
        command.env_remove(name);
    }
    command
}

/// Installs Debian packages; the lists are fetched first, since a new machine has none.
pub fn apt_install(packages: &[&str]) -> Result<()> {
    let apt = || {
        let mut command = Command::new("apt-get");
        command
            .env("DEBIAN_FRONTEND", "noninteractive")
            .stdin(Stdio::null());
        command
    };
    run(apt().args(["update", "--quiet"]))
        .and_then(|()| {
            run(apt()
                .args(["install", "--yes", "--quiet", "--no-install-recommends"])
                .args(packages))
        })
        .with_context(|| {
            format!(
                "run `sudo apt-get install --no-install-recommends {}`",
                packages.join(" ")
            )
        })
}

/// A node program.
pub fn node(script: &Path, folder: &Path) -> Command {
    let mut command = Command::new("node");
    command.arg(script).current_dir(folder);
    command
}

/// Compresses with node's own zlib: `gzipSync` or `brotliCompressSync`.
pub fn compressed(method: &str, content: &[u8]) -> Result<Vec<u8>> {
    let code = format!(
        "const z = require('node:zlib'), c = []; process.stdin.on('data', (d) => c.push(d)).on('end', () => \
         process.stdout.write(z.{method}(Buffer.concat(c), {{ level: 9 }})))"
    );
    let mut child = Command::new("node")
        .args(["-e", &code])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .context("node could not be started")?;
    // Node reads everything before it writes, so neither waits for the other.
    child
        .stdin
        .take()
        .context("node takes no input")?
        .write_all(content)?;
    let output = child.wait_with_output()?;
    if !output.status.success() {
        bail!("node's {method} failed ({})", output.status);
    }
    Ok(output.stdout)
}

/// The command as a person would type it, shortened.
fn shown(command: &Command) -> String {
    let program = Path::new(command.get_program());
    let mut words = vec![
        program
            .file_stem()
            .unwrap_or(program.as_os_str())
            .to_string_lossy()
            .into_owned(),
    ];
    words.extend(
        command
            .get_args()
            .map(|word| word.to_string_lossy().into_owned()),
    );
    let line = words.join(" ");
    if line.chars().count() > 200 {
        format!("{} …", line.chars().take(200).collect::<String>())
    } else {
        line
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_failing_command_is_named_with_its_own_words() {
        let error = output(Command::new("cargo").arg("no-such-chore"))
            .unwrap_err()
            .to_string();
        assert!(
            error.contains("cargo no-such-chore") && error.contains("no such command"),
            "{error}"
        );
    }

    #[test]
    fn what_is_compressed_is_smaller_and_of_the_kind_asked_for() {
        let content = vec![b'a'; 300_000];
        let gzip = compressed("gzipSync", &content).unwrap();
        assert!(gzip.starts_with(&[0x1f, 0x8b]) && gzip.len() < 1000);
        assert!(compressed("brotliCompressSync", &content).unwrap().len() < 100);
        assert!(compressed("noSuchMethod", &content).is_err());
    }

    #[test]
    fn a_missing_program_is_named() {
        let error = run(&mut Command::new("no-such-program-anywhere"))
            .unwrap_err()
            .to_string();
        assert!(error.contains("no-such-program-anywhere"), "{error}");
    }

    #[test]
    fn names_are_tried_in_order_and_only_files_count() {
        let house = Path::new(env!("CARGO_MANIFEST_DIR"));
        let path = std::env::join_paths([house.join("src"), house.to_path_buf()]).unwrap();
        if std::env::consts::EXE_SUFFIX.is_empty() {
            assert_eq!(
                find_in(&["absent", "src", "Cargo.toml"], &path),
                Some(house.join("Cargo.toml"))
            );
        }
    }
}
