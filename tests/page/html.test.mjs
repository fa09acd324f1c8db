// Templates as the page writes them: set out over lines without a blank that is seen, names apart from the words round them.

import assert from "node:assert/strict";
import test from "node:test";

globalThis.document = { createTreeWalker: () => ({}), createComment: () => ({}) };
const { html, nothing, tidy } = await import("../../www/page/widgets/html.js");

const strings = (given) => tidy(given).strings.join("${}");

test("a line break with the blanks round it is no text, a blank within a line is", () => {
  const made = (given) => given;
  assert.equal(
    strings(made`
      <p
        class=${1}
        hidden
      >
        <b>${2}</b>: <i>${3}</i>
        ${4} of ${5}
      </p>
      ${6}
    `),
    "<p class=${} hidden ><b>${}</b>: <i>${}</i>${} of ${}</p>${}",
  );
});

test("which value stands between tags and which within one", () => {
  const made = (given) => given;
  const template = made`<p class=${1} title="a ${2} b">${3}<i data-n=${4}>${5}</i>${6}</p>`;
  assert.deepEqual(tidy(template).inside.slice(0, -1), [false, false, true, false, true, true]);
  assert.equal(tidy(template), tidy(template));
});

test("a name between tags stands in an element of its own, in an attribute without its marks", () => {
  const name = "Rack \u2068Golf\u2069 fits";
  const { values } = html`<p title=${name}>${name}</p>`;
  assert.equal(values[0], "Rack Golf fits");
  assert.deepEqual([values[1][0], values[1][1].values, values[1][2]], ["Rack ", ["Golf"], " fits"]);
  assert.deepEqual(html`<p title=${null} lang=${undefined}>${false}${null}${0}</p>`.values, [nothing, nothing, nothing, nothing, 0]);
});
