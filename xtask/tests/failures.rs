//! What a person sees when something is missing: one sentence, a status other than 0, and nothing run in vain.

use std::process::{Command, Output};

fn xtask(arguments: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_xtask"));
    // As on a person's machine: nothing is installed on their behalf.
    command.args(arguments).env_remove("CI");
    command
}

fn said(output: &Output) -> String {
    String::from_utf8_lossy(&[output.stdout.as_slice(), output.stderr.as_slice()].concat())
        .into_owned()
}

#[test]
fn without_chromium_the_browser_tests_are_left_out_and_the_command_to_install_it_is_shown() {
    let output = xtask(&["test", "set-up: chromium"])
        .env("GLAZEFALL_CHROMIUM", "/no/such/browser")
        .output()
        .unwrap();
    let text = said(&output);
    assert!(!output.status.success(), "{text}");
    assert!(
        text.contains("sudo apt-get install chromium chromium-driver"),
        "{text}"
    );
    assert!(text.contains("0 of 1 steps went well"), "{text}");
}

#[test]
fn an_unknown_chore_or_port_is_refused_with_the_list() {
    let output = xtask(&["polish"]).output().unwrap();
    assert!(!output.status.success());
    let text = said(&output);
    assert!(
        text.contains("`cargo xtask polish` is not a chore") && text.contains("cargo xtask serve"),
        "{text}"
    );
    let output = xtask(&["serve", "--port", "many"]).output().unwrap();
    assert!(!output.status.success() && said(&output).contains("--port many is not a port"));
}

#[test]
fn a_step_that_does_not_exist_is_no_success() {
    let output = xtask(&["test", "no-such-step"]).output().unwrap();
    assert!(!output.status.success());
    assert!(said(&output).contains("browser tests"), "{}", said(&output));
}
