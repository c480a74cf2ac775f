//! The functions that are called most come first: a call names its function by number, and the first 128 take one byte.
//!
//! Takes a wasm module; gives the same module with its functions in another order. Among themselves both the near and the
//! far ones stay as they were: neighbours resemble one another, which compression lives on.

use std::ops::Range;

use anyhow::{Context, Result, bail};
use wasmparser::{
    ElementItems, ElementKind, ExternalKind, FunctionBody, Operator, Parser, Payload, TypeRef,
};

use super::pool::{NEAR, leb};

/// Bytes of the module, or a function's number among them.
enum Piece {
    Bytes(Range<usize>),
    Function(u32),
}

/// A section, made anew; what a section holds for each function is put in order.
enum Part {
    Whole(u8, Vec<Piece>),
    Types(Vec<Vec<u8>>),
    Code(Vec<Vec<Piece>>),
}

/// The module with its most called functions first. One with names in it, which nobody loads, is left as it is.
pub fn first(wasm: &[u8]) -> Result<Vec<u8>> {
    let (mut parts, mut imported) = (Vec::new(), 0);
    for payload in Parser::new(0).parse_all(wasm) {
        match payload.context("this is no wasm")? {
            Payload::CustomSection(section) if section.name() == "name" => {
                return Ok(wasm.to_vec());
            }
            Payload::ImportSection(section) => {
                for import in section.clone().into_imports() {
                    imported += u32::from(matches!(import?.ty, TypeRef::Func(_)));
                }
                parts.push(Part::Whole(2, vec![Piece::Bytes(section.range())]));
            }
            Payload::FunctionSection(section) => {
                let types: std::result::Result<Vec<u32>, _> = section.into_iter().collect();
                parts.push(Part::Types(
                    types?.into_iter().map(|t| leb(t.into())).collect(),
                ));
            }
            Payload::ExportSection(section) => {
                let mut pieces = Pieces::from(section.range().start);
                for export in section.clone().into_iter_with_offsets() {
                    let (at, export) = export?;
                    if export.kind == ExternalKind::Func {
                        // A name with its length before it, the kind's byte, the number.
                        let name = leb(export.name.len() as u64).len() + export.name.len();
                        pieces.function(at + name + 1, export.index);
                    }
                }
                parts.push(Part::Whole(7, pieces.up_to(section.range().end)));
            }
            Payload::ElementSection(section) => {
                let mut pieces = Pieces::from(section.range().start);
                for element in section.clone() {
                    let element = element?;
                    let (ElementKind::Active { .. }, ElementItems::Functions(items)) =
                        (element.kind, element.items)
                    else {
                        bail!("a table is filled in a way that is not foreseen");
                    };
                    for item in items.into_iter_with_offsets() {
                        let (at, index) = item?;
                        pieces.function(at, index);
                    }
                }
                parts.push(Part::Whole(9, pieces.up_to(section.range().end)));
            }
            Payload::StartSection { .. } => bail!("a module that starts by itself is not foreseen"),
            Payload::CodeSectionStart { .. } => parts.push(Part::Code(Vec::new())),
            Payload::CodeSectionEntry(body) => {
                if let Some(Part::Code(bodies)) = parts.last_mut() {
                    bodies.push(calls(&body)?);
                }
            }
            other => {
                if let Some((id, range)) = other.as_section() {
                    parts.push(Part::Whole(id, vec![Piece::Bytes(range)]));
                }
            }
        }
    }
    let order = order(&parts, imported);
    let mut numbers: Vec<u32> = (0..imported + order.len() as u32).collect();
    for (place, old) in order.iter().enumerate() {
        numbers[imported as usize + old] = imported + place as u32;
    }
    let mut out = wasm[..8].to_vec();
    for part in &parts {
        let (id, bytes) = match part {
            Part::Whole(id, pieces) => (*id, written(wasm, pieces, &numbers)),
            Part::Types(types) => {
                let mut bytes = leb(types.len() as u64);
                bytes.extend(order.iter().flat_map(|old| &types[*old]));
                (3, bytes)
            }
            Part::Code(bodies) => {
                let mut bytes = leb(bodies.len() as u64);
                for old in &order {
                    let body = written(wasm, &bodies[*old], &numbers);
                    bytes.extend(leb(body.len() as u64));
                    bytes.extend(body);
                }
                (10, bytes)
            }
        };
        out.push(id);
        out.extend(leb(bytes.len() as u64));
        out.extend(bytes);
    }
    Ok(out)
}

/// Bytes up to each function's number, and the numbers.
struct Pieces {
    list: Vec<Piece>,
    from: usize,
}

impl Pieces {
    fn from(from: usize) -> Self {
        Self {
            list: Vec::new(),
            from,
        }
    }

    /// At `at` stands the number of a function.
    fn function(&mut self, at: usize, index: u32) {
        self.list.push(Piece::Bytes(self.from..at));
        self.list.push(Piece::Function(index));
        self.from = at + leb(index.into()).len();
    }

    fn up_to(mut self, end: usize) -> Vec<Piece> {
        self.list.push(Piece::Bytes(self.from..end));
        self.list
    }
}

