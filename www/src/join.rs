//! One script of all modules that the page starts with: one request in place of sixty, and what they have in common is compressed once.
//!
//! Each module becomes a function that is called once, in the order in which a browser would run them, and returns what the module exports. That
//! is the same as long as modules import each other in no circle and export nothing that changes; either is refused.

use crate::Trouble;
use crate::gather::remove;
use oxc::allocator::Allocator;
use oxc::ast::ast::{Declaration, ImportDeclarationSpecifier, Statement, VariableDeclarationKind};
use oxc::parser::Parser;
use oxc::span::{GetSpan, SourceType};
use std::collections::BTreeSet;
use std::fmt::Write;
use std::fs;
use std::path::{Component, Path, PathBuf};

/// Puts every module that `root` imports into it, those `apart` left out: their files go, and their names from `names`.
pub fn join_all(dir: &Path, root: &str, apart: &[&str], names: &mut BTreeSet<String>) -> Result<(), Trouble> {
    let (script, joined) = join(dir, root, apart)?;
    for name in joined.iter().filter(|name| *name != root) {
        remove(dir, name)?;
        names.remove(name);
    }
    Ok(fs::write(dir.join(root), script)?)
}

/// The script that runs `root` and every module that it imports, and their names; modules `apart` stay what they are and are imported.
fn join(dir: &Path, root: &str, apart: &[&str]) -> Result<(String, Vec<String>), Trouble> {
    let mut all = Joined { dir, apart, known: Vec::new(), done: Vec::new(), head: String::new(), script: String::new() };
    all.add(root, true)?;
    Ok((all.head + &all.script, all.done))
}

struct Joined<'a> {
    dir: &'a Path,
    apart: &'a [&'a str],
    /// Modules by the number that their constant has.
    known: Vec<String>,
    /// Those that are in the script.
    done: Vec<String>,
    head: String,
    script: String,
}

impl Joined<'_> {
    /// Adds a module and those that it imports, if they are not there yet; returns its number.
    fn add(&mut self, name: &str, root: bool) -> Result<usize, Trouble> {
        if let Some(number) = self.known.iter().position(|known| known == name) {
            let there = self.done.iter().any(|done| done == name) || self.apart.contains(&name);
            return if there { Ok(number) } else { Err(format!("{name} imports itself round a circle").into()) };
        }
        let number = self.known.len();
        self.known.push(name.to_owned());
        if self.apart.contains(&name) {
            writeln!(self.head, "import * as module{number} from \"./{name}\";")?;
            return Ok(number);
        }
        let source = fs::read_to_string(self.dir.join(name)).map_err(|e| format!("{name} cannot be read: {e}"))?;
        let (inside, exported) = self.module(name, &source)?;
        if root {
            self.script += &inside;
        } else {
            let gives = exported.join(", ");
            writeln!(self.script, "const module{number} = (() => {{\n{inside}return {{ {gives} }};\n}})();")?;
        }
        self.done.push(name.to_owned());
        Ok(number)
    }

    /// A module without imports and exports, and what it exports, as properties.
    fn module(&mut self, name: &str, source: &str) -> Result<(String, Vec<String>), Trouble> {
        let arena = Allocator::default();
        let parsed = Parser::new(&arena, source, SourceType::mjs()).parse();
        if !parsed.diagnostics.is_empty() {
            return Err(format!("{name} is no script: {}", parsed.diagnostics[0]).into());
        }
        let refused = |what: &str| -> Trouble { format!("{name}: {what} cannot be joined").into() };
        let text = |span: oxc::span::Span| &source[span.start as usize..span.end as usize];
        let (mut out, mut exported) = (String::new(), Vec::new());
        for statement in &parsed.program.body {
            match statement {
                Statement::ImportDeclaration(import) => {
                    let number = self.add(&beside(name, &import.source.value), false)?;
                    let mut taken = Vec::new();
                    for one in import.specifiers.iter().flatten() {
                        match one {
                            ImportDeclarationSpecifier::ImportSpecifier(one) => {
                                taken.push(format!("{}: {}", one.imported.name(), one.local.name))
                            }
                            ImportDeclarationSpecifier::ImportNamespaceSpecifier(one) => {
                                writeln!(out, "const {} = module{number};", one.local.name)?;
                            }
                            ImportDeclarationSpecifier::ImportDefaultSpecifier(_) => return Err(refused("a default import")),
                        }
                    }
                    if !taken.is_empty() {
                        writeln!(out, "const {{ {} }} = module{number};", taken.join(", "))?;
                    }
                }
                Statement::ExportNamedDeclaration(export) => {
                    exported.extend(export.specifiers.iter().map(|one| format!("{}: {}", one.exported.name(), one.local.name())));
                }
                Statement::ExportDeclaration(export) => {
                    match &export.declaration {
                        Declaration::VariableDeclaration(all) if all.kind == VariableDeclarationKind::Const => {
                            for one in &all.declarations {
                                let id = one.id.get_identifier_name().ok_or_else(|| refused("a pattern that is exported"))?;
                                exported.push(id.to_string());
                            }
                        }
                        Declaration::FunctionDeclaration(one) => exported.extend(one.id.iter().map(|id| id.name.to_string())),
                        Declaration::ClassDeclaration(one) => exported.extend(one.id.iter().map(|id| id.name.to_string())),
                        _ => return Err(refused("what is exported and may change")),
                    }
                    out += text(export.declaration.span());
                    out.push('\n');
                }
                Statement::ExportFromDeclaration(_) | Statement::ExportAllDeclaration(_) | Statement::ExportDefaultDeclaration(_) => {
                    return Err(refused("such an export"));
                }
                other => {
                    out += text(other.span());
                    out.push('\n');
                }
            }
        }
        Ok((out, exported))
    }
}

