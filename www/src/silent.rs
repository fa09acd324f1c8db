//! Takes out of the core what nobody can hear: the words of a panic.
//!
//! In a browser a panic ends in a trap, which the page answers by starting the core again; its message and the line it came from go to a
//! standard error that is not there. So what makes them is left out, and with it all that nothing else calls: a panic is the trap alone.

use crate::Trouble;
use std::collections::HashSet;
use walrus::ir::{Instr, InstrSeqId, Unreachable, Value};
use walrus::{ConstExpr, DataId, DataKind, FunctionBuilder, FunctionId, FunctionKind, LocalFunction, Module};

/// Parts of the names, as the compiler writes them, of the standard library's functions that never return.
const PANICS: [&str; 6] =
    ["4core9panicking", "13unwrap_failed", "13expect_failed", "16slice_index_fail", "22panic_already_borrowed", "12handle_error"];

/// The same module without the words of its panics. It still holds the functions that nothing calls any more: the glue leaves them out.
pub fn silent(wasm: &[u8]) -> Result<Vec<u8>, Trouble> {
    let mut module = Module::from_buffer(wasm).map_err(|e| format!("the WebAssembly cannot be read: {e}"))?;
    let named = |name: &Option<String>| name.as_ref().is_some_and(|name| PANICS.iter().any(|panic| name.contains(panic)));
    let panics: HashSet<FunctionId> = module.funcs.iter().filter(|f| named(&f.name)).map(|f| f.id()).collect();
    for id in &panics {
        let shape = module.types.get(module.funcs.get(*id).ty());
        let [parameters, results] = [shape.params().to_vec(), shape.results().to_vec()];
        let arguments = parameters.iter().map(|kind| module.locals.add(*kind)).collect();
        let mut trap = FunctionBuilder::new(&mut module.types, &parameters, &results);
        trap.func_body().unreachable();
        module.funcs.get_mut(*id).kind = FunctionKind::Local(trap.local_func(arguments));
    }
    for (_, function) in module.funcs.iter_local_mut() {
        trap_instead(function, &panics);
    }
    let segments: Vec<DataId> = module.data.iter().map(|segment| segment.id()).collect();
    for id in segments {
        let segment = module.data.get_mut(id);
        if let DataKind::Active { offset: ConstExpr::Value(Value::I32(start)), .. } = segment.kind {
            blank_places(&mut segment.value, start as usize);
        }
    }
    Ok(module.emit_wasm())
}

/// Traps where a function calls one of `panics`, and leaves out what was got ready for the call.
fn trap_instead(function: &mut LocalFunction, panics: &HashSet<FunctionId>) {
    for seq in sequences(function) {
        let instrs = &mut function.block_mut(seq).instrs;
        let call = instrs.iter().position(|(instr, _)| matches!(instr, Instr::Call(call) if panics.contains(&call.func)));
        let Some(call) = call else { continue };
        let place = instrs[call].1;
        // Whatever is on the stack when it traps, a module is sound.
        let kept = instrs[..call].iter().rposition(|(instr, _)| !leaves_nothing(instr)).map_or(0, |last| last + 1);
        instrs.truncate(kept);
        instrs.push((Unreachable {}.into(), place));
    }
}

/// Whether nothing is left of what an instruction does once its function has trapped.
fn leaves_nothing(instr: &Instr) -> bool {
    use Instr::*;
    matches!(instr, Const(_) | LocalGet(_) | LocalSet(_) | LocalTee(_) | GlobalGet(_) | Binop(_) | Unop(_) | Select(_) | Load(_) | Drop(_))
}

/// Every sequence of instructions of a function.
fn sequences(function: &LocalFunction) -> Vec<InstrSeqId> {
    let (mut found, mut next) = (vec![function.entry_block()], 0);
    while let Some(seq) = found.get(next).copied() {
        next += 1;
        for (instr, _) in &function.block(seq).instrs {
            match instr {
                Instr::Block(block) => found.push(block.seq),
                Instr::Loop(block) => found.push(block.seq),
                Instr::IfElse(both) => found.extend([both.consequent, both.alternative]),
                _ => {}
            }
        }
    }
    found
}

