//! Puts the functions of a WebAssembly module in an order in which it compresses better: alike ones beside each other.
//!
//! Compression looks back 32 kB. A compiler leaves functions in an order of its own, and copies of one generic function are far apart. What the
//! module does stays the same: each function gets another number, and whoever calls it calls that.

use crate::Trouble;
use std::collections::{HashMap, VecDeque};
use std::convert::Infallible;
use wasm_encoder::reencode::{Error, Reencode, utils};
use wasm_encoder::{CodeSection, FunctionSection, Module};
use wasmparser::{BinaryReaderError, CodeSectionReader, FunctionBody, FunctionSectionReader, Parser, Payload, TypeRef};

/// The same module with its functions in another order.
pub fn reordered(wasm: &[u8]) -> Result<Vec<u8>, Trouble> {
    let (mut imported, mut bodies) = (0, Vec::new());
    for part in Parser::new(0).parse_all(wasm) {
        match part? {
            Payload::ImportSection(imports) => {
                for import in imports.into_imports() {
                    imported += u32::from(matches!(import?.ty, TypeRef::Func(_)));
                }
            }
            Payload::CodeSectionEntry(body) => bodies.push(body.as_bytes()),
            _ => {}
        }
    }
    let order = order(&bodies);
    let mut numbers = vec![0; order.len()];
    for (new, old) in (imported..).zip(&order) {
        numbers[*old] = new;
    }
    let mut module = Module::new();
    let mut again = Again { imported, order, numbers };
    again
        .parse_core_module(&mut module, Parser::new(0), wasm)
        .map_err(|e| format!("the WebAssembly cannot be put in another order: {e}"))?;
    Ok(module.finish())
}

/// Writes a module again with its functions in another order.
struct Again {
    /// How many functions the module imports, which are numbered first.
    imported: u32,
    /// Which one comes when, by the place that it had.
    order: Vec<usize>,
    /// The new number of the one that had this place.
    numbers: Vec<u32>,
}

impl Reencode for Again {
    type Error = Infallible;

    fn function_index(&mut self, func: u32) -> Result<u32, Error> {
        Ok(func.checked_sub(self.imported).map_or(func, |own| self.numbers[own as usize]))
    }

    fn parse_function_section(&mut self, functions: &mut FunctionSection, section: FunctionSectionReader<'_>) -> Result<(), Error> {
        let types = section.into_iter().collect::<Result<Vec<u32>, BinaryReaderError>>()?;
        for old in &self.order {
            functions.function(types[*old]);
        }
        Ok(())
    }

    fn parse_code_section(&mut self, code: &mut CodeSection, section: CodeSectionReader<'_>) -> Result<(), Error> {
        let mut bodies =
            section.into_iter().map(|body| body.map(Some)).collect::<Result<Vec<Option<FunctionBody>>, BinaryReaderError>>()?;
        for at in 0..self.order.len() {
            if let Some(body) = bodies[self.order[at]].take() {
                utils::parse_function_body(self, code, body)?;
            }
        }
        Ok(())
    }
}

/// Bytes that are compared at once: about an instruction and what it works on.
const RUN: usize = 6;
/// What is in as many functions as this tells none from another.
const COMMON: usize = 800;
/// How far back functions are compared, a little less than compression looks.
const BACK: usize = 24_000;
/// Makes a short function that is all in what came before no better than a long one that almost is.
const SHORT: usize = 200;

