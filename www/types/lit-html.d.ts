// The part of lit-html that the page uses. Its file in page/lib is minified and has no types of its own.

/** What a template with its values gives: something to render. */
export interface TemplateResult {
  strings: TemplateStringsArray;
  values: unknown[];
}

export function html(strings: TemplateStringsArray, ...values: unknown[]): TemplateResult;
export function svg(strings: TemplateStringsArray, ...values: unknown[]): TemplateResult;
export function render(value: unknown, container: HTMLElement, options?: { renderBefore?: ChildNode | null }): unknown;
export const nothing: unique symbol;
