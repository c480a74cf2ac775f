//! The browser is known in one room only, and the page computes nothing.

use crate::files::{code_lines, texts};

#[test]
fn only_wasm_names_the_browser() {
    let browser = ["wasm_bindgen", "js_sys", "web_sys"];
    let mut wrong = Vec::new();
    for file in texts("crate/src", &[".rs"]) {
        if file.path.starts_with("crate/src/wasm/") || file.path == "crate/src/wasm.rs" {
            continue;
        }
        for (number, line) in code_lines(&file.text) {
            if browser.iter().any(|name| line.contains(name)) {
                wrong.push(format!("{}:{number}", file.path));
            }
        }
    }
    assert!(
        wrong.is_empty(),
        "wasm-bindgen, js-sys and web-sys are named outside crate/src/wasm:\n{}",
        wrong.join("\n")
    );
}

#[test]
fn the_page_computes_nothing() {
    // Powers, roots and logarithms are the marks of physics; placing marks on a scale needs none of them.
    let physics = [
        "pow", "exp", "expm1", "log", "log10", "log2", "log1p", "cbrt", "tanh", "sinh", "cosh",
    ];
    let mut wrong = Vec::new();
    for file in texts("www", &[".ts", ".html"]) {
        for (index, line) in file.text.lines().enumerate() {
            if physics
                .iter()
                .any(|name| line.contains(&format!("Math.{name}(")))
                || line.contains(" ** ")
            {
                wrong.push(format!("{}:{} {}", file.path, index + 1, line.trim()));
            }
        }
    }
    assert!(
        wrong.is_empty(),
        "the page asks the core instead of computing:\n{}",
        wrong.join("\n")
    );
}

#[test]
fn the_page_asks_nobody_elsewhere() {
    // No font, script, picture or style from another host: every address in the page's sources is relative.
    let mut wrong = Vec::new();
    for file in texts("www", &[".ts", ".html", ".css", ".webmanifest"]) {
        for (index, line) in file.text.lines().enumerate() {
            let outside = ["http:", "https:", "ws:", "wss:"]
                .iter()
                .any(|scheme| line.contains(&format!("{scheme}//")));
            // The names of XML's vocabularies look like addresses and are never fetched.
            if outside && !line.contains("www.w3.org/") {
                wrong.push(format!("{}:{} {}", file.path, index + 1, line.trim()));
            }
        }
    }
    assert!(
        wrong.is_empty(),
        "the page names another host:\n{}",
        wrong.join("\n")
    );
}

#[test]
fn the_core_sorts_in_one_place() {
    // Each call of the standard library's sort is some 4 KB of wasm; see crate/src/order.rs.
    let mut wrong = Vec::new();
    for file in texts("crate/src", &[".rs"]) {
        for (number, line) in
            code_lines(&file.text).take_while(|(_, line)| !line.contains("#[cfg(test)]"))
        {
            if line.contains(".sort") && file.path != "crate/src/order.rs" {
                wrong.push(format!("{}:{number}", file.path));
            }
        }
    }
    assert!(
        wrong.is_empty(),
        "use crate::order instead of the slice's own sort:\n{}",
        wrong.join("\n")
    );
}