/// Which function comes when: the largest first, then always the one of which the largest share is in what came before it.
fn order(bodies: &[&[u8]]) -> Vec<usize> {
    let mut holders: HashMap<&[u8], Vec<usize>> = HashMap::new();
    let runs: Vec<Vec<&[u8]>> = bodies
        .iter()
        .map(|body| {
            let mut runs: Vec<&[u8]> = body.windows(RUN).collect();
            runs.sort_unstable();
            runs.dedup();
            runs
        })
        .collect();
    for (at, runs) in runs.iter().enumerate() {
        for run in runs {
            holders.entry(run).or_default().push(at);
        }
    }
    // Each run that tells something, by a number; of those in sight how many functions have it.
    holders.retain(|_, at| (2..COMMON).contains(&at.len()));
    let numbers: HashMap<&[u8], usize> = holders.keys().enumerate().map(|(n, run)| (*run, n)).collect();
    let mut held = vec![Vec::new(); numbers.len()];
    for (run, at) in holders {
        held[numbers[run]] = at;
    }
    let runs: Vec<Vec<usize>> = runs.iter().map(|runs| runs.iter().filter_map(|run| numbers.get(run).copied()).collect()).collect();
    let mut in_sight = vec![0usize; held.len()];
    let mut known = vec![0usize; bodies.len()];
    let (mut sight, mut size) = (VecDeque::new(), 0);
    let mut left: Vec<usize> = (0..bodies.len()).collect();
    let mut order = Vec::with_capacity(bodies.len());
    while !left.is_empty() {
        let share = |at: usize| known[at] as f64 / (bodies[at].len() + SHORT) as f64;
        let better = |a: usize, b: usize| share(a).total_cmp(&share(b)).then(bodies[a].len().cmp(&bodies[b].len())).then(b.cmp(&a));
        let Some((place, &next)) = left.iter().enumerate().max_by(|a, b| better(*a.1, *b.1)) else { break };
        left.remove(place);
        order.push(next);
        for &run in &runs[next] {
            in_sight[run] += 1;
            if in_sight[run] == 1 {
                held[run].iter().for_each(|at| known[*at] += 1);
            }
        }
        sight.push_back(next);
        size += bodies[next].len();
        while size > BACK && sight.len() > 1 {
            let Some(gone) = sight.pop_front() else { break };
            size -= bodies[gone].len();
            for &run in &runs[gone] {
                in_sight[run] -= 1;
                if in_sight[run] == 0 {
                    held[run].iter().for_each(|at| known[*at] -= 1);
                }
            }
        }
    }
    order
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Written by hand: a function that is imported, and three of its own of which the last is exported, calls the second, and that the first.
    const MODULE: &[u8] = b"\0asm\x01\0\0\0\
        \x01\x06\x01\x60\x01\x7f\x01\x7f\
        \x02\x07\x01\x01a\x01b\0\0\
        \x03\x04\x03\0\0\0\
        \x07\x05\x01\x01c\0\x03\
        \x0a\x1f\x03\x06\0\x20\0\x10\0\x0b\x09\0\x20\0\x10\x01\x41\x07\x6a\x0b\x0c\0\x20\0\x10\x02\x41\x07\x6a\x41\x05\x6c\x0b";

    #[test]
    fn calls_follow_the_functions() {
        let bodies: Vec<usize> = Parser::new(0)
            .parse_all(MODULE)
            .filter_map(|part| match part.expect("a module") {
                Payload::CodeSectionEntry(body) => Some(body.as_bytes().len()),
                _ => None,
            })
            .collect();
        assert_eq!(bodies, [6, 9, 12]);
        let again = reordered(MODULE).expect("a module");
        // The longest comes first and is exported under its new number; each calls the one that it called.
        let (mut calls, mut exported) = (Vec::new(), Vec::new());
        for part in Parser::new(0).parse_all(&again) {
            match part.expect("a module") {
                Payload::CodeSectionEntry(body) => {
                    let bytes = body.as_bytes();
                    calls.push((bytes.len(), bytes[4]));
                }
                Payload::ExportSection(all) => exported.extend(all.into_iter().map(|e| e.expect("an export").index)),
                _ => {}
            }
        }
        let number = |length: usize| calls.iter().position(|(l, _)| *l == length).map(|at| at as u8 + 1);
        assert_eq!(calls[0].0, 12);
        assert_eq!(exported, [1]);
        for (length, callee) in &calls {
            let wanted = match length {
                12 => number(9),
                9 => number(6),
                _ => Some(0),
            };
            assert_eq!(Some(*callee), wanted, "{calls:?}");
        }
        assert_eq!(reordered(MODULE).expect("a module"), again, "the same every time");
        assert!(reordered(b"\0asm\x01\0\0\0\x0a").is_err());
    }
}
