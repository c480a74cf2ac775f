//! The page's TypeScript and CSS, bundled.
//!
//! Takes `www/src` and the generated core; gives each entry's text, minified, and fills the template `www/index.html`.

use std::fs;
use std::path::Path;

use anyhow::{Context, Result, ensure};

use crate::house::{House, VERSION};
use crate::sh;

/// Browsers that the page is made for: those of the last few years.
const LANGUAGE: &str = "es2022";

/// How an entry is wrapped.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Format {
    /// For `<script type="module">`.
    Module,
    /// For a classic script or worker: a memory stick's file: address runs no module.
    Classic,
}

/// Bundles one entry under `www/src`, with `definitions` such as `("__VERSION__", "\"1.0\"")` put in.
pub fn bundle(
    house: &House,
    entry: &str,
    format: Format,
    definitions: &[(&str, &str)],
) -> Result<String> {
    let www = house.www();
    let folder = house.target().join("xtask/page");
    let out = folder.join(format!("{}-{format:?}", entry.replace('/', "-")));
    let version = format!("{VERSION:?}");
    let mut command = sh::node(&house.npm_script("esbuild/bin/esbuild"), &www);
    command
        .arg(format!("src/{entry}"))
        .args([
            "--bundle",
            "--minify",
            "--charset=utf8",
            "--log-level=warning",
            "--legal-comments=eof",
        ])
        .arg(format!("--target={LANGUAGE}"))
        .arg(format!("--outfile={}", out.display()))
        .arg(format!("--define:__VERSION__={version}"));
    if !entry.ends_with(".css") {
        command.arg(match format {
            Format::Module => "--format=esm",
            Format::Classic => "--format=iife",
        });
        // The core's loader names its own address, which a classic script does not have; the page hands the wasm over.
        if format == Format::Classic {
            command.arg("--define:import.meta.url=\"\"");
        }
    }
    for (name, value) in definitions {
        command.arg(format!("--define:{name}={value}"));
    }
    sh::run(&mut command).with_context(|| format!("www/src/{entry} does not bundle"))?;
    Ok(without_indents(&read(&out)?))
}

/// The bundle with one space for each line break that is followed by an indent. Minified, only templates have such, where
/// HTML reads them as one space anyway.
fn without_indents(bundle: &str) -> String {
    let mut short = String::with_capacity(bundle.len());
    for (k, line) in bundle.split('\n').enumerate() {
        let text = line.trim_start_matches(' ');
        if k > 0 {
            short.push(if text.len() < line.len() { ' ' } else { '\n' });
        }
        short.push_str(text);
    }
    short
}

/// The page's template with every `<!-- build:… -->` line filled in. Each must stand there exactly once.
pub fn fill(template: &str, parts: &[(&str, String)]) -> Result<String> {
    let mut html = template.to_string();
    for (name, text) in parts {
        let mark = format!("<!-- build:{name} -->");
        ensure!(
            html.matches(&mark).count() == 1,
            "www/index.html must hold the line `{mark}` once, and holds it {} times",
            html.matches(&mark).count()
        );
        html = html.replacen(&mark, text, 1);
    }
    ensure!(
        !html.contains("<!-- build:"),
        "www/index.html holds a build line that nothing fills"
    );
    Ok(html)
}

/// A file's text, or an error that names it.
pub fn read(path: &Path) -> Result<String> {
    fs::read_to_string(path).with_context(|| format!("{} cannot be read", path.display()))
}

/// The Content-Security-Policy's element.
pub fn csp_meta(policy: &str) -> String {
    format!("<meta http-equiv=\"Content-Security-Policy\" content=\"{policy}\">")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_indented_lines_are_joined() {
        assert_eq!(
            without_indents("a=`<p>\n      b</p>\n`;\nc"),
            "a=`<p> b</p>\n`;\nc"
        );
    }

    #[test]
    fn the_template_is_filled_and_a_missing_or_foreign_line_is_named() {
        let parts = [("csp", "<meta>".to_string())];
        assert_eq!(
            fill("<head><!-- build:csp --></head>", &parts).unwrap(),
            "<head><meta></head>"
        );
        let missing = fill("<head></head>", &parts).unwrap_err().to_string();
        assert!(
            missing.contains("`<!-- build:csp -->` once, and holds it 0 times"),
            "{missing}"
        );
        let foreign = fill("<!-- build:csp --><!-- build:else -->", &parts)
            .unwrap_err()
            .to_string();
        assert!(foreign.contains("nothing fills"), "{foreign}");
    }
}
