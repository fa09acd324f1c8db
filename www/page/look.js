// Which look the page has. Runs before anything is painted, and needs nothing else of the page.
//
// Light or dark follow the system, sunlight its wish for more contrast, unless one of the three is set here. Whatever draws
// with colours of its own hears `lookchange` on the document.
(() => {
  const KEY = "donorack.look";
  const LOOKS = ["light", "dark", "sun"];
  const root = document.documentElement;
  const dark = matchMedia("(prefers-color-scheme: dark)");
  const strong = matchMedia("(prefers-contrast: more)");
  const forced = matchMedia("(forced-colors: active)");

  const kept = () => {
    try {
      return localStorage.getItem(KEY);
    } catch {
      return null;
    }
  };
  let set = LOOKS.find((look) => look === kept()) ?? null;

  // Forced colours come as light or dark letters and leave nothing to choose.
  function wanted() {
    const system = dark.matches ? "dark" : "light";
    if (forced.matches) return system;
    return set ?? (strong.matches ? "sun" : system);
  }

  function show() {
    const look = wanted();
    const changed = root.dataset.look !== look;
    root.dataset.look = look;
    for (const button of document.querySelectorAll("[data-set-look]"))
      button.setAttribute("aria-pressed", String(button.getAttribute("data-set-look") === set));
    // The browser's own frame round the page.
    const meta = document.querySelector("meta[name=theme-color]");
    const sheet = getComputedStyle(root).getPropertyValue("--sheet").trim();
    if (meta && sheet) meta.setAttribute("content", sheet);
    if (changed) document.dispatchEvent(new CustomEvent("lookchange", { detail: look }));
  }

  /**
   * Sets a look, or lets it follow the system again when it is the one that was set.
   * @param {string | null} look
   */
  function choose(look) {
    set = set === look ? null : look;
    try {
      if (set) localStorage.setItem(KEY, set);
      else localStorage.removeItem(KEY);
    } catch {
      // It holds as long as the page is open.
    }
    show();
  }

  root.dataset.look = wanted();
  for (const query of [dark, strong, forced]) query.addEventListener("change", show);
  // Another tab of the page set it.
  addEventListener("storage", (event) => {
    if (event.key !== KEY) return;
    set = LOOKS.find((look) => look === event.newValue) ?? null;
    show();
  });
  document.addEventListener("click", (event) => {
    const button = event.target instanceof Element ? event.target.closest("[data-set-look]") : null;
    if (button) choose(button.getAttribute("data-set-look"));
  });
  addEventListener("DOMContentLoaded", show);
})();
