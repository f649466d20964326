// Keyboard helpers for every page:
//   /        to the page's search field
//   j and k  down and up the rows of the nearest table that has links
//   ?        to the list of keys at the foot of the page
// A row is entered through its first link, so Enter opens it.

/** @param {EventTarget | null} el */
const typing = (el) => el instanceof Element && el.closest("input, select, textarea, [contenteditable]");

/** The first link of each row that can be seen. */
const links = () =>
  [...document.querySelectorAll("main tbody tr")]
    .map((row) => /** @type {HTMLAnchorElement | null} */ (row.querySelector("a[href]")))
    .filter((a) => a !== null && a.offsetParent !== null);

/** @param {1 | -1} by */
function step(by) {
  const all = links();
  if (!all.length) return;
  const at = all.findIndex((a) => a?.closest("tr")?.contains(document.activeElement));
  const next = at < 0 ? (by > 0 ? 0 : all.length - 1) : Math.min(Math.max(at + by, 0), all.length - 1);
  all[next]?.focus();
  all[next]?.scrollIntoView({ block: "nearest" });
}

document.addEventListener("keydown", (e) => {
  if (e.ctrlKey || e.metaKey || e.altKey || typing(e.target)) return;
  if (e.key === "/") {
    const search = /** @type {HTMLInputElement | null} */ (document.querySelector("main input[type=search]"));
    if (search) {
      e.preventDefault();
      search.focus();
      search.select();
    }
  } else if (e.key === "j") step(1);
  else if (e.key === "k") step(-1);
  else if (e.key === "?") document.getElementById("keys")?.scrollIntoView();
});

// The list of faults takes the focus, so that it is read out and the keyboard is beside it.
/** @type {HTMLElement | null} */ (document.querySelector(".amiss[tabindex]"))?.focus();

/**
 * Forms on this page that a selector finds.
 * @param {string} selector
 */
const forms = (selector) => /** @type {NodeListOf<HTMLFormElement>} */ (document.querySelectorAll(selector));

// A form is sent once: a second click while the first is under way does nothing.
for (const form of forms("form[method=post]")) {
  form.addEventListener("submit", (e) => {
    if (form.dataset.sent) e.preventDefault();
    form.dataset.sent = "yes";
  });
}
window.addEventListener("pageshow", () => {
  for (const form of forms("form[data-sent]")) delete form.dataset.sent;
});

// Filters are sent as soon as they are chosen; without this the button does it.
for (const form of forms("form.sift")) {
  form.addEventListener("change", (e) => {
    if (e.target instanceof Element && e.target.matches("select, input[type=checkbox]")) form.requestSubmit();
  });
}

// A table wider than the page scrolls within itself; the keyboard reaches it too.
for (const box of /** @type {NodeListOf<HTMLElement>} */ (document.querySelectorAll(".ledger"))) {
  new ResizeObserver(() => {
    const wide = box.scrollWidth > box.clientWidth;
    for (const [name, value] of [["tabindex", "0"], ["role", "region"], ["aria-label", box.querySelector("caption")?.textContent?.trim() || "table"]]) {
      if (wide) box.setAttribute(name, value);
      else box.removeAttribute(name);
    }
  }).observe(box);
}
