// Stands in for the core and the tables that the build writes out of it: a field's text means itself, a link is the plan's JSON.

import { registerHooks } from "node:module";

/** The most that a plan may hold, in place of the core's figures. */
export const most = { racks: 64, name: 40, note: 100, link: 1000 };

const row = (section, name) => ({ section, name, label: `${name} of ${section}`, units: [], sides: [] });
const fields = [row("car", "wheelbase"), row("car", "front_track"), row("rack", "travel"), row("limits", "lock_wanted")];
const FILES = {
  "./tables.js": `export const fields = ${JSON.stringify(fields)}, results = [], most = ${JSON.stringify(most)};`,
  "./donorack.js": `
    export default async function () {}
    const read = (entries = {}) => Object.fromEntries(Object.entries(entries).filter(([name]) => name !== "newer").map(([name, text]) => [name, { status: "ok", text, unit: "", side: "" }]));
    const rack = ({ name, note, mark, ...entries }) => ({ name, note, fields: read(entries) });
    export const as_typed = (text) => {
      const plan = JSON.parse(text);
      return { car: read(plan.car), limits: read(plan.limits), racks: plan.racks.map(rack) };
    };
    export const check_plan = () => {};
    export const compose = (section, name, text) => text;
    export const encode_link = (text) => text;
    export const decode_link = (text) => JSON.parse(text);`,
};
registerHooks({
  resolve: (name, context, next) =>
    FILES[name] ? { url: `data:text/javascript,${encodeURIComponent(FILES[name])}`, shortCircuit: true } : next(name, context),
});

/** Loads it as the page loads the true one. */
export async function load() {
  globalThis.fetch = async () => ({ clone: () => null });
  WebAssembly.compileStreaming = async () => null;
  const { load } = await import("../../www/page/core.js");
  await load({});
}
