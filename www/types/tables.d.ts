// The tables that the build writes (`present/tables.rs`), and the most that a plan may hold.

import type { FieldRow, ResultRow } from "./core";

export const fields: FieldRow[];
export const results: ResultRow[];
export const most: { racks: number; name: number; note: number; link: number };
