// Crew screens: load anew every two seconds, say when what is shown is older
// than five, and keep on the tablet what was typed until the desk has answered,
// whatever becomes of the page. Without this module the page reloads by its
// head, and forms are sent as ever.
import { Outbox } from "./outbox.js";

const every = 2000, old = 5000, again = 2000;
let heard = performance.now(); // when the desk last answered
let clock = Number(document.body.dataset.now); // its clock then, ms
const outbox = new Outbox(localStorage);
let sending = false; // something is on its way

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
  document.body.dataset.who = page.body.dataset.who ?? "";
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
  tell();
  const amiss = document.querySelector(".amiss[tabindex]");
  if (amiss instanceof HTMLElement) amiss.focus();
}

/** Says what waits on this tablet, and what the desk has refused. */
function tell() {
  const waits = outbox.waiting();
  const many = waits.length === 1 ? "One typed fact waits" : `${waits.length} typed facts wait`;
  const until = outbox.lasts() ? "also after this page was closed and opened again" : "as long as this page stays open";
  note("unsent", waits.length === 0 ? "" :
    `The desk does not answer. ${many} on this tablet: ${waits.map((f) => f.words).join("; ")}. Sent by themselves, in this order, ${until}.`);
  const list = document.getElementById("refused");
  if (!list) return;
  list.hidden = outbox.refused().length === 0;
  list.replaceChildren(...outbox.refused().map((f) => {
    const line = document.createElement("p");
    const drop = document.createElement("button");
    line.append(`Not taken: ${f.words}. ${f.why ?? ""} `, drop);
    drop.type = "button";
    drop.className = "plain";
    drop.textContent = "Seen, take it away";
    drop.addEventListener("click", () => { outbox.drop(f.fact); tell(); });
    return line;
  }));
}

/** @param {string} text @returns {string} what the desk said was wrong */
function faults(text) {
  const page = new DOMParser().parseFromString(text, "text/html");
  const said = page.querySelector(".amiss[tabindex] ul") ?? page.querySelector(".lead") ?? page.querySelector("main");
  return (said?.textContent ?? "").replace(/\s+/g, " ").trim();
}

/** Sends what waits, first typed first; fresh is the fact of the form that is on the screen. @param {string} [fresh] */
async function drain(fresh) {
  if (sending) return;
  sending = true;
  /** @type {[string, string] | undefined} */
  let late; // the answer to the last one sent that had waited
  try {
    for (let f = outbox.waiting()[0]; f; f = outbox.waiting()[0]) {
      const answer = await fetch(f.to, { method: "POST", body: new URLSearchParams(f.body), signal: AbortSignal.timeout(20000) });
      if (answer.status >= 500) throw new Error(answer.statusText); // its own trouble: try again
      const text = await answer.text(), shown = f.fact === fresh;
      if (answer.ok || shown) outbox.drop(f.fact); // refused, its form comes back as it was typed
      else outbox.refuse(f.fact, faults(text));
      if (shown) show(text, answer.redirected ? answer.url : location.href);
      else if (answer.ok) late = [text, answer.url];
    }
    if (late && untouched()) show(...late);
  } catch {
    setTimeout(drain, again);
  } finally {
    sending = false;
    tell();
  }
}

/** @returns {boolean} whether nothing is half typed on the page */
function untouched() {
  return [...document.querySelectorAll("input")].every((field) => field.value === field.defaultValue);
}

/** @param {HTMLFormElement} form @param {URLSearchParams} body @returns {string} what is told, to be read by who typed it */
function worded(form, body) {
  const numbers = [...form.querySelectorAll("label")].map((label) => {
    const field = label.htmlFor && document.getElementById(label.htmlFor);
    return field instanceof HTMLInputElement && field.value ? `${label.textContent?.trim()} ${field.value}` : "";
  });
  const about = body.get("key") ?? body.get("roll") ?? (body.get("run") ? `run ${body.get("run")}` : "");
  return [about, body.get("what"), ...numbers].filter(Boolean).join(" ");
}

document.addEventListener("submit", (e) => {
  const form = e.target;
  if (!(form instanceof HTMLFormElement)) return;
  e.preventDefault();
  const body = new URLSearchParams();
  for (const [name, value] of new FormData(form)) body.append(name, String(value));
  body.set("at", String(deskNow()));
  if (!body.has("who")) body.set("who", document.body.dataset.who ?? ""); // who typed it, whoever signs the tablet when it is sent
  const fact = body.get("fact") ?? "";
  if (outbox.has(fact)) return; // a second touch changes nothing
  outbox.put({ fact, to: form.action, body: body.toString(), words: worded(form, body) });
  drain(fact).then(() => {
    if (!outbox.has(fact) || !form.isConnected) return;
    // It waits: the form takes another fact, under a number of its own.
    form.reset();
    const number = form.elements.namedItem("fact"), typed = form.querySelector("input:not([type=hidden])");
    if (typed && number instanceof HTMLInputElement) number.value = `${fact}.${outbox.waiting().length}`;
  });
});

window.addEventListener("popstate", () => location.reload());
setInterval(refresh, every);
setInterval(mark, 500);
tell();
drain();
