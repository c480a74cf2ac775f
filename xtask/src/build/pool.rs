//! Constants of the page's core in fewer bytes: each number as the shortest instructions that make the very same bits, and
//! those that stand in many places once, as a global that never changes.
//!
//! Takes a wasm module; gives the same module. Compilers leave this out: an `f64.const` is nine bytes, however round.

use std::collections::HashMap;
use std::ops::Range;

use anyhow::{Context, Result};
use wasmparser::{Operator, Parser, Payload};

/// Indices below this take one byte.
pub const NEAR: u32 = 128;

/// A constant by its bits.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
enum Constant {
    I32(i32),
    I64(i64),
    F64(u64),
    /// Two floats, usually the same twice: a compiler of wasm makes them by three instructions where a global takes one.
    V128(u128),
}

/// A section of the module that is copied or made anew.
enum Part<'a> {
    Whole(u8, &'a [u8]),
    Globals(u32, &'a [u8]),
    Code(Vec<Body<'a>>),
}

/// A function's code, and where in it which constants stand.
struct Body<'a> {
    bytes: &'a [u8],
    constants: Vec<(Range<usize>, Constant)>,
}

/// The module with its constants pooled.
pub fn pooled(wasm: &[u8]) -> Result<Vec<u8>> {
    let mut parts = Vec::new();
    let mut globals = 0;
    for payload in Parser::new(0).parse_all(wasm) {
        match payload.context("this is no wasm")? {
            Payload::ImportSection(section) => {
                for import in section.clone().into_imports() {
                    globals += u32::from(matches!(import?.ty, wasmparser::TypeRef::Global(_)));
                }
                parts.push(Part::Whole(2, &wasm[section.range()]));
            }
            Payload::GlobalSection(section) => {
                let count = section.count();
                let range = section.range();
                let first = range.start + leb(count.into()).len();
                globals += count;
                parts.push(Part::Globals(count, &wasm[first..range.end]));
            }
            Payload::CodeSectionStart { .. } => parts.push(Part::Code(Vec::new())),
            Payload::CodeSectionEntry(body) => {
                if let Some(Part::Code(bodies)) = parts.last_mut() {
                    bodies.push(Body::of(wasm, &body)?);
                }
            }
            other => {
                if let Some((id, range)) = other.as_section() {
                    parts.push(Part::Whole(id, &wasm[range]));
                }
            }
        }
    }
    let pool = Pool::of(&parts, globals);
    let mut out = wasm[..8].to_vec();
    for part in &parts {
        let (id, bytes) = match part {
            Part::Whole(id, bytes) => (*id, bytes.to_vec()),
            Part::Globals(count, old) => (6, pool.globals(*count, old)),
            Part::Code(bodies) => (10, pool.code(bodies)),
        };
        out.push(id);
        out.extend(leb(bytes.len() as u64));
        out.extend(bytes);
    }
    Ok(out)
}

impl<'a> Body<'a> {
    fn of(wasm: &'a [u8], body: &wasmparser::FunctionBody<'a>) -> Result<Self> {
        let whole = body.range();
        let mut constants = Vec::new();
        let mut operators = body.get_operators_reader()?;
        while !operators.eof() {
            let from = operators.original_position();
            let constant = match operators.read()? {
                Operator::I32Const { value } => Constant::I32(value),
                Operator::I64Const { value } => Constant::I64(value),
                Operator::F64Const { value } => Constant::F64(value.bits()),
                Operator::V128Const { value } => {
                    Constant::V128(u128::from_le_bytes(*value.bytes()))
                }
                _ => continue,
            };
            let to = operators.original_position();
            constants.push((from - whole.start..to - whole.start, constant));
        }
        Ok(Self {
            bytes: &wasm[whole],
            constants,
        })
    }
}

impl Constant {
    /// The instruction with the value in it.
    fn plain(self) -> Vec<u8> {
        match self {
            Self::I32(value) => [vec![0x41], signed_leb(value.into())].concat(),
            Self::I64(value) => [vec![0x42], signed_leb(value)].concat(),
            Self::F64(bits) => [vec![0x44], bits.to_le_bytes().to_vec()].concat(),
            Self::V128(bits) => [vec![0xfd, 0x0c], bits.to_le_bytes().to_vec()].concat(),
        }
    }

    /// The shortest instructions that make the value: a whole number is converted from an integer, what a float of half the
    /// width can hold is widened from it. Compilers of wasm work both out once.
    fn short(self) -> Vec<u8> {
        let plain = self.plain();
        let Self::F64(bits) = self else { return plain };
        let value = f64::from_bits(bits);
        let whole = value as i32;
        let half = value as f32;
        let mut shortest = plain;
        let converted = [vec![0x41], signed_leb(whole.into()), vec![0xb7]].concat();
        let widened = [vec![0x43], half.to_le_bytes().to_vec(), vec![0xbb]].concat();
        // By bits, so that −0 stays −0; what is not a number is left alone.
        for (made, instructions) in [(f64::from(whole), converted), (f64::from(half), widened)] {
            if made.to_bits() == bits && !value.is_nan() && instructions.len() < shortest.len() {
                shortest = instructions;
            }
        }
        shortest
    }
}

/// The constants that became globals, in their order.
struct Pool {
    order: Vec<Constant>,
    index: HashMap<Constant, u32>,
}

impl Pool {
    fn of(parts: &[Part<'_>], first: u32) -> Self {
        let mut counts: HashMap<Constant, usize> = HashMap::new();
        for part in parts {
            if let Part::Code(bodies) = part {
                for (_, constant) in bodies.iter().flat_map(|body| &body.constants) {
                    *counts.entry(*constant).or_default() += 1;
                }
            }
        }
        let gain = |constant: Constant, count: usize, access: usize| {
            // A conversion of a small number is worked out by the compiler; a global has to be loaded.
            let short = match constant.short() {
                short if matches!(constant, Constant::F64(_)) && short.len() == 3 => 2,
                short => short.len(),
            };
            let entry = 3 + constant.plain().len();
            (count * short).checked_sub(count * access + entry)
        };
        let mut worth: Vec<(usize, usize, Constant)> = counts
            .iter()
            .filter_map(|(constant, count)| Some((gain(*constant, *count, 2)?, *count, *constant)))
            .collect();
        worth.sort_unstable_by_key(|(gain, _, constant)| (std::cmp::Reverse(*gain), *constant));
        let mut pool = Self {
            order: Vec::new(),
            index: HashMap::new(),
        };
        for (_, count, constant) in worth {
            let index = first + pool.order.len() as u32;
            let access = if index < NEAR { 2 } else { 3 };
            if gain(constant, count, access).is_some_and(|gain| gain > 0) {
                pool.index.insert(constant, index);
                pool.order.push(constant);
            }
        }
        pool
    }

    fn globals(&self, count: u32, old: &[u8]) -> Vec<u8> {
        let mut bytes = leb(u64::from(count) + self.order.len() as u64);
        bytes.extend(old);
        for constant in &self.order {
            let kind = match constant {
                Constant::I32(_) => 0x7f,
                Constant::I64(_) => 0x7e,
                Constant::F64(_) => 0x7c,
                Constant::V128(_) => 0x7b,
            };
            // Its type, never changed, its value, end.
            bytes.extend([kind, 0]);
            bytes.extend(constant.plain());
            bytes.push(0x0b);
        }
        bytes
    }

    fn code(&self, bodies: &[Body<'_>]) -> Vec<u8> {
        let mut bytes = leb(bodies.len() as u64);
        for body in bodies {
            let mut made = Vec::with_capacity(body.bytes.len());
            let mut from = 0;
            for (range, constant) in &body.constants {
                made.extend(&body.bytes[from..range.start]);
                match self.index.get(constant) {
                    Some(index) => made.extend([vec![0x23], leb((*index).into())].concat()),
                    None => made.extend(constant.short()),
                }
                from = range.end;
            }
            made.extend(&body.bytes[from..]);
            bytes.extend(leb(made.len() as u64));
            bytes.extend(made);
        }
        bytes
    }
}

/// A number as wasm writes those without a sign.
pub fn leb(mut value: u64) -> Vec<u8> {
    let mut bytes = Vec::new();
    loop {
        let low = (value & 0x7f) as u8;
        value >>= 7;
        if value == 0 {
            bytes.push(low);
            return bytes;
        }
        bytes.push(low | 0x80);
    }
}

fn signed_leb(mut value: i64) -> Vec<u8> {
    let mut bytes = Vec::new();
    loop {
        let low = (value & 0x7f) as u8;
        value >>= 7;
        if (value == 0 && low & 0x40 == 0) || (value == -1 && low & 0x40 != 0) {
            bytes.push(low);
            return bytes;
        }
        bytes.push(low | 0x80);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// One function without parameters that gives nothing: each constant made and dropped.
    fn module(constants: &[Constant]) -> Vec<u8> {
        let mut body = vec![0];
        for constant in constants {
            body.extend(constant.plain());
            body.push(0x1a);
        }
        body.push(0x0b);
        let mut wasm = b"\0asm\x01\0\0\0".to_vec();
        let code = [vec![1], leb(body.len() as u64), body].concat();
        // A type, a function of it, a mutable global, its code.
        for (id, bytes) in [
            (1, vec![1, 0x60, 0, 0]),
            (3, vec![1, 0]),
            (6, vec![1, 0x7f, 1, 0x41, 0, 0x0b]),
            (10, code),
        ] {
            wasm.push(id);
            wasm.extend(leb(bytes.len() as u64));
            wasm.extend(bytes);
        }
        wasm
    }

    /// What the function of [`module`] makes, as the engine would: constants, conversions of them and globals.
    fn made(wasm: &[u8]) -> Vec<Constant> {
        let constant = |operator: &Operator<'_>| match operator {
            Operator::I32Const { value } => Some(Constant::I32(*value)),
            Operator::I64Const { value } => Some(Constant::I64(*value)),
            Operator::F64Const { value } => Some(Constant::F64(value.bits())),
            Operator::V128Const { value } => {
                Some(Constant::V128(u128::from_le_bytes(*value.bytes())))
            }
            Operator::F32Const { value } => Some(Constant::F64(
                f64::from(f32::from_bits(value.bits())).to_bits(),
            )),
            _ => None,
        };
        let (mut globals, mut made) = (Vec::new(), Vec::new());
        for payload in Parser::new(0).parse_all(wasm) {
            match payload.unwrap() {
                Payload::GlobalSection(section) => {
                    for global in section {
                        let first = global.unwrap().init_expr.get_operators_reader().read();
                        globals.push(constant(&first.unwrap()).unwrap());
                    }
                }
                Payload::CodeSectionEntry(body) => {
                    for operator in body.get_operators_reader().unwrap() {
                        match operator.unwrap() {
                            Operator::GlobalGet { global_index } => {
                                made.push(globals[global_index as usize]);
                            }
                            Operator::F64ConvertI32S => {
                                let Some(Constant::I32(whole)) = made.pop() else {
                                    panic!("only an integer is converted");
                                };
                                made.push(Constant::F64(f64::from(whole).to_bits()));
                            }
                            other => made.extend(constant(&other)),
                        }
                    }
                }
                _ => {}
            }
        }
        made
    }

    #[test]
    fn every_constant_keeps_its_bits_and_takes_fewer_bytes() {
        let mut constants = Vec::new();
        for value in [
            0.0,
            -0.0,
            1.0,
            -64.0,
            1e6,
            0.5,
            0.1,
            f64::INFINITY,
            f64::MIN_POSITIVE,
            5e-324,
            f64::MAX,
            2_147_483_648.0,
            1e300,
        ] {
            constants.push(Constant::F64(f64::to_bits(value)));
        }
        constants.push(Constant::F64(0x7ff8_0000_0000_0001));
        for value in [0, -1, i32::MIN, i32::MAX, 1 << 20] {
            constants.push(Constant::I32(value));
            constants.push(Constant::I64(i64::from(value) << 32));
            constants.push(Constant::V128(0x7ff8_0000_0000_0001 << (value & 64)));
        }
        // So often that globals are worth it.
        let often: Vec<Constant> = constants
            .iter()
            .cycle()
            .take(40 * constants.len())
            .copied()
            .collect();
        for constants in [constants, often] {
            let wasm = module(&constants);
            let pooled = pooled(&wasm).unwrap();
            assert_eq!(made(&pooled), constants);
            assert!(pooled.len() < wasm.len());
        }
    }
}