/// The module that `name` calls `from`.
fn beside(name: &str, from: &str) -> String {
    let mut path = PathBuf::from(name);
    path.pop();
    for part in Path::new(from).components() {
        match part {
            Component::ParentDir => {
                path.pop();
            }
            Component::Normal(part) => path.push(part),
            _ => {}
        }
    }
    path.to_string_lossy().into_owned()
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test fails by panicking")]
    use super::*;

    fn written(files: &[(&str, &str)], test: &str) -> PathBuf {
        let dir = std::env::temp_dir().join(format!("donorack-join-{test}-{}", std::process::id()));
        for (name, text) in files {
            let path = dir.join(name);
            fs::create_dir_all(path.parent().unwrap()).unwrap();
            fs::write(path, text).unwrap();
        }
        dir
    }

    #[test]
    fn modules_become_functions_in_their_order() {
        let files = [
            (
                "start.js",
                "import { one as two } from \"./deep/a.js\";\nimport * as b from \"./b.js\";\nimport \"./b.js\";\nconsole.log(two, b.f);\n",
            ),
            (
                "deep/a.js",
                "// why\nimport { f } from \"../b.js\";\nimport { apart } from \"../core.js\";\nconst own = 1;\nexport const one = f() + own + apart;\nexport { own as mine };\n",
            ),
            ("b.js", "export function f() {\n  return 1;\n}\nexport class C {}\n"),
        ];
        let dir = written(&files, "order");
        let (script, names) = join(&dir, "start.js", &["core.js"]).unwrap();
        assert_eq!(names, ["b.js", "deep/a.js", "start.js"]);
        let wanted = "import * as module3 from \"./core.js\";\n\
            const module2 = (() => {\nfunction f() {\n  return 1;\n}\nclass C {}\nreturn { f, C };\n})();\n\
            const module1 = (() => {\nconst { f: f } = module2;\nconst { apart: apart } = module3;\nconst own = 1;\nconst one = f() + own + apart;\nreturn { one, mine: own };\n})();\n\
            const { one: two } = module1;\nconst b = module2;\nconsole.log(two, b.f);\n";
        assert_eq!(script, wanted);
        let mut names = BTreeSet::from(["b.js", "core.js", "deep/a.js", "start.js"].map(str::to_owned));
        join_all(&dir, "start.js", &["core.js"], &mut names).unwrap();
        assert_eq!(names.iter().collect::<Vec<_>>(), ["core.js", "start.js"]);
        assert!(fs::read_to_string(dir.join("start.js")).unwrap() == wanted && !dir.join("deep").exists() && !dir.join("b.js").exists());
        fs::remove_dir_all(dir).unwrap();
    }

    #[test]
    fn what_would_not_be_the_same_is_refused() {
        let refused = |a: &str, what: &str| {
            let dir = written(
                &[("start.js", "import { x } from \"./a.js\";\nimport \"./b.js\";\n"), ("a.js", a), ("b.js", "import \"./start.js\";\n")],
                what,
            );
            let said = join(&dir, "start.js", &[]).unwrap_err().to_string();
            fs::remove_dir_all(dir).unwrap();
            said
        };
        assert!(refused("export let x = 1;", "let").contains("may change"));
        assert!(refused("export default 1;", "default").contains("such an export"));
        assert!(refused("export { y as x } from \"./b.js\";", "from").contains("such an export"));
        assert!(refused("export const { x } = {};", "pattern").contains("pattern"));
        assert!(refused("export const x =", "broken").contains("no script"));
        assert!(refused("export const x = 1;", "circle").contains("round a circle"));
    }
}