/// Blanks every `core::panic::Location` and the name of the file in it: where that lies, how long it is, line and column, four bytes each.
/// Nothing else in the core holds a text that ends as the name of a source file does.
fn blank_places(data: &mut [u8], start: usize) {
    let mut places = Vec::new();
    for at in (0..data.len().saturating_sub(15)).step_by(4) {
        let word = |n: usize| data[at + 4 * n..].first_chunk().map_or(0, |bytes| u32::from_le_bytes(*bytes) as usize);
        let Some(first) = word(0).checked_sub(start) else { continue };
        let name = first..first.saturating_add(word(1));
        if data.get(name.clone()).is_some_and(|name| name.ends_with(b".rs") && name.iter().all(u8::is_ascii_graphic)) {
            places.extend([name, at..at + 16]);
        }
    }
    for place in places {
        data[place].fill(0);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use walrus::ir::BinaryOp;
    use walrus::{FunctionKind, ValType};

    /// `half(n)` panics for nought, `keeps` beside it stores something first; the panic's words are a function of its own, its place lies in the data.
    fn module() -> Module {
        let mut module = Module::default();
        let memory = module.memories.add_local(false, false, 1, None, None);
        let mut words = FunctionBuilder::new(&mut module.types, &[], &[]);
        words.name("words".into());
        let words = words.finish(vec![], &mut module.funcs);
        let place = module.locals.add(ValType::I32);
        let mut panic = FunctionBuilder::new(&mut module.types, &[ValType::I32], &[]);
        panic.name("_RNvNtCs1_4core9panicking5panic".into()).func_body().call(words).unreachable();
        let panic = panic.finish(vec![place], &mut module.funcs);
        let n = module.locals.add(ValType::I32);
        let mut half = FunctionBuilder::new(&mut module.types, &[ValType::I32], &[ValType::I32]);
        let mut body = half.func_body();
        let nought = |then: &mut walrus::InstrSeqBuilder| {
            then.i32_const(1024).i32_const(16).binop(BinaryOp::I32Add).call(panic).unreachable();
        };
        body.local_get(n).unop(walrus::ir::UnaryOp::I32Eqz).if_else(None, nought, |_| ());
        body.local_get(n).i32_const(2).binop(BinaryOp::I32DivU);
        let half = half.finish(vec![n], &mut module.funcs);
        module.exports.add("half", half);
        let mut data = b"src/a.rs and more text.rs".to_vec();
        data.resize(28, b' ');
        for word in [1024u32, 8, 77, 12] {
            data.extend(word.to_le_bytes());
        }
        module.data.add(DataKind::Active { memory, offset: ConstExpr::Value(Value::I32(1024)) }, data);
        module.exports.add("memory", memory);
        module
    }

    #[test]
    fn a_panic_is_a_trap_and_no_word() {
        let wasm = silent(&module().emit_wasm()).expect("a module");
        let mut again = Module::from_buffer(&wasm).expect("a sound module");
        walrus::passes::gc::run(&mut again);
        let names: Vec<_> = again.funcs.iter().map(|f| f.name.clone()).collect();
        assert_eq!(names.len(), 1, "{names:?}");
        let FunctionKind::Local(half) = &again.funcs.iter().next().expect("one").kind else { panic!("imported") };
        let then = &half.block(sequences(half)[1]).instrs;
        assert!(matches!(then[..], [(Instr::Unreachable(_), _)]), "{then:?}");
        let data = &again.data.iter().next().expect("one").value;
        assert_eq!(data[..28], *b"\0\0\0\0\0\0\0\0 and more text.rs   ");
        assert_eq!(data[28..], [0; 16]);
    }

    #[test]
    fn no_module_is_said_so() {
        assert!(silent(b"\0asm\x01\0\0\0\x0a").is_err());
    }
}
