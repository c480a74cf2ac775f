//! A small static file server for this machine.
//!
//! Takes the built page; gives it to browsers on 127.0.0.1, as a plain static host would, with the right types and the
//! page's own security policy. Nothing outside the folder is served, and nothing is written.

use std::fs;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::{Ipv4Addr, TcpListener, TcpStream};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::thread;
use std::time::Duration;

use anyhow::{Context, Result};

use crate::build::{self, site};
use crate::house::House;

/// A browser keeps a studio by address, port included, so the port stays the same from day to day.
const PORT: u16 = 8460;
/// Longer requests are refused: a browser's are far shorter.
const LONGEST_HEAD: u64 = 16_384;

/// Builds the page and serves it until interrupted.
pub fn serve(house: &House, port: Option<u16>) -> Result<bool> {
    build::site(house)?;
    let listener = match (
        TcpListener::bind((Ipv4Addr::LOCALHOST, port.unwrap_or(PORT))),
        port,
    ) {
        (Ok(listener), _) => listener,
        (Err(error), Some(port)) => {
            return Err(error).with_context(|| {
                format!("port {port} cannot be used: choose another with --port")
            });
        }
        (Err(_), None) => {
            let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, 0))
                .context("no port can be had on 127.0.0.1")?;
            println!(
                "Port {PORT} is taken, by another `cargo xtask serve` perhaps. A browser keeps a studio by address: \
                 what it saved under port {PORT} will not show under this one."
            );
            listener
        }
    };
    println!(
        "Glazefall is served at http://{}/ (stop with Ctrl-C)",
        listener.local_addr()?
    );
    run(&listener, Arc::new(house.site()));
    Ok(true)
}

/// Serves `folder` on a free port in the background; gives the address.
pub fn in_background(folder: PathBuf) -> Result<String> {
    let listener =
        TcpListener::bind((Ipv4Addr::LOCALHOST, 0)).context("no port can be had on 127.0.0.1")?;
    let address = format!("http://{}/", listener.local_addr()?);
    thread::spawn(move || run(&listener, Arc::new(folder)));
    Ok(address)
}

fn run(listener: &TcpListener, folder: Arc<PathBuf>) {
    for stream in listener.incoming().flatten() {
        let folder = Arc::clone(&folder);
        thread::spawn(move || {
            // A browser that goes away in the middle is no news.
            let _ = answer(&stream, &folder);
        });
    }
}

/// Answers requests on one connection until the browser closes it or is silent for a while.
fn answer(mut stream: &TcpStream, folder: &Path) -> std::io::Result<()> {
    stream.set_read_timeout(Some(Duration::from_secs(30)))?;
    stream.set_nodelay(true)?;
    let mut reader = BufReader::new(stream);
    while let Some(request) = read_head(&mut reader)? {
        let reply = reply(&request, folder);
        stream.write_all(&reply)?;
        if request.to_ascii_lowercase().contains("\nconnection: close") {
            break;
        }
    }
    Ok(())
}

fn read_head(reader: &mut impl BufRead) -> std::io::Result<Option<String>> {
    let mut head = Vec::new();
    let mut limited = reader.take(LONGEST_HEAD);
    loop {
        let before = head.len();
        if limited.read_until(b'\n', &mut head)? == 0 {
            return Ok(None);
        }
        if matches!(&head[before..], b"\r\n" | b"\n") {
            return Ok(Some(String::from_utf8_lossy(&head).into_owned()));
        }
    }
}

fn reply(request: &str, folder: &Path) -> Vec<u8> {
    let mut words = request.split_whitespace();
    let (method, target) = (words.next().unwrap_or(""), words.next().unwrap_or(""));
    if method != "GET" && method != "HEAD" {
        return response(
            "405 Method Not Allowed",
            "text/plain; charset=utf-8",
            "no-store",
            b"only GET\n",
            true,
        );
    }
    let file = file_of(target).map(|name| (folder.join(&name), name));
    match file.and_then(|(path, name)| Some((fs::read(path).ok()?, name))) {
        Some((content, name)) => response(
            "200 OK",
            kind_of(&name),
            caching_of(&name),
            &content,
            method == "GET",
        ),
        None => response(
            "404 Not Found",
            "text/plain; charset=utf-8",
            "no-store",
            b"not here\n",
            method == "GET",
        ),
    }
}

fn response(
    status: &str,
    kind: &str,
    caching: &str,
    content: &[u8],
    with_content: bool,
) -> Vec<u8> {
    let mut bytes = format!(
        "HTTP/1.1 {status}\r\nContent-Type: {kind}\r\nContent-Length: {}\r\nCache-Control: {caching}\r\n\
         Content-Security-Policy: {}; frame-ancestors 'none'\r\nX-Content-Type-Options: nosniff\r\n\
         Referrer-Policy: no-referrer\r\nCross-Origin-Opener-Policy: same-origin\r\n\r\n",
        content.len(),
        site::CSP
    )
    .into_bytes();
    if with_content {
        bytes.extend_from_slice(content);
    }
    bytes
}

