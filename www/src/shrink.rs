//! Makes what is served light: scripts and styles without what only their readers need.

use crate::Trouble;
use oxc::allocator::Allocator;
use oxc::codegen::{Codegen, CodegenOptions};
use oxc::parser::Parser;
use oxc::span::SourceType;
use std::fs;
use std::path::Path;

/// Shrinks every script and style sheet of `names` in `dir`, in place. What they do stays the same.
pub fn shrink<'a>(dir: &Path, names: impl Iterator<Item = &'a String>) -> Result<(), Trouble> {
    for name in names {
        let path = dir.join(name);
        let small = match path.extension().and_then(|e| e.to_str()) {
            Some("js") => script(name, &fs::read_to_string(&path)?)?,
            Some("css") => style(&fs::read_to_string(&path)?),
            _ => continue,
        };
        fs::write(&path, small)?;
    }
    Ok(())
}

fn script(name: &str, source: &str) -> Result<String, Trouble> {
    let arena = Allocator::default();
    let parsed = Parser::new(&arena, source, SourceType::mjs()).parse();
    if !parsed.diagnostics.is_empty() {
        return Err(format!("{name} is no script: {}", parsed.diagnostics[0]).into());
    }
    Ok(Codegen::new().with_options(CodegenOptions::minify()).build(&parsed.program).code)
}

/// Without comments, blank lines and indents. No string in a style sheet here holds `/*`.
fn style(source: &str) -> String {
    let mut out = String::with_capacity(source.len());
    let mut rest = source;
    while let Some((before, after)) = rest.split_once("/*") {
        out.push_str(before);
        rest = after.split_once("*/").map_or("", |(_, after)| after);
    }
    out.push_str(rest);
    out.lines().map(str::trim).filter(|line| !line.is_empty()).collect::<Vec<_>>().join("\n")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_script_keeps_what_it_gives_and_a_style_its_rules() {
        let script =
            script("a.js", "// why\nimport { b } from \"./b.js\";\nexport const long = (word) => b(word) + 1;\n").expect("a script");
        assert!(script.contains("\"./b.js\"") || script.contains("'./b.js'") || script.contains("`./b.js`"), "{script}");
        assert!(script.contains("long") && !script.contains("why"), "{script}");
        assert_eq!(style("/* a\n b */\n  p {\n    margin: 0; /* none */\n  }\n"), "p {\nmargin: 0;\n}");
        assert!(super::script("bad.js", "export const = 1").is_err());
    }
}
