//! The one-file version.
//!
//! Takes the wasm and the page's sources; gives `www/dist/glazefall.html`, which opens from a memory stick by double
//! click: from a file: address a browser runs no module, fetches nothing and starts no worker by address, so the script
//! is a classic one, and worker and wasm lie in it as data.

use std::fs;
use std::path::Path;

use anyhow::{Context, Result, ensure};
use base64::Engine as _;

use super::page::{self, Format};
use super::site::{INDEX, integrity};
use crate::house::House;
use crate::sh;

/// Unpacks the page's script and runs it; its hash stands in the Content-Security-Policy beside this one's.
const BOOT: &str = "(async()=>{const packed=Uint8Array.from(atob(document.getElementById('asset-main').textContent),\
    c=>c.charCodeAt(0)),script=document.createElement('script');script.textContent=await new Response(new Blob([packed])\
    .stream().pipeThrough(new DecompressionStream('gzip'))).text();document.body.append(script)})()";

/// Builds the one file around the wasm.
pub fn write(house: &House, wasm: &Path) -> Result<()> {
    let wasm = fs::read(wasm).context("the core's wasm cannot be read")?;
    let style = page::bundle(house, "style.css", Format::Module, &[])?;
    let worker = safe_in_script(&page::bundle(house, "worker.ts", Format::Classic, &[])?)?;
    let main = page::bundle(house, "main.ts", Format::Classic, &[])?;
    ensure!(
        !style.to_lowercase().contains("</style"),
        "www/src/style.css must not hold `</style`"
    );
    let csp = format!(
        "default-src 'none'; script-src '{}' '{}' 'wasm-unsafe-eval'; worker-src blob:; style-src '{}'; img-src data: blob:; \
         base-uri 'none'; form-action 'none'",
        integrity(BOOT.as_bytes()),
        integrity(main.as_bytes()),
        integrity(style.as_bytes())
    );
    let html = page::fill(
        &page::read(&house.www().join(INDEX))?,
        &[
            ("csp", page::csp_meta(&csp)),
            ("styles", format!("<style>{style}</style>")),
            (
                "assets",
                format!(
                    "<script id=\"asset-worker\" type=\"text/plain\">{worker}</script>\n\
                     <script id=\"asset-main\" type=\"text/plain\">{}</script>\n\
                     <script id=\"asset-wasm\" type=\"text/plain\" data-encoding=\"gzip-base64\">{}</script>",
                    packed(main.as_bytes())?,
                    packed(&wasm)?
                ),
            ),
            ("script", format!("<script>{BOOT}</script>")),
            (
                "manifest",
                "<link rel=\"icon\" href=\"data:,\">".to_string(),
            ),
        ],
    )?;
    let file = house.one_file();
    fs::create_dir_all(house.www().join("dist"))?;
    fs::write(&file, html).with_context(|| format!("{} cannot be written", file.display()))?;
    println!(
        "{} ({:.0} KB): copy it to a memory stick, open it by double click",
        file.display(),
        kilobytes(&file)?
    );
    Ok(())
}

/// Compressed, and in letters.
fn packed(bytes: &[u8]) -> Result<String> {
    Ok(base64::engine::general_purpose::STANDARD.encode(sh::compressed("gzipSync", bytes)?))
}

fn kilobytes(file: &Path) -> Result<f64> {
    Ok(fs::metadata(file)?.len() as f64 / 1000.0)
}

/// A script's text that may stand between `<script>` and `</script>`: inside JavaScript's strings and patterns `\!` and
/// `\/` mean what `!` and `/` mean, and minified code holds `<!--` and `</` nowhere else.
fn safe_in_script(text: &str) -> Result<String> {
    let text = text
        .replace("<!--", "<\\!--")
        .replace("</script", "<\\/script")
        .replace("</SCRIPT", "<\\/SCRIPT");
    ensure!(
        !text.to_lowercase().contains("</script"),
        "the page's code must not hold `</script` in mixed case"
    );
    Ok(text)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_script_cannot_end_itself_or_open_a_comment() {
        assert_eq!(
            safe_in_script("a='</script><!--'").unwrap(),
            "a='<\\/script><\\!--'"
        );
        assert!(safe_in_script("a='</ScRiPt>'").is_err());
    }
}
