//! The browser that the tests drive.
//!
//! Takes the environment and the machine; gives the paths of Chromium and its driver, or one sentence that says
//! how to get them. Installs them itself only on CI, where nobody is there to do it.

use std::path::PathBuf;
use std::process::Command;

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

const BROWSERS: [&str; 4] = [
    "chromium",
    "chromium-browser",
    "google-chrome",
    "google-chrome-stable",
];
const DRIVERS: [&str; 2] = ["chromedriver", "chromium.chromedriver"];

/// Finds Chromium; on CI with apt-get, installs it first where it is missing.
pub fn find() -> Result<Chromium> {
    let first = look();
    if first.is_err()
        && std::env::var_os("CI").is_some()
        && sh::find_in_path(&["apt-get"]).is_some()
    {
        println!(
            "Chromium is missing and CI is set: installing chromium and chromium-driver with apt-get"
        );
        sh::run(Command::new("apt-get").args(["update", "--quiet"]))?;
        sh::run(
            Command::new("apt-get")
                .args([
                    "install",
                    "--yes",
                    "--quiet",
                    "--no-install-recommends",
                    "chromium",
                    "chromium-driver",
                ])
                .env("DEBIAN_FRONTEND", "noninteractive"),
        )?;
        return look();
    }
    first
}

fn look() -> Result<Chromium> {
    Ok(Chromium {
        browser: one("Chromium", "GLAZEFALL_CHROMIUM", &BROWSERS)?,
        driver: one("ChromeDriver", "CHROMEDRIVER", &DRIVERS)?,
    })
}

fn one(what: &str, variable: &str, names: &[&str]) -> Result<PathBuf> {
    match std::env::var_os(variable).filter(|value| !value.is_empty()) {
        Some(path) => {
            let path = PathBuf::from(path);
            if !path.is_file() {
                bail!(
                    "{variable} names {}, which is no file: {}",
                    path.display(),
                    remedy(variable)
                );
            }
            Ok(path)
        }
        None => sh::find_in_path(names)
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