/// A function's code, with the functions that it calls.
fn calls(body: &FunctionBody<'_>) -> Result<Vec<Piece>> {
    let mut pieces = Pieces::from(body.range().start);
    for operator in body.get_operators_reader()?.into_iter_with_offsets() {
        let (operator, at) = operator?;
        match operator {
            // Behind the instruction's one byte.
            Operator::Call { function_index } | Operator::RefFunc { function_index } => {
                pieces.function(at + 1, function_index);
            }
            Operator::ReturnCall { .. } => bail!("a call in place of a return is not foreseen"),
            _ => {}
        }
    }
    Ok(pieces.up_to(body.range().end))
}

/// The module's own functions in their new order, by their old places.
fn order(parts: &[Part], imported: u32) -> Vec<usize> {
    let count = parts.iter().find_map(|part| match part {
        Part::Code(bodies) => Some(bodies.len()),
        _ => None,
    });
    let mut called = vec![0_usize; count.unwrap_or(0)];
    for part in parts {
        let Part::Code(bodies) = part else { continue };
        for piece in bodies.iter().flatten() {
            if let Piece::Function(index) = piece
                && let Some(own) = index.checked_sub(imported)
            {
                called[own as usize] += 1;
            }
        }
    }
    let mut most: Vec<usize> = (0..called.len()).collect();
    most.sort_by_key(|place| std::cmp::Reverse(called[*place]));
    let near = NEAR.saturating_sub(imported) as usize;
    let mut far = most.split_off(near.min(most.len()));
    most.sort_unstable();
    far.sort_unstable();
    most.extend(far);
    most
}

fn written(wasm: &[u8], pieces: &[Piece], numbers: &[u32]) -> Vec<u8> {
    let mut bytes = Vec::new();
    for piece in pieces {
        match piece {
            Piece::Bytes(range) => bytes.extend(&wasm[range.clone()]),
            Piece::Function(index) => bytes.extend(leb(numbers[*index as usize].into())),
        }
    }
    bytes
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 200 functions without parameters, each of which calls `called` of its place, exported under its place's number and
    /// in a table; the body of each holds its own old number as a constant.
    fn module(called: &dyn Fn(u32) -> u32) -> Vec<u8> {
        let (mut code, mut exports) = (leb(200), leb(200));
        for place in 0..200_u32 {
            let own = [vec![0x41], leb((1 << 14 | place).into()), vec![0x1a]].concat();
            let call = [vec![0x10], leb(called(place).into())].concat();
            let body = [vec![0], own, call, vec![0x0b]].concat();
            code.extend(leb(body.len() as u64));
            code.extend(body);
            let name = place.to_string();
            exports.push(name.len() as u8);
            exports.extend(name.bytes());
            exports.push(0);
            exports.extend(leb(place.into()));
        }
        let table: Vec<u8> = (0..200).flat_map(leb).collect();
        let elements = [vec![1, 0, 0x41, 0, 0x0b], leb(200), table].concat();
        let mut wasm = b"\0asm\x01\0\0\0".to_vec();
        for (id, bytes) in [
            (1, vec![1, 0x60, 0, 0]),
            (3, [leb(200), vec![0; 200]].concat()),
            (4, [vec![1, 0x70, 0], leb(200)].concat()),
            (7, exports),
            (9, elements),
            (10, code),
        ] {
            wasm.push(id);
            wasm.extend(leb(bytes.len() as u64));
            wasm.extend(bytes);
        }
        wasm
    }

    /// Of each function by its number what it says and whom it calls; by what numbers it is exported and in the table.
    fn read(wasm: &[u8]) -> (Vec<(i32, u32)>, Vec<u32>, Vec<u32>) {
        let (mut bodies, mut exported, mut table) = (Vec::new(), Vec::new(), Vec::new());
        for payload in Parser::new(0).parse_all(wasm) {
            match payload.unwrap() {
                Payload::ExportSection(section) => {
                    exported.extend(section.into_iter().map(|export| export.unwrap().index));
                }
                Payload::ElementSection(section) => {
                    for element in section {
                        let ElementItems::Functions(items) = element.unwrap().items else {
                            panic!("functions")
                        };
                        table.extend(items.into_iter().map(|item| item.unwrap()));
                    }
                }
                Payload::CodeSectionEntry(body) => {
                    let (mut says, mut calls) = (0, 0);
                    for operator in body.get_operators_reader().unwrap() {
                        match operator.unwrap() {
                            Operator::I32Const { value } => says = value,
                            Operator::Call { function_index } => calls = function_index,
                            _ => {}
                        }
                    }
                    bodies.push((says & 0xff, calls));
                }
                _ => {}
            }
        }
        (bodies, exported, table)
    }

    #[test]
    fn the_most_called_come_first_and_everyone_finds_the_same() {
        // The last 100 are called by two each.
        let wasm = module(&|place| 100 + place / 2);
        let made = first(&wasm).unwrap();
        assert!(made.len() < wasm.len());
        let (bodies, exported, table) = read(&made);
        for (says, calls) in &bodies {
            assert_eq!(bodies[*calls as usize].0, 100 + says / 2);
        }
        for place in 0..200 {
            assert_eq!(bodies[exported[place] as usize].0, place as i32);
            assert_eq!(bodies[table[place] as usize].0, place as i32);
        }
        let order: Vec<i32> = bodies.iter().map(|(says, _)| *says).collect();
        let near = [(0..28).collect::<Vec<_>>(), (100..200).collect()].concat();
        assert_eq!(order[..128], near);
        assert_eq!(order[128..], (28..100).collect::<Vec<_>>());
        assert_eq!(first(&made).unwrap().len(), made.len());
    }
}
