//! The page's npm packages.
//!
//! Takes `www/package-lock.json`; gives `www/node_modules` as the lock has it, installed anew when the lock changed.

use std::fs;
use std::process::Command;

use anyhow::{Context, Result};

use crate::house::House;
use crate::sh;

/// The oldest node that runs the tests (`node --test` with glob patterns needs 21, with files 20).
const OLDEST_NODE: u32 = 20;

/// Installs the packages unless the same lock was installed before.
pub fn install(house: &House) -> Result<()> {
    check_node()?;
    let www = house.www();
    let lock = fs::read_to_string(www.join("package-lock.json"))
        .context("www/package-lock.json cannot be read")?;
    // The stamp lies inside the folder it speaks of, so it goes when the folder goes.
    let stamp = www.join("node_modules/.installed-lock");
    if fs::read_to_string(&stamp).is_ok_and(|installed| installed == lock) {
        return Ok(());
    }
    println!("npm ci: the page's packages, from www/package-lock.json");
    let npm = sh::find_in_path(&["npm", "npm.cmd"])
        .context("npm was not found: it comes with node; on Debian `sudo apt-get install npm`")?;
    sh::run(
        Command::new(npm)
            .args(["ci", "--ignore-scripts", "--no-progress"])
            .current_dir(&www),
    )?;
    fs::write(&stamp, lock).with_context(|| format!("{} cannot be written", stamp.display()))
}

fn check_node() -> Result<()> {
    let said = sh::output(Command::new("node").arg("--version")).context(
        "node was not found: install node 20 or newer; on Debian `sudo apt-get install nodejs npm`",
    )?;
    let major =
        major(&said).with_context(|| format!("node says its version is {:?}", said.trim()))?;
    anyhow::ensure!(
        major >= OLDEST_NODE,
        "node {major} is too old: install node {OLDEST_NODE} or newer"
    );
    Ok(())
}

fn major(version: &str) -> Option<u32> {
    version
        .trim()
        .strip_prefix('v')?
        .split('.')
        .next()?
        .parse()
        .ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_major_version_is_read_from_what_node_says() {
        assert_eq!(major("v20.20.2\n"), Some(20));
        assert_eq!(major("20.1"), None);
    }
}