/// The file's name for a request's target: the site is one flat folder, so a name with anything but letters, digits,
/// `-`, `_` and single dots between them is not in it.
fn file_of(target: &str) -> Option<String> {
    let path = target.split(['?', '#']).next()?.strip_prefix('/')?;
    let name = if path.is_empty() { site::INDEX } else { path };
    let plain = name.split('.').all(|part| {
        !part.is_empty()
            && part
                .chars()
                .all(|c| c.is_ascii_alphanumeric() || c == '-' || c == '_')
    });
    plain.then(|| name.to_string())
}

fn kind_of(name: &str) -> &'static str {
    match name.rsplit('.').next() {
        Some("html") => "text/html; charset=utf-8",
        Some("js") => "text/javascript; charset=utf-8",
        Some("css") => "text/css; charset=utf-8",
        Some("wasm") => "application/wasm",
        Some("svg") => "image/svg+xml",
        Some("json") => "application/json",
        Some("webmanifest") => "application/manifest+json",
        _ => "application/octet-stream",
    }
}

/// A name with a content's hash never changes; the others are asked for each time.
fn caching_of(name: &str) -> &'static str {
    if name == site::INDEX || name == site::SERVICE_WORKER {
        "no-cache"
    } else {
        "max-age=31536000, immutable"
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn folder(test: &str) -> PathBuf {
        let folder =
            std::env::temp_dir().join(format!("glazefall-serve-{test}-{}", std::process::id()));
        fs::create_dir_all(&folder).unwrap();
        fs::write(folder.join("index.html"), "<p>page").unwrap();
        fs::write(folder.join("core-0123.wasm"), b"\0asm").unwrap();
        folder
    }

    fn asked(request: &str, folder: &Path) -> String {
        String::from_utf8_lossy(&reply(request, folder)).into_owned()
    }

    #[test]
    fn types_caching_and_policy_are_those_of_a_careful_host() {
        let folder = folder("types");
        let index = asked("GET / HTTP/1.1\r\n\r\n", &folder);
        assert!(
            index.starts_with("HTTP/1.1 200") && index.ends_with("<p>page"),
            "{index}"
        );
        assert!(
            index.contains("Cache-Control: no-cache") && index.contains("'wasm-unsafe-eval'"),
            "{index}"
        );
        let wasm = asked("GET /core-0123.wasm?x HTTP/1.1\r\n\r\n", &folder);
        assert!(
            wasm.contains("Content-Type: application/wasm") && wasm.contains("immutable"),
            "{wasm}"
        );
        let head = asked("HEAD / HTTP/1.1\r\n\r\n", &folder);
        assert!(
            head.contains("Content-Length: 7") && head.ends_with("\r\n\r\n"),
            "{head}"
        );
        assert!(asked("POST / HTTP/1.1\r\n\r\n", &folder).starts_with("HTTP/1.1 405"));
        fs::remove_dir_all(folder).unwrap();
    }

    #[test]
    fn nothing_outside_the_folder_is_served() {
        let folder = folder("outside");
        for target in [
            "/../Cargo.toml",
            "/..%2fCargo.toml",
            "//etc/passwd",
            "/.core.stamp",
            "/a/../index.html",
            "x",
            "",
        ] {
            assert!(
                asked(&format!("GET {target} HTTP/1.1\r\n\r\n"), &folder)
                    .starts_with("HTTP/1.1 404"),
                "{target}"
            );
        }
        fs::remove_dir_all(folder).unwrap();
    }

    #[test]
    fn a_real_connection_serves_two_requests_and_closes_when_asked() {
        let folder = folder("connection");
        let address = in_background(folder.clone()).unwrap();
        let host = address.trim_start_matches("http://").trim_end_matches('/');
        let mut stream = TcpStream::connect(host).unwrap();
        stream
            .write_all(b"GET / HTTP/1.1\r\n\r\nGET /absent HTTP/1.1\r\nConnection: close\r\n\r\n")
            .unwrap();
        let mut text = String::new();
        stream.read_to_string(&mut text).unwrap();
        assert_eq!(text.matches("HTTP/1.1 ").count(), 2, "{text}");
        assert!(
            text.contains("<p>page") && text.ends_with("not here\n"),
            "{text}"
        );
        fs::remove_dir_all(folder).unwrap();
    }

    #[test]
    fn an_endless_request_is_given_up() {
        let endless = vec![b'a'; 40_000];
        assert!(read_head(&mut endless.as_slice()).unwrap().is_none());
    }
}
