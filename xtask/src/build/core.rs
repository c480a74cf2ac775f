//! The core as wasm.
//!
//! Takes the crate; gives `www/src/core/glazefall.js` with its types and the optimised wasm beside it.

use std::fs;
use std::path::PathBuf;

use anyhow::{Context, Result};
use wasm_bindgen_cli_support::Bindgen;

use super::stamp::{Stamp, hash};
use crate::house::House;
use crate::setup::wasm_target::{TARGET, WasmRust};
use crate::sh;

/// wasm-opt's options: small first; the features are those that rustc's target has switched on.
const WASM_OPT: [&str; 10] = [
    "-Oz",
    "--converge",
    "--enable-bulk-memory",
    "--enable-bulk-memory-opt",
    "--enable-nontrapping-float-to-int",
    "--enable-sign-ext",
    "--enable-mutable-globals",
    "--enable-reference-types",
    "--enable-multivalue",
    "--strip-producers",
];

/// Builds the core for the page; gives the path of the wasm.
pub fn build(house: &House) -> Result<PathBuf> {
    let rust = WasmRust::set_up(house)?;
    sh::run(&mut rust.cargo(
        house,
        &["build", "--package", "glazefall", "--lib", "--release"],
    ))
    .context("the core does not compile for the page")?;
    let compiled = rust
        .target(house)
        .join(TARGET)
        .join("release/glazefall.wasm");
    let bytes =
        fs::read(&compiled).with_context(|| format!("{} cannot be read", compiled.display()))?;

    let folder = house.core_for_page();
    fs::create_dir_all(&folder)?;
    let (js, ts, wasm) = (
        folder.join("glazefall.js"),
        folder.join("glazefall.d.ts"),
        folder.join("glazefall_bg.wasm"),
    );
    let lock = fs::read(house.www().join("package-lock.json"))?;
    let cargo_lock = fs::read(house.root.join("Cargo.lock"))?;
    let inputs = hash(&[&bytes, WASM_OPT.join(" ").as_bytes(), &lock, &cargo_lock]);
    let stamp = Stamp::new(&folder, "core", inputs);
    if stamp.holds(&[&js, &ts, &wasm]) {
        return Ok(wasm);
    }

    let mut output = Bindgen::new()
        .input_bytes("glazefall", bytes)
        .web(true)?
        .typescript(true)
        .omit_default_module_path(true)
        .remove_name_section(true)
        .remove_producers_section(true)
        .generate_output()
        .context("wasm-bindgen could not make the border's JavaScript")?;
    let plain = house.target().join("xtask/core");
    output.emit(&plain)?;
    for (name, to) in [("glazefall.js", &js), ("glazefall.d.ts", &ts)] {
        fs::copy(plain.join(name), to).with_context(|| format!("wasm-bindgen gave no {name}"))?;
    }

    println!("wasm-opt: making the core small");
    sh::run(
        sh::node(&house.npm_script("binaryen/bin/wasm-opt"), &house.root)
            .arg(plain.join("glazefall_bg.wasm"))
            .args(WASM_OPT)
            .arg("--output")
            .arg(&wasm),
    )?;
    stamp.set(&[&js, &ts, &wasm])?;
    Ok(wasm)
}
