// Crew screens: load anew every two seconds, say when what is shown is older
// than five, and keep what was typed until the desk has answered. Without this
// module the page reloads by its head, and forms are sent as ever.
export {};

const every = 2000, old = 5000, again = 2000;
let heard = performance.now(); // when the desk last answered
let clock = Number(document.body.dataset.now); // its clock then, ms
let sending = false; // a form is on its way

/** @param {string} id @param {string} words */
const note = (id, words) => {
  const el = document.getElementById(id);
  if (!el) return;
  el.hidden = !words;
  if (el.textContent !== words) el.textContent = words;
};

const deskNow = () => Math.round(clock + performance.now() - heard);

/** @param {Document} page */
function answered(page) {
  heard = performance.now();
  clock = Number(page.body.dataset.now) || clock;
}

async function refresh() {
  const here = document.querySelector("[data-live]");
  if (!here || sending) return;
  try {
    const answer = await fetch(location.href, { signal: AbortSignal.timeout(every * 2) });
    if (!answer.ok) return;
    const page = new DOMParser().parseFromString(await answer.text(), "text/html");
    const next = page.querySelector("[data-live]");
    if (!next || sending) return;
    const touched = [...here.querySelectorAll("a, button")].findIndex((el) => el === document.activeElement);
    here.replaceWith(next);
    const same = touched < 0 ? null : next.querySelectorAll("a, button")[touched];
    if (same instanceof HTMLElement) same.focus({ preventScroll: true });
    answered(page);
  } catch { /* the age of what is shown says it */ }
}

function mark() {
  if (!document.querySelector("[data-live]")) return;
  const age = performance.now() - heard;
  document.body.classList.toggle("old", age > old);
  note("old", age > old ? `What stands here is ${Math.round(age / 1000)} s old and may be wrong: the desk was not heard since.` : "");
}

/** @param {string} text @param {string} url */
function show(text, url) {
  const page = new DOMParser().parseFromString(text, "text/html");
  answered(page);
  document.title = page.title;
  document.body.className = page.body.className;
  document.body.replaceChildren(...page.body.childNodes);
  history.pushState(null, "", url);
  const amiss = document.querySelector(".amiss[tabindex]");
  if (amiss instanceof HTMLElement) amiss.focus();
}

/** @param {string} to @param {URLSearchParams} body */
async function send(to, body) {
  try {
    const answer = await fetch(to, { method: "POST", body, signal: AbortSignal.timeout(20000) });
    const text = await answer.text();
    sending = false;
    show(text, answer.redirected ? answer.url : location.href);
  } catch {
    note("unsent", "Not sent: the desk does not answer. What you typed stays here and is sent again by itself. Leave this page open.");
    setTimeout(() => send(to, body), again);
  }
}

document.addEventListener("submit", (e) => {
  const form = e.target;
  if (!(form instanceof HTMLFormElement)) return;
  e.preventDefault();
  if (sending) return; // a second touch changes nothing
  sending = true;
  const body = new URLSearchParams();
  for (const [name, value] of new FormData(form)) body.append(name, String(value));
  body.set("at", String(deskNow()));
  form.closest("[data-live]")?.removeAttribute("data-live"); // keeps its form until it is answered
  send(form.action, body);
});

window.addEventListener("popstate", () => location.reload());
setInterval(refresh, every);
setInterval(mark, 500);
