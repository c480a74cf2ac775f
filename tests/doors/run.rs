//! Runs one door.

use serde_json::Value;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

/// The top of the repository.
pub fn top() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

/// Runs `cargo run --example <door>` with this text on standard input, unoptimised: a test minds what comes out, not how fast.
pub fn door(name: &str, input: &str) -> Output {
    let mut child = Command::new(env!("CARGO"))
        .args([
            "run",
            "--quiet",
            "--package",
            "glazefall",
            "--example",
            name,
        ])
        .current_dir(top())
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    child
        .stdin
        .take()
        .unwrap()
        .write_all(input.as_bytes())
        .unwrap();
    child.wait_with_output().unwrap()
}

/// What a door answers, which must be JSON.
pub fn answer(name: &str, input: &str) -> Value {
    let output = door(name, input);
    assert!(
        output.status.success(),
        "{name}: {}",
        String::from_utf8_lossy(&output.stderr)
    );
    serde_json::from_slice(&output.stdout).unwrap()
}
