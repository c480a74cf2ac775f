//! The core as wasm.
//!
//! Takes the crate; gives `www/src/core/glazefall.js` with its types and the optimised wasm beside it.

use std::fs;
use std::path::{Path, PathBuf};

use anyhow::{Context, Result};
use wasm_bindgen_cli_support::Bindgen;

use super::stamp::{Stamp, hash};
use super::{near, pool};
use crate::house::House;
use crate::setup::wasm_target::{TARGET, WasmRust};
use crate::sh;

/// wasm-opt's options: small first; the features are those that rustc's target has switched on.
const WASM_OPT: [&str; 14] = [
    "-Oz",
    "--converge",
    // Large functions with one caller stay by themselves: a browser's compiler keeps fewer of a huge one's numbers in registers.
    "--one-caller-inline-max-function-size=400",
    // Of an address and an offset below 1024 the first may wrap around only where the lowest kilobyte is in use; with the
    // stack below the data it is the last of a stack of half a megabyte. And wasm's memory starts as zeros.
    "--low-memory-unused",
    "--zero-filled-memory",
    "--enable-bulk-memory",
    "--enable-bulk-memory-opt",
    "--enable-nontrapping-float-to-int",
    "--enable-sign-ext",
    "--enable-mutable-globals",
    "--enable-reference-types",
    "--enable-multivalue",
    "--enable-simd",
    "--strip-producers",
];

/// Builds the core for the page; gives the path of the wasm.
pub fn build(house: &House) -> Result<PathBuf> {
    let bytes = compile(house)?;
    let folder = house.core_for_page();
    fs::create_dir_all(&folder)?;
    let (js, ts, wasm) = (
        folder.join("glazefall.js"),
        folder.join("glazefall.d.ts"),
        folder.join("glazefall_bg.wasm"),
    );
    let stamp = stamp(house, &folder, &bytes)?;
    if stamp.holds(&[&js, &ts, &wasm]) {
        return Ok(wasm);
    }
    let plain = bind(house, bytes, Names::Dropped)?;
    for (name, to) in [("glazefall.js", &js), ("glazefall.d.ts", &ts)] {
        fs::copy(plain.join(name), to).with_context(|| format!("wasm-bindgen gave no {name}"))?;
    }
    println!("wasm-opt: making the core small");
    optimise(house, &plain.join("glazefall_bg.wasm"), &wasm, &[])?;
    stamp.set(&[&js, &ts, &wasm])?;
    Ok(wasm)
}

/// The same core with its functions' names kept, for weighing it.
pub fn build_named(house: &House) -> Result<Vec<u8>> {
    let plain = bind(house, compile(house)?, Names::Kept)?;
    let named = plain.join("named.wasm");
    optimise(house, &plain.join("glazefall_bg.wasm"), &named, &["-g"])?;
    fs::read(&named).with_context(|| format!("{} cannot be read", named.display()))
}

fn compile(house: &House) -> Result<Vec<u8>> {
    let rust = WasmRust::set_up(house)?;
    sh::run(&mut rust.cargo_for_page(
        house,
        &[
            "build",
            "--package",
            "glazefall-page",
            "--lib",
            "--profile",
            "page",
        ],
    ))
    .context("the core does not compile for the page")?;
    let compiled = rust
        .target(house)
        .join(TARGET)
        .join("page/glazefall_page.wasm");
    fs::read(&compiled).with_context(|| format!("{} cannot be read", compiled.display()))
}

/// What the page's core is made from: the compiled wasm, wasm-bindgen's version, wasm-opt's version and options, how constants
/// are pooled and functions ordered.
fn stamp(house: &House, folder: &Path, compiled: &[u8]) -> Result<Stamp> {
    let npm = fs::read(house.www().join("package-lock.json"))?;
    let cargo = fs::read(house.root.join("Cargo.lock"))?;
    let steps = [
        WASM_OPT.join(" ").as_bytes(),
        include_bytes!("pool.rs"),
        include_bytes!("near.rs"),
    ]
    .concat();
    let inputs = hash(&[compiled, &steps, &npm, &cargo]);
    Ok(Stamp::new(folder, "core", inputs))
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Names {
    Kept,
    Dropped,
}

/// Runs wasm-bindgen; gives the folder with its output, the wasm not yet optimised.
fn bind(house: &House, compiled: Vec<u8>, names: Names) -> Result<PathBuf> {
    let folder = house.target().join("xtask").join(if names == Names::Kept {
        "core-named"
    } else {
        "core"
    });
    Bindgen::new()
        .input_bytes("glazefall", compiled)
        .web(true)?
        .typescript(true)
        .omit_default_module_path(true)
        .remove_name_section(names == Names::Dropped)
        .remove_producers_section(true)
        .generate(&folder)
        .context("wasm-bindgen could not make the border's JavaScript")?;
    Ok(folder)
}

/// Makes a module of wasm small as the page's own is.
pub fn optimise(house: &House, from: &Path, to: &Path, more: &[&str]) -> Result<()> {
    sh::run(
        sh::node(&house.npm_script("binaryen/bin/wasm-opt"), &house.root)
            .arg(from)
            .args(WASM_OPT)
            .args(more)
            .arg("--output")
            .arg(to),
    )?;
    let optimised = fs::read(to).with_context(|| format!("{} cannot be read", to.display()))?;
    fs::write(to, near::first(&pool::pooled(&optimised)?)?)?;
    Ok(())
}
