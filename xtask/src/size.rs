//! Whose code the wasm is.
//!
//! Takes the page's core with its functions' names kept; gives bytes by room and by library, and the largest functions.
//! A function that was put into another one counts there.

use std::collections::BTreeMap;

use anyhow::{Context, Result, ensure};

use crate::build;
use crate::house::House;

/// How many functions are listed.
const LISTED: usize = 50;

/// Prints the tables.
pub fn print(house: &House) -> Result<()> {
    let wasm = build::core::build_named(house)?;
    print!("{}", table(&functions(&wasm)?));
    Ok(())
}

/// One function's name and the bytes of its code.
#[derive(Debug, PartialEq, Eq)]
struct Function {
    name: String,
    bytes: usize,
}

fn table(functions: &[Function]) -> String {
    let mut owners: BTreeMap<String, (usize, usize)> = BTreeMap::new();
    for function in functions {
        let (bytes, count) = owners.entry(owner(&function.name)).or_default();
        *bytes += function.bytes;
        *count += 1;
    }
    let mut owners: Vec<_> = owners.into_iter().collect();
    owners.sort_by_key(|(_, (bytes, _))| std::cmp::Reverse(*bytes));
    let mut text = String::from("| room or library | bytes of code | functions |\n|---|--:|--:|\n");
    for (owner, (bytes, count)) in owners.iter().filter(|(_, (bytes, _))| *bytes >= 500) {
        text += &format!("| {owner} | {bytes} | {count} |\n");
    }
    let mut largest: Vec<&Function> = functions.iter().collect();
    largest.sort_by_key(|function| std::cmp::Reverse(function.bytes));
    text += "\n| function | bytes |\n|---|--:|\n";
    for function in largest.iter().take(LISTED) {
        let name: String = function.name.chars().take(110).collect();
        text += &format!("| {name} | {} |\n", function.bytes);
    }
    text
}

/// The room of the core that a function belongs to or was compiled for, otherwise the library.
fn owner(name: &str) -> String {
    let word = |text: &str| -> String {
        text.chars()
            .take_while(|c| c.is_alphanumeric() || *c == '_')
            .collect()
    };
    if let Some((_, rest)) = name.split_once("glazefall::") {
        return format!("glazefall::{}", word(rest));
    }
    if name.starts_with("engine_") {
        return "glazefall::wasm".to_string();
    }
    word(name.trim_start_matches(['<', '&', '(', '[']))
}

/// The functions of a wasm module, by its code and name sections.
fn functions(wasm: &[u8]) -> Result<Vec<Function>> {
    ensure!(wasm.starts_with(b"\0asm"), "this is no wasm");
    let mut at = Reader { bytes: wasm, at: 8 };
    let (mut imported, mut sizes, mut names) = (0, Vec::new(), BTreeMap::new());
    while at.at < wasm.len() {
        let kind = at.byte()?;
        let length = at.number()?;
        let mut section = at.part(length)?;
        match kind {
            0 if section.text()? == "name" => names = section.function_names()?,
            2 => imported = section.imported_functions()?,
            10 => {
                for _ in 0..section.number()? {
                    let length = section.number()?;
                    section.part(length)?;
                    sizes.push(length);
                }
            }
            _ => {}
        }
    }
    Ok(sizes
        .into_iter()
        .enumerate()
        .map(|(place, bytes)| Function {
            name: names.get(&(imported + place)).map_or_else(
                || "unnamed".to_string(),
                |name| format!("{:#}", rustc_demangle::demangle(name)),
            ),
            bytes,
        })
        .collect())
}

/// Reads wasm's binary format, <https://webassembly.github.io/spec/core/binary/>.
struct Reader<'a> {
    bytes: &'a [u8],
    at: usize,
}

impl<'a> Reader<'a> {
    fn byte(&mut self) -> Result<u8> {
        let byte = *self.bytes.get(self.at).context("the wasm ends too early")?;
        self.at += 1;
        Ok(byte)
    }

    /// An unsigned LEB128 number.
    fn number(&mut self) -> Result<usize> {
        let mut number = 0;
        for shift in (0..64).step_by(7) {
            let byte = self.byte()?;
            number |= usize::from(byte & 127) << shift;
            if byte < 128 {
                return Ok(number);
            }
        }
        anyhow::bail!("a number in the wasm has no end")
    }

    fn part(&mut self, length: usize) -> Result<Reader<'a>> {
        let end = self.at.checked_add(length).context("the wasm is torn")?;
        let bytes = self
            .bytes
            .get(self.at..end)
            .context("the wasm ends too early")?;
        self.at = end;
        Ok(Reader { bytes, at: 0 })
    }

    fn text(&mut self) -> Result<&'a str> {
        let length = self.number()?;
        Ok(std::str::from_utf8(self.part(length)?.bytes)?)
    }

    /// Minimum and, where the flags say so, maximum.
    fn limits(&mut self) -> Result<()> {
        let flags = self.byte()?;
        self.number()?;
        if flags & 1 == 1 {
            self.number()?;
        }
        Ok(())
    }

    fn imported_functions(&mut self) -> Result<usize> {
        let mut count = 0;
        for _ in 0..self.number()? {
            self.text()?;
            self.text()?;
            match self.byte()? {
                0 => {
                    self.number()?;
                    count += 1;
                }
                1 => {
                    self.byte()?;
                    self.limits()?;
                }
                2 => self.limits()?,
                // A global's or a tag's two bytes.
                _ => {
                    self.byte()?;
                    self.byte()?;
                }
            }
        }
        Ok(count)
    }

    fn function_names(&mut self) -> Result<BTreeMap<usize, &'a str>> {
        let mut names = BTreeMap::new();
        while self.at < self.bytes.len() {
            let kind = self.byte()?;
            let length = self.number()?;
            let mut part = self.part(length)?;
            if kind == 1 {
                for _ in 0..part.number()? {
                    let place = part.number()?;
                    names.insert(place, part.text()?);
                }
            }
        }
        Ok(names)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: one imported function, one function `f` whose code has 2 bytes (no locals, end), its name.
    const SMALL: &[u8] = &[
        0, b'a', b's', b'm', 1, 0, 0, 0, // head
        1, 4, 1, 0x60, 0, 0, // types
        2, 7, 1, 1, b'a', 1, b'b', 0, 0, // an import
        3, 2, 1, 0, // functions
        10, 4, 1, 2, 0, 0x0b, // code
        0, 11, 4, b'n', b'a', b'm', b'e', 1, 4, 1, 1, 1, b'f', // names
    ];

    #[test]
    fn a_small_module_is_weighed() {
        assert_eq!(
            functions(SMALL).unwrap(),
            [Function {
                name: "f".to_string(),
                bytes: 2
            }]
        );
        for end in 9..SMALL.len() {
            // Torn anywhere: an error or a shorter answer, never a panic.
            let _ = functions(&SMALL[..end]);
        }
        assert!(functions(b"no wasm").is_err());
    }

    #[test]
    fn code_belongs_to_the_room_that_it_was_compiled_for() {
        assert_eq!(
            owner("<alloc::vec::Vec<glazefall::draw::Shape>>::push"),
            "glazefall::draw"
        );
        assert_eq!(owner("<f64 as core::fmt::Display>::fmt"), "f64");
        assert_eq!(owner("engine_pot"), "glazefall::wasm");
        assert_eq!(owner("core::num::flt2dec::format"), "core");
    }
}
