//! The served page.
//!
//! Takes the wasm and the page's sources; gives `www/dist/site/`: assets whose names hold their content's hash, a
//! service worker that knows them all as one set, and index.html, written last, so that whoever loads it finds all
//! that it names.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use anyhow::{Context, Result};
use base64::Engine as _;
use sha2::{Digest, Sha256};

use super::page::{self, Format};
use super::stamp::short;
use crate::house::House;

/// What the page may do: run its own scripts and wasm, talk to its own origin, nothing else.
pub const CSP: &str = "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; worker-src 'self'; connect-src 'self'; \
    style-src 'self'; img-src 'self' data: blob:; manifest-src 'self'; base-uri 'none'; form-action 'none'";

/// The only names without a hash, since browsers ask for them by name.
pub const INDEX: &str = "index.html";
/// The service worker.
pub const SERVICE_WORKER: &str = "sw.js";

/// Builds the served page around the wasm.
pub fn write(house: &House, wasm: &Path) -> Result<()> {
    let mut files = Files::default();
    let core = files.add(
        "core",
        "wasm",
        fs::read(wasm).context("the core's wasm cannot be read")?,
    );
    let worker = files.add(
        "worker",
        "js",
        page::bundle(house, "worker.ts", Format::Classic, &[])?.into(),
    );
    let main = files.add(
        "main",
        "js",
        page::bundle(house, "main.ts", Format::Module, &[])?.into(),
    );
    let style = files.add(
        "style",
        "css",
        page::bundle(house, "style.css", Format::Module, &[])?.into(),
    );
    let icon = files.add(
        "icon",
        "svg",
        fs::read(house.www().join("static/icon.svg")).context("www/static/icon.svg")?,
    );
    let manifest =
        page::read(&house.www().join("static/manifest.webmanifest"))?.replace("icon.svg", &icon);
    let manifest = files.add("manifest", "webmanifest", manifest.into());

    let template = page::read(&house.www().join(INDEX))?;
    let html = page::fill(
        &template.replacen("<html ", &format!("<html data-sw=\"{SERVICE_WORKER}\" "), 1),
        &[
            ("csp", page::csp_meta(CSP)),
            (
                "styles",
                format!("<link rel=\"stylesheet\" href=\"{style}\">"),
            ),
            (
                "assets",
                format!(
                    "<link id=\"asset-worker\" rel=\"worker\" href=\"{worker}\">\n  <link id=\"asset-wasm\" \
                     rel=\"preload\" as=\"fetch\" crossorigin type=\"application/wasm\" href=\"{core}\">"
                ),
            ),
            (
                "script",
                format!("<script type=\"module\" src=\"{main}\"></script>"),
            ),
            (
                "manifest",
                format!(
                    "<link rel=\"manifest\" href=\"{manifest}\">\n  <link rel=\"icon\" type=\"image/svg+xml\" href=\"{icon}\">"
                ),
            ),
        ],
    )?;
    let set = files.precache_set(html.as_bytes());
    let name = format!("{:?}", short(set.as_bytes()));
    let definitions = [("__PRECACHE__", set.as_str()), ("__SET__", name.as_str())];
    let service_worker = page::bundle(house, "sw.ts", Format::Classic, &definitions)?;

    let folder = house.site();
    fs::create_dir_all(&folder)?;
    for (name, content) in &files.by_name {
        put(&folder.join(name), content)?;
    }
    put(&folder.join(SERVICE_WORKER), service_worker.as_bytes())?;
    put(&folder.join(INDEX), html.as_bytes())?;
    sweep(&folder, &files)
}

/// Assets by their hashed names.
#[derive(Default)]
struct Files {
    by_name: BTreeMap<String, Vec<u8>>,
}

impl Files {
    fn add(&mut self, stem: &str, extension: &str, content: Vec<u8>) -> String {
        let name = format!("{stem}-{}.{extension}", short(&content));
        self.by_name.insert(name.clone(), content);
        name
    }

    /// What the service worker takes in as one set, as a JSON list of `[address, integrity]`: the browser refuses a
    /// file whose content is not the one meant, so an old and a new page never mix.
    fn precache_set(&self, html: &[u8]) -> String {
        let mut set: Vec<[String; 2]> = self
            .by_name
            .iter()
            .map(|(name, content)| [name.clone(), integrity(content)])
            .collect();
        set.push(["./".to_string(), integrity(html)]);
        serde_json::json!(set).to_string()
    }
}

/// `sha256-…` as the integrity attribute and the Content-Security-Policy write it.
pub fn integrity(content: &[u8]) -> String {
    format!(
        "sha256-{}",
        base64::engine::general_purpose::STANDARD.encode(Sha256::digest(content))
    )
}

/// Writes a file unless it stands there already, in one move: nobody is served half of it.
fn put(path: &Path, content: &[u8]) -> Result<()> {
    if fs::read(path).is_ok_and(|there| there == content) {
        return Ok(());
    }
    let half = path.with_extension("half");
    fs::write(&half, content)
        .and_then(|()| fs::rename(&half, path))
        .with_context(|| format!("{} cannot be written", path.display()))
}

/// Removes the assets of earlier builds, after the page no longer names them.
fn sweep(folder: &Path, files: &Files) -> Result<()> {
    for entry in fs::read_dir(folder)? {
        let entry = entry?;
        let name = entry.file_name().to_string_lossy().into_owned();
        let kept =
            files.by_name.contains_key(&name) || [INDEX, SERVICE_WORKER].contains(&name.as_str());
        if !kept && entry.file_type()?.is_file() {
            fs::remove_file(entry.path())?;
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_follow_contents_and_the_set_holds_the_page_itself() {
        let mut files = Files::default();
        let first = files.add("main", "js", b"one".to_vec());
        let second = files.add("main", "js", b"two".to_vec());
        assert_ne!(first, second);
        let set: Vec<[String; 2]> = serde_json::from_str(&files.precache_set(b"<html>")).unwrap();
        assert_eq!(set.len(), 3);
        assert_eq!(set[2][0], "./");
        // The digest of the empty string, FIPS 180-4's well-known example, in base64.
        assert_eq!(
            integrity(b""),
            "sha256-47DEQpj8HBSa+/TImW+5JCeuQeRkm5NMpJWZG3hSuFU="
        );
    }

    #[test]
    fn an_earlier_builds_assets_go_and_the_fixed_names_stay() {
        let folder = std::env::temp_dir().join(format!("glazefall-site-{}", std::process::id()));
        fs::create_dir_all(&folder).unwrap();
        let mut files = Files::default();
        let new = files.add("main", "js", b"new".to_vec());
        for name in ["main-old.js", INDEX, SERVICE_WORKER, &new] {
            put(&folder.join(name), b"x").unwrap();
        }
        sweep(&folder, &files).unwrap();
        let mut left: Vec<_> = fs::read_dir(&folder)
            .unwrap()
            .map(|f| f.unwrap().file_name().into_string().unwrap())
            .collect();
        left.sort();
        let mut expected = vec![INDEX.to_string(), new, SERVICE_WORKER.to_string()];
        expected.sort();
        assert_eq!(left, expected);
        fs::remove_dir_all(&folder).unwrap();
    }
}
