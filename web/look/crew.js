// Crew screens: load anew every two seconds, say when what is shown is older
// than five, and keep what was typed until the desk has answered. Without this
// module the page reloads by its head, and forms are sent as ever.

const every = 2000, old = 5000, again = 5000;
let heard = performance.now(); // when the desk last answered
let at = Number(document.body.dataset.now); // its clock then, ms
let waiting = null; // the form that is on its way

const note = (id, words) => {
  const el = document.getElementById(id);
  if (!el) return;
  el.hidden = !words;
  if (el.textContent !== words) el.textContent = words;
};

const deskNow = () => Math.round(at + performance.now() - heard);

function answered(page) {
  heard = performance.now();
  at = Number(page.body.dataset.now) || at;
}

async function refresh() {
  const here = document.querySelector("[data-live]");
  if (!here || waiting) return;
  try {
    const answer = await fetch(location.href, { signal: AbortSignal.timeout(every * 2) });
    if (!answer.ok) return;
    const page = new DOMParser().parseFromString(await answer.text(), "text/html");
    const next = page.querySelector("[data-live]");
    if (!next || waiting) return;
    answered(page);
    if (here.contains(document.activeElement)) return; // a finger is on it
    here.replaceWith(next);
  } catch { /* the age of what is shown says it */ }
}

function mark() {
  if (!document.querySelector("[data-live]")) return;
  const age = performance.now() - heard;
  document.body.classList.toggle("old", age > old);
  note("old", age > old ? `No answer from the desk for ${Math.round(age / 1000)} s: what stands here may be old.` : "");
}

function show(text, url) {
  const page = new DOMParser().parseFromString(text, "text/html");
  answered(page);
  document.title = page.title;
  document.body.className = page.body.className;
  document.body.replaceChildren(...page.body.childNodes);
  history.pushState(null, "", url);
  document.querySelector(".amiss[tabindex]")?.focus();
}

async function send(form, body) {
  try {
    const answer = await fetch(form.action, { method: "POST", body, signal: AbortSignal.timeout(20000) });
    const text = await answer.text();
    waiting = null;
    show(text, answer.redirected ? answer.url : location.href);
  } catch {
    note("unsent", "Not sent: the desk does not answer. What you typed stays here and is sent again by itself. Leave this page open.");
    setTimeout(() => send(form, body), again);
  }
}

document.addEventListener("submit", (e) => {
  e.preventDefault();
  if (waiting) return; // a second touch changes nothing
  waiting = e.target;
  const body = new URLSearchParams(new FormData(e.target, e.submitter));
  body.set("at", String(deskNow()));
  send(e.target, body);
});

window.addEventListener("popstate", () => location.reload());
setInterval(refresh, every);
setInterval(mark, 500);
