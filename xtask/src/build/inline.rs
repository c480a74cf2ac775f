//! The one-file version.
//!
//! Takes the wasm and the page's sources; gives `www/dist/glazefall.html`, which opens from a memory stick by double
//! click: from a file: address a browser runs no module, fetches nothing and starts no worker by address, so the script
//! is a classic one, and worker and wasm lie in it as data.

use std::fs;
use std::path::Path;

use anyhow::{Context, Result, ensure};

use super::page::{self, Format};
use super::site::{INDEX, integrity};
use crate::house::House;
use crate::sh;

/// Unpacks what lies compressed in the page (see [`letters`]), then runs the page's script, whose hash stands in the
/// Content-Security-Policy beside this one's. The page takes its core by the same `unpacked`.
const BOOT: &str = "globalThis.unpacked=id=>{let v=-1,b=0,n=0,i=0,t=document.getElementById(id).textContent,\
    o=new Uint8Array(t.length);for(let k=0;k<t.length;k++){const c=t.charCodeAt(k),d=c-33-(c>60)-(c>92)-(c>96);\
    if(v<0)v=d;else{v+=d*91;b|=v<<n;n+=(v&8191)>88?13:14;do{o[i++]=b;b>>=8;n-=8}while(n>7);v=-1}}\
    if(v>=0)o[i++]=b|v<<n;return new Response(new Blob([o.subarray(0,i)]).stream().pipeThrough(new DecompressionStream\
    ('gzip')))};(async()=>{const worker=document.getElementById('asset-worker');worker.textContent=\
    await unpacked('asset-worker').text();const script=document.createElement('script');script.textContent=\
    await unpacked('asset-main').text();document.body.append(script)})()";

/// Builds the one file around the wasm.
pub fn write(house: &House, wasm: &Path) -> Result<()> {
    let wasm = fs::read(wasm).context("the core's wasm cannot be read")?;
    let style = page::bundle(house, "style.css", Format::Module, &[])?;
    let worker = page::bundle(house, "worker.ts", Format::Classic, &[])?;
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
                    "<script id=\"asset-worker\" type=\"text/plain\">{}</script>\n\
                     <script id=\"asset-main\" type=\"text/plain\">{}</script>\n\
                     <script id=\"asset-wasm\" type=\"text/plain\">{}</script>",
                    packed(worker.as_bytes())?,
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
    Ok(letters(&sh::compressed("gzipSync", bytes)?))
}

/// Bytes as printable letters: 13 or 14 bits in two of 91 letters, a twelfth shorter than base64. The letters are those of
/// ASCII without `<`, `\` and a backtick, so that they may stand in a script element.
fn letters(bytes: &[u8]) -> String {
    let letter = |digit: u32| {
        let code = digit as u8 + 33;
        let code = code + u8::from(code >= b'<');
        let code = code + u8::from(code >= b'\\');
        char::from(code + u8::from(code >= b'`'))
    };
    let (mut bits, mut count) = (0_u32, 0);
    let mut text = String::with_capacity(bytes.len() * 5 / 4);
    for byte in bytes {
        bits |= u32::from(*byte) << count;
        count += 8;
        if count > 13 {
            let mut value = bits & 0x1fff;
            let taken = if value > 88 { 13 } else { 14 };
            if taken == 14 {
                value = bits & 0x3fff;
            }
            bits >>= taken;
            count -= taken;
            text.extend([letter(value % 91), letter(value / 91)]);
        }
    }
    if count > 0 {
        text.push(letter(bits % 91));
        if count > 7 || bits > 90 {
            text.push(letter(bits / 91));
        }
    }
    text
}

fn kilobytes(file: &Path) -> Result<f64> {
    Ok(fs::metadata(file)?.len() as f64 / 1000.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The very unpacking of `BOOT`, in Rust.
    fn unpack(text: &str) -> Vec<u8> {
        let (mut bits, mut count, mut low) = (0_u32, 0, None);
        let mut out = Vec::new();
        for code in text.bytes() {
            let digit = u32::from(code)
                - 33
                - u32::from(code > 60)
                - u32::from(code > 92)
                - u32::from(code > 96);
            let Some(first) = low.take() else {
                low = Some(digit);
                continue;
            };
            let value = first + digit * 91;
            bits |= value << count;
            count += if value & 0x1fff > 88 { 13 } else { 14 };
            while count > 7 {
                out.push(bits as u8);
                bits >>= 8;
                count -= 8;
            }
        }
        if let Some(last) = low {
            out.push((bits | last << count) as u8);
        }
        out
    }

    #[test]
    fn letters_give_every_byte_back_and_stay_clear_of_markup() {
        let all: Vec<u8> = (0..5000_u32)
            .map(|i| (i.wrapping_mul(2_654_435_761) >> 24) as u8)
            .collect();
        for length in (0..40).chain([4999, 5000]) {
            let text = letters(&all[..length]);
            assert_eq!(unpack(&text), &all[..length], "{length} bytes");
            assert!(
                text.bytes()
                    .all(|c| (33..127).contains(&c) && !b"<\\`".contains(&c))
            );
        }
        let text = letters(&all);
        assert!(
            text.len() * 4 < all.len() * 5,
            "a fifth is lost, base64 loses a quarter"
        );
    }
}
