//! Every check of the project.
//!
//! Takes the words of the steps wanted, all without any; sets up what is missing, runs each step, and ends with a table
//! of results and times.

use std::fs;
use std::path::PathBuf;

use anyhow::{Context, Result, ensure};

use crate::house::House;
use crate::report::Report;
use crate::setup;
use crate::setup::chromium::{self, Chromium};
use crate::setup::wasm_target::WasmRust;
use crate::{build, serve, sh};

const NPM: &str = "set-up: npm packages";
const WASM: &str = "set-up: wasm target";
const CHROMIUM: &str = "set-up: Chromium";
const BUILD: &str = "page built";
const TYPESCRIPT: &str = "TypeScript, strict";
const CLIPPY_WASM: &str = "clippy, wasm32";
const WASM_TESTS: &str = "wasm tests in Chromium";
const BROWSER_TESTS: &str = "browser tests";

/// Runs the checks; gives whether all went well.
pub fn test(house: &House, only: &[&str]) -> Result<bool> {
    let mut report = Report::new(only);
    let cargo = |arguments: &[&str]| sh::run(sh::cargo(&house.root).args(arguments));

    // What is missing shows first, before anyone waits for a compiler.
    report.step_for(NPM, &[BUILD, TYPESCRIPT, BROWSER_TESTS], &[], || {
        setup::npm::install(house)
    });
    report.step_for(
        WASM,
        &[CLIPPY_WASM, BUILD, TYPESCRIPT, WASM_TESTS, BROWSER_TESTS],
        &[],
        || WasmRust::set_up(house).map(drop),
    );
    report.step_for(CHROMIUM, &[WASM_TESTS, BROWSER_TESTS], &[], || {
        let found = chromium::find()?;
        println!("{} and {}", found.browser.display(), found.driver.display());
        Ok(())
    });

    report.step("rustfmt", &[], || cargo(&["fmt", "--all", "--check"]));
    report.step("clippy, native", &[], || {
        cargo(&[
            "clippy",
            "--workspace",
            "--all-targets",
            "--",
            "-D",
            "warnings",
        ])
    });
    report.step(CLIPPY_WASM, &[WASM], || {
        let arguments = [
            "clippy",
            "--package",
            "glazefall",
            "--lib",
            "--test",
            "wasm_*",
        ];
        sh::run(
            WasmRust::set_up(house)?
                .cargo(house, &arguments)
                .args(["--", "-D", "warnings"]),
        )
    });
    report.step("native tests", &[], || {
        cargo(&[
            "test",
            "--workspace",
            "--lib",
            "--bins",
            "--tests",
            "--examples",
            "--no-fail-fast",
        ])
    });
    report.step("doctests", &[], || cargo(&["test", "--workspace", "--doc"]));
    // Built even when only the browser tests are asked for: they must not see an old page.
    report.step_for(BUILD, &[TYPESCRIPT, BROWSER_TESTS], &[NPM, WASM], || {
        build::all(house)
    });
    report.step(TYPESCRIPT, &[BUILD], || {
        let tsc = house.npm_script("typescript/bin/tsc");
        sh::run(sh::node(&tsc, &house.www()).args(["--noEmit", "--project", "tsconfig.json"]))
    });
    report.step(WASM_TESTS, &[WASM, CHROMIUM], || {
        wasm_tests(house, &chromium::find()?)
    });
    report.step(BROWSER_TESTS, &[BUILD, CHROMIUM], || {
        browser_tests(house, &chromium::find()?)
    });

    println!("\n{}", long_files(house)?);
    print!("{}", report.summary());
    Ok(report.passed())
}

/// Files over 500 lines, each to be looked at for two things in one.
fn long_files(house: &House) -> Result<String> {
    let listed = sh::output(
        std::process::Command::new("git")
            .args(["ls-files"])
            .current_dir(&house.root),
    )
    .unwrap_or_default();
    let long: Vec<String> = listed
        .lines()
        .filter(|name| !name.ends_with("core/types.ts"))
        .filter(|name| {
            [".rs", ".ts", ".mjs", ".css"]
                .iter()
                .any(|ending| name.ends_with(ending))
        })
        .filter_map(|name| {
            let lines = fs::read_to_string(house.root.join(name))
                .ok()?
                .lines()
                .count();
            (lines > 500).then(|| format!("{name} {lines}"))
        })
        .collect();
    Ok(match long.is_empty() {
        true => "No file is over 500 lines.".to_string(),
        false => format!("Files over 500 lines: {}.", long.join(", ")),
    })
}

/// The border's own tests, in headless Chromium.
fn wasm_tests(house: &House, chromium: &Chromium) -> Result<()> {
    sh::run(sh::cargo(&house.root).args(["build", "--quiet", "--package", "wasm-test-runner"]))?;
    let runner = house
        .target()
        .join("debug")
        .join(format!("wasm-test-runner{}", std::env::consts::EXE_SUFFIX));
    let capabilities = house.target().join("xtask/webdriver.json");
    fs::create_dir_all(house.target().join("xtask"))?;
    fs::write(&capabilities, chromium::webdriver_json(chromium))?;
    let rust = WasmRust::set_up(house)?;
    sh::run(
        rust.cargo(
            house,
            &["test", "--package", "glazefall", "--test", "wasm_*"],
        )
        .env("CARGO_TARGET_WASM32_UNKNOWN_UNKNOWN_RUNNER", runner)
        .env("CHROMEDRIVER", &chromium.driver)
        .env("WASM_BINDGEN_TEST_WEBDRIVER_JSON", capabilities)
        // A slow machine with two cores needs longer than the runner's 20 and 5 seconds.
        .env("WASM_BINDGEN_TEST_TIMEOUT", "300")
        .env("WASM_BINDGEN_TEST_DRIVER_TIMEOUT", "60"),
    )
}

/// The page's tests, by node's own test runner, against the page as it is served and as one file.
fn browser_tests(house: &House, chromium: &Chromium) -> Result<()> {
    let mut files: Vec<PathBuf> = fs::read_dir(house.browser_tests())?
        .map(|entry| entry.map(|entry| entry.path()))
        .collect::<std::io::Result<_>>()?;
    files.retain(|file| file.to_string_lossy().ends_with(".test.mjs"));
    files.sort();
    ensure!(!files.is_empty(), "tests/browser holds no *.test.mjs");
    sh::run(&mut browser_command(
        house,
        chromium,
        &[
            "--test",
            "--test-reporter=spec",
            "--test-concurrency=1",
            "--test-timeout=300000",
        ],
        &files,
    )?)
}

/// Node with what a script in tests/browser needs to know.
pub fn browser_command(
    house: &House,
    chromium: &Chromium,
    options: &[&str],
    files: &[PathBuf],
) -> Result<std::process::Command> {
    let address =
        serve::in_background(house.site()).context("the page cannot be served to its tests")?;
    let mut command = std::process::Command::new("node");
    command
        .args(options)
        .args(files)
        .current_dir(&house.root)
        .env("GLAZEFALL_URL", address)
        .env("GLAZEFALL_SITE", house.site())
        .env("GLAZEFALL_ONE_FILE", house.one_file())
        .env("GLAZEFALL_CHROMIUM", &chromium.browser);
    Ok(command)
}
