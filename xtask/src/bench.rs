//! Figures beside what they are to reach.
//!
//! Takes the built page, the doors and the core's benches; gives a table in Markdown, printed and kept as
//! `target/bench/figures.md`. Figures are printed, never judged here: what must hold is held by a test.

use std::fmt::Write as _;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use anyhow::{Context, Result};

use crate::build;
use crate::house::House;
use crate::setup::chromium;
use crate::setup::wasm_target::{TARGET, WasmRust};
use crate::sh;
use crate::test::browser_command;

/// One figure.
struct Figure {
    what: String,
    measured: f64,
    unit: &'static str,
    reach: Option<f64>,
}

/// The limits of size, in kilobytes of 1000 bytes.
const WASM_KB: f64 = 250.0;
const PAGE_KB: f64 = 150.0;
const ONE_FILE_KB: f64 = 600.0;

/// Measures and prints.
pub fn bench(house: &House) -> Result<()> {
    build::all(house)?;
    let folder = house.root.join("target/bench");
    fs::create_dir_all(&folder)?;

    let mut figures = sizes(house)?;
    figures.extend(doors(house)?);
    figures.push(fuzzed(house)?);
    figures.extend(draws(house)?);
    match chromium::find() {
        Ok(found) => figures.extend(browser(house, &found)?),
        Err(error) => println!("The page's times are left out. {error:#}."),
    }
    let table = table(&figures);
    fs::write(folder.join("figures.md"), &table)?;

    // The core's own benches print their own tables, into the same folder where they keep them.
    film_as_wasm(house, &folder)?;
    let mut core = sh::cargo(&house.root);
    core.args(["bench", "--package", "glazefall", "--benches"]);
    match python(&folder) {
        Ok(python) => {
            core.env("GLAZEFALL_PYTHON", python);
        }
        Err(error) => println!("The rivals in Python are left out. {error:#}."),
    }
    sh::run(&mut core)?;
    println!("\n{table}");
    println!("kept as {}", folder.join("figures.md").display());
    Ok(())
}

/// The film solver as a bare wasm module, compiled and made small as the page's core is, for the bench to time: `film.wasm` in its folder.
fn film_as_wasm(house: &House, folder: &Path) -> Result<()> {
    let rust = WasmRust::set_up(house)?;
    let arguments = [
        "build",
        "--package",
        "glazefall",
        "--example",
        "film_wasm",
        "--profile",
        "page",
    ];
    sh::run(&mut rust.cargo_for_page(house, &arguments))
        .context("the film's wasm does not compile")?;
    let made = rust
        .target(house)
        .join(TARGET)
        .join("page/examples/film_wasm.wasm");
    build::core::optimise(house, &made, &folder.join("film.wasm"), &[])
        .context("the film's wasm cannot be made small")
}

/// A Python with SciPy in an environment of its own, made where it is not there yet.
fn python(folder: &Path) -> Result<PathBuf> {
    let found = sh::find_in_path(&["python3", "python"]).context("no Python is installed")?;
    sh::find_in_path(&["cc"]).context("no C compiler is installed")?;
    let environment = folder.join("venv");
    let program = environment.join(if cfg!(windows) {
        "Scripts/python.exe"
    } else {
        "bin/python"
    });
    let has_scipy =
        |program: &Path| sh::output(Command::new(program).args(["-c", "import scipy"])).is_ok();
    if !has_scipy(&program) {
        println!(
            "Python: making an environment with SciPy in {}",
            environment.display()
        );
        sh::run(Command::new(found).args(["-m", "venv"]).arg(&environment))?;
        sh::run(Command::new(&program).args([
            "-m",
            "pip",
            "install",
            "--quiet",
            "--disable-pip-version-check",
            "numpy",
            "scipy",
        ]))
        .context("SciPy cannot be installed")?;
    }
    Ok(program)
}

impl Figure {
    fn is_reached(&self) -> bool {
        self.reach.is_none_or(|reach| self.measured <= reach)
    }
}

fn sizes(house: &House) -> Result<Vec<Figure>> {
    let kilobytes = |what: &str, bytes: usize, reach: f64| Figure {
        what: what.to_string(),
        measured: bytes as f64 / 1000.0,
        unit: "KB",
        reach: Some(reach),
    };
    let wasm = read(&house.core_for_page().join("glazefall_bg.wasm"))?;
    let mut page = 0;
    for entry in fs::read_dir(house.site())? {
        page += sh::compressed("brotliCompressSync", &read(&entry?.path())?)?.len();
    }
    Ok(vec![
        kilobytes("wasm before compression", wasm.len(), WASM_KB),
        kilobytes("transfer of the whole page, brotli", page, PAGE_KB),
        kilobytes(
            "one-file version",
            read(&house.one_file())?.len(),
            ONE_FILE_KB,
        ),
    ])
}

/// What each door says of its own time, native, on the project's fixtures.
fn doors(house: &House) -> Result<Vec<Figure>> {
    let mut figures = Vec::new();
    for (door, input, key, what, reach) in [
        (
            "solve",
            "fixtures/doors/solve.json",
            "/solve_ms",
            "solve door, native: fixtures/doors/solve.json",
            Some(3.0),
        ),
        (
            "predict",
            "fixtures/doors/predict.json",
            "/0/predict_ms",
            "predict door, native: first plan of fixtures/doors/predict.json",
            Some(300.0),
        ),
        (
            "learn",
            "fixtures/demo/studio.json",
            "/learn_ms",
            "learn door, native: the demo's log, 60 entries",
            Some(100.0),
        ),
    ] {
        let input = house.root.join(input);
        let said = sh::output(
            sh::cargo(&house.root)
                .args([
                    "run",
                    "--quiet",
                    "--release",
                    "--package",
                    "glazefall",
                    "--example",
                    door,
                    "--",
                ])
                .arg(&input),
        )?;
        let answer: serde_json::Value =
            serde_json::from_str(&said).with_context(|| format!("{door} printed no JSON"))?;
        let measured = answer
            .pointer(key)
            .or_else(|| answer.pointer(&format!("/plans{key}")))
            .and_then(serde_json::Value::as_f64)
            .with_context(|| format!("{door} says no {key}"))?;
        figures.push(Figure {
            what: what.to_string(),
            measured,
            unit: "ms",
            reach,
        });
    }
    Ok(figures)
}

