// The programs that look through the page's scripts find what is planted there: a check that cannot fail is none.

import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import { appendFileSync, cpSync, globSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import process from "node:process";
import test from "node:test";
import { fileURLToPath } from "node:url";

const ROOT = fileURLToPath(new URL("../..", import.meta.url));

/** Runs a program from npm on a script that says this; `[whether it found nothing, what it said]`. */
function look(program, words, script, settings = null) {
  const dir = mkdtempSync(join(tmpdir(), "donorack-planted-"));
  try {
    writeFileSync(join(dir, "planted.js"), script);
    if (settings) writeFileSync(join(dir, "tsconfig.json"), JSON.stringify(settings));
    const { status, stdout, stderr } = spawnSync(
      process.execPath,
      [join(ROOT, "tests/node_modules", program), ...words, join(dir, settings ? "tsconfig.json" : "planted.js")],
      { cwd: ROOT },
    );
    return [status === 0, `${stdout}${stderr}`];
  } finally {
    rmSync(dir, { recursive: true });
  }
}

const lint = (script) => look("oxlint/bin/oxlint", ["--config", "www/oxlint.json", "--deny-warnings"], script);
const format = (script) => look("prettier/bin/prettier.cjs", ["--config", "www/prettier.json", "--check"], script);
const types = (script) =>
  look("typescript/bin/tsc", ["--project"], script, { extends: join(ROOT, "www/tsconfig.json"), include: ["planted.js"] });

test("a planted fault of each kind is found", () => {
  const sound = "export const twice = (n) => [n, n];\n";
  assert.equal(lint(sound)[0], true, lint(sound)[1]);
  for (const [rule, script] of [
    ["no-undef", "export const twice = (n) => [n, m];\n"],
    ["no-unused-vars", `${sound}const other = 1;\n`],
    ["eqeqeq", "export const one = (n) => n == 1;\n"],
    ["no-unused-expressions", "export const one = (n) => { n ? n() : n; };\n"],
  ]) {
    const [good, said] = lint(script);
    assert.ok(!good && said.includes(`(${rule})`), `${rule}: ${said}`);
  }
});

test("a script in another form is found", () => {
  assert.equal(format("export const twice = (n) => [n, n];\n")[0], true);
  assert.equal(format("export const twice = n => [n,n]\n")[0], false);
});

test("a value of another type is found", () => {
  const twice = (body) => `/** @type {(n: number | null) => number} */\nexport const twice = (n) => ${body};\n`;
  assert.deepEqual(types(twice("2 * (n ?? 0)")), [true, ""]);
  for (const body of ["2 * n", "String(n)", "n.two"]) {
    const [good, said] = types(twice(body));
    assert.ok(!good && /planted\.js.*error TS/.test(said), `${body}: ${said}`);
  }
});

test("every script of the page is typed: a fault planted in each is found", () => {
  const dir = mkdtempSync(join(tmpdir(), "donorack-planted-"));
  try {
    cpSync(join(ROOT, "www"), dir, { recursive: true });
    const scripts = globSync("page/**/*.js", { cwd: dir }).filter((name) => !name.startsWith("page/lib/"));
    for (const name of scripts) appendFileSync(join(dir, name), "\nvoid Math.planted;\n");
    const found = ["tsconfig.json", "tsconfig.worker.json"].flatMap((settings) => {
      const words = [join(ROOT, "tests/node_modules/typescript/bin/tsc"), "--pretty", "false", "--project", settings];
      const { stdout } = spawnSync(process.execPath, words, { cwd: dir, encoding: "utf8" });
      return [...stdout.matchAll(/^(\S+)\(\d+,\d+\): error TS2\d+: Property 'planted'/gm)].map(([, name]) => name);
    });
    assert.deepEqual(found.sort(), scripts.sort());
  } finally {
    rmSync(dir, { recursive: true });
  }
});
