//! The browser that the tests drive.
//!
//! Takes the environment and the machine; gives the paths of Chromium and its driver, or one sentence that says
//! how to get them. Installs them itself only on CI, where nobody is there to do it.

use std::ffi::{OsStr, OsString};
use std::path::PathBuf;

use anyhow::{Context, Result, bail};

use crate::sh;

/// Chromium and its driver.
#[derive(Debug)]
pub struct Chromium {
    /// The browser.
    pub browser: PathBuf,
    /// Its WebDriver.
    pub driver: PathBuf,
}

/// Names the browser where it is not in `PATH`.
const BROWSER: &str = "GLAZEFALL_CHROMIUM";
/// Names its driver likewise; the variable is the one that wasm-bindgen's test runner reads.
const DRIVER: &str = "CHROMEDRIVER";
const BROWSERS: [&str; 4] = [
    "chromium",
    "chromium-browser",
    "google-chrome",
    "google-chrome-stable",
];
const DRIVERS: [&str; 2] = ["chromedriver", "chromium.chromedriver"];

/// Finds Chromium; on CI with apt-get, installs it first where it is missing.
pub fn find() -> Result<Chromium> {
    let first = look(&Machine::this());
    if first.is_err()
        && std::env::var_os("CI").is_some()
        && sh::find_in_path(&["apt-get"]).is_some()
    {
        println!(
            "Chromium is missing and CI is set: installing chromium and chromium-driver with apt-get"
        );
        sh::apt_install(&["chromium", "chromium-driver"])?;
        return look(&Machine::this());
    }
    first
}

/// What a search for programs depends on.
struct Machine {
    path: OsString,
    browser: Option<OsString>,
    driver: Option<OsString>,
}

impl Machine {
    fn this() -> Self {
        Self {
            path: std::env::var_os("PATH").unwrap_or_default(),
            browser: std::env::var_os(BROWSER),
            driver: std::env::var_os(DRIVER),
        }
    }
}

fn look(machine: &Machine) -> Result<Chromium> {
    Ok(Chromium {
        browser: one(
            "Chromium",
            BROWSER,
            machine.browser.as_ref(),
            &BROWSERS,
            &machine.path,
        )?,
        driver: one(
            "ChromeDriver",
            DRIVER,
            machine.driver.as_ref(),
            &DRIVERS,
            &machine.path,
        )?,
    })
}

fn one(
    what: &str,
    variable: &str,
    named: Option<&OsString>,
    names: &[&str],
    path: &OsStr,
) -> Result<PathBuf> {
    match named.filter(|value| !value.is_empty()) {
        Some(file) => {
            let file = PathBuf::from(file);
            if !file.is_file() {
                bail!(
                    "{variable} names {}, which is no file: {}",
                    file.display(),
                    remedy(variable)
                );
            }
            Ok(file)
        }
        None => sh::find_in(names, path)
            .with_context(|| format!("{what} was not found: {}", remedy(variable))),
    }
}

fn remedy(variable: &str) -> String {
    format!(
        "install it with `sudo apt-get install chromium chromium-driver`, or set {variable} to its path"
    )
}

/// Capabilities for the driver: headless, and without the sandbox where the kernel refuses it (as root, in a container).
pub fn webdriver_json(chromium: &Chromium) -> String {
    serde_json::json!({
        "goog:chromeOptions": {
            "binary": chromium.browser,
            "args": ["--headless=new", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage"],
        }
    })
    .to_string()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_missing_chromium_is_one_sentence_with_the_command() {
        let bare = Machine {
            path: OsString::new(),
            browser: None,
            driver: None,
        };
        let said = look(&bare).unwrap_err().to_string();
        assert_eq!(
            said,
            "Chromium was not found: install it with `sudo apt-get install chromium chromium-driver`, \
             or set GLAZEFALL_CHROMIUM to its path"
        );
    }

    #[test]
    fn a_wrong_path_is_named_and_nothing_else_is_taken_instead() {
        let wrong = Machine {
            browser: Some("/no/such/browser".into()),
            ..Machine::this()
        };
        let said = look(&wrong).unwrap_err().to_string();
        assert!(
            said.starts_with("GLAZEFALL_CHROMIUM names /no/such/browser, which is no file"),
            "{said}"
        );
        // The driver is looked for by itself: a browser alone is not enough.
        let here: OsString = std::env::current_exe().unwrap().into();
        let half = Machine {
            path: OsString::new(),
            browser: Some(here),
            driver: None,
        };
        assert!(
            look(&half)
                .unwrap_err()
                .to_string()
                .starts_with("ChromeDriver was not found")
        );
    }

    #[test]
    fn the_driver_is_told_which_browser_and_to_show_no_window() {
        let chromium = Chromium {
            browser: "/usr/bin/chromium".into(),
            driver: "/usr/bin/chromedriver".into(),
        };
        let json: serde_json::Value = serde_json::from_str(&webdriver_json(&chromium)).unwrap();
        let options = &json["goog:chromeOptions"];
        assert_eq!(options["binary"], "/usr/bin/chromium");
        assert!(
            options["args"]
                .as_array()
                .unwrap()
                .iter()
                .any(|word| word == "--headless=new")
        );
    }
}