/// Mutated documents, edits and tables that are tried.
const FUZZED: &str = "1000000";

/// Whether any mutated document is taken beyond a bound, panics, or is refused without saying what is wrong and where.
fn fuzzed(house: &House) -> Result<Figure> {
    let mut fuzz = sh::cargo(&house.root);
    fuzz.args(["run", "--quiet", "--profile", "fuzz", "--package"])
        .args(["glazefall", "--example", "fuzz_documents", "--", FUZZED]);
    // It ends with another status where anything broke, and prints its counts in any case.
    let said = fuzz
        .stderr(Stdio::inherit())
        .output()
        .context("fuzz_documents does not start")?;
    let counts: serde_json::Value =
        serde_json::from_slice(&said.stdout).context("fuzz_documents printed no JSON")?;
    println!("{counts:#}");
    let count = |key: &str| counts[key].as_u64().unwrap_or(0);
    Ok(Figure {
        what: format!(
            "{} mutated documents, edits and tables: {} refused with cause and place, {} taken within every bound; \
             broken",
            count("inputs"),
            count("refused"),
            count("taken")
        ),
        measured: counts["broken"].as_f64().context("no count of broken")?,
        unit: "documents",
        reach: Some(0.0),
    })
}

/// How far the draws of an answer, between a few solves of the film, are from solving every draw.
fn draws(house: &House) -> Result<Vec<Figure>> {
    let mut against = sh::cargo(&house.root);
    against.args(["run", "--quiet", "--release", "--package", "glazefall"]);
    against.args(["--example", "draws_against_solves"]);
    let said = sh::output(&mut against)?;
    println!("{said}");
    Ok(said.lines().filter_map(figure).collect())
}

/// Invented studios to learn from, by their numbers of entries: the folder they lie in.
fn invented(house: &House) -> Result<PathBuf> {
    let folder = house.root.join("target/bench/invented");
    fs::create_dir_all(&folder)?;
    for entries in ["60", "2000", "20000"] {
        let mut make = sh::cargo(&house.root);
        make.args(["run", "--quiet", "--release", "--package"])
            .args(["glazefall-tests", "--example", "invented_studio", "--"])
            .arg(entries);
        fs::write(
            folder.join(format!("{entries}.json")),
            sh::output(&mut make)?,
        )?;
    }
    Ok(folder)
}

/// What the browser's bench prints, one JSON line per figure; other lines are for people.
fn browser(house: &House, chromium: &chromium::Chromium) -> Result<Vec<Figure>> {
    let script = house.browser_tests().join("bench.mjs");
    let mut command: Command = browser_command(house, chromium, &[], &[script])?;
    command.env("GLAZEFALL_INVENTED", invented(house)?);
    command.stderr(Stdio::inherit());
    Ok(sh::output(&mut command)?
        .lines()
        .filter_map(figure)
        .collect())
}

fn figure(line: &str) -> Option<Figure> {
    let said: serde_json::Value = serde_json::from_str(line).ok()?;
    Some(Figure {
        what: said["what"].as_str()?.to_string(),
        measured: said["measured"].as_f64()?,
        unit: match said["unit"].as_str() {
            Some("entries") => "entries",
            Some("documents") => "documents",
            Some("of it") => "of it",
            _ => "ms",
        },
        reach: said["reach"].as_f64(),
    })
}

fn table(figures: &[Figure]) -> String {
    let mut text = String::from("| what | measured | to reach | |\n|---|--:|--:|---|\n");
    for figure in figures {
        let reach = figure
            .reach
            .map_or_else(String::new, |reach| format!("≤ {reach} {}", figure.unit));
        let word = match figure.reach {
            None => "",
            Some(_) if figure.is_reached() => "reached",
            Some(_) => "NOT reached",
        };
        let places = if figure.unit == "of it" { 2 } else { 1 };
        // Writing to a text cannot fail.
        let _ = writeln!(
            text,
            "| {} | {:.places$} {} | {reach} | {word} |",
            figure.what, figure.measured, figure.unit
        );
    }
    text
}

fn read(path: &Path) -> Result<Vec<u8>> {
    fs::read(path).with_context(|| format!("{} cannot be read", path.display()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_table_says_what_is_reached_and_what_is_not() {
        let figures: Vec<Figure> = [
            "{\"what\":\"a coat\",\"measured\":49.96,\"unit\":\"ms\",\"reach\":50}",
            "some words for people",
            "{\"what\":\"a start\",\"measured\":1500.5,\"unit\":\"ms\",\"reach\":1500}",
            "{\"what\":\"a look\",\"measured\":3,\"unit\":\"ms\"}",
        ]
        .iter()
        .filter_map(|line| figure(line))
        .collect();
        let table = table(&figures);
        assert!(
            table.contains("| a coat | 50.0 ms | ≤ 50 ms | reached |"),
            "{table}"
        );
        assert!(
            table.contains("| a start | 1500.5 ms | ≤ 1500 ms | NOT reached |"),
            "{table}"
        );
        assert!(table.contains("| a look | 3.0 ms |  |  |"), "{table}");
    }
}
