// The glue that wasm-bindgen makes of crate/src/web, as far as the page calls it.

import type { AxleDrawing, BumpView, BuyingGuide, CornerDrawing, Explained, First, Moved, PlaceView, PointsView, Text, TurnView, Typed, View } from "./core";

/** Entries of a newer program, by key in decimal. */
export type Newer = Record<string, string>;
/** Measurements by name, as their file has them: a number without a unit is in mm or degrees. */
export interface PlanSection {
  [name: string]: string | number | Newer | undefined;
  newer?: Newer;
}
/** A rack as its file has it. */
export interface PlanRack extends PlanSection {
  name?: string;
  note?: string;
  mark?: string;
}

/** A plan as its file has it. */
export interface Plan {
  donorack: number;
  link_format?: number;
  id?: string;
  name?: string;
  invented?: boolean;
  car?: PlanSection;
  racks?: PlanRack[];
  limits?: PlanSection;
  chosen?: number;
  newer?: Newer;
}

/** Canvas, curves, device pixels for a CSS pixel, width and height in CSS pixels, look. */
export type ChartCall = [canvas: HTMLCanvasElement, curves: object, ratio: number, width: number, height: number, look: object];

/** The names of lines without a word on the picture; two values across and two up, each with its place in CSS pixels. */
export interface Chart {
  unnamed: string[];
  ground: number[];
}

/** The moving axle. */
export class Axle {
  at(share: number): AxleDrawing;
  turn(): TurnView;
  stepped(share: number, by: number): number;
  typed(text: string, unit: string, side: string): [number | null, Text | null];
  free(): void;
}

/** A plan that is open. Throws a `Refusal` where a plan cannot be read, or has no such place. */
export class Session {
  constructor();
  open(plan: string): void;
  prepare(rack: number): void;
  evaluate(): View;
  evaluate_first(): First;
  look_for(): BuyingGuide;
  explain(rack: number, name: string, side: number): Explained | null;
  points(rack: number): PointsView;
  over_bumps(rack: number, share: number): BumpView;
  corner(rack: number, side: number, travel: number, share: number): CornerDrawing;
  axle(rack: number): Axle;
  place(rack: number, ahead: number, up: number, near: boolean | undefined, inch: boolean): PlaceView;
  moved(from: Float64Array, ahead: number, up: number): Moved;
  draw_place(rack: number, layer: number, was: Float64Array, canvas: HTMLCanvasElement, ratio: number, width: number, height: number, look: object): Chart | null;
  free(): void;
}

export default function (how: { module_or_path: WebAssembly.Module | null }): Promise<unknown>;
export function initSync(how: { module: WebAssembly.Module | null }): unknown;
export function version(): string;
export function as_typed(plan: string): Typed;
export function check_plan(plan: string): void;
export function read_plan(text: string): Plan;
export function encode_link(plan: string): string;
export function decode_link(link: string): Plan;
export function compose(section: string, name: string, text: string, unit: string, side: string): string;
export function in_unit(section: string, name: string, text: string, unit: string, other: string): string | undefined;
export function typed_travel(text: string, unit: string, side: string): number;
export function draw_bump_steer(...given: ChartCall): Chart;
export function draw_toe_out(...given: ChartCall): Chart;
export function draw_ratio(...given: ChartCall): Chart;
