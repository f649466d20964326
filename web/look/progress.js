// Follows a plan that is being made: each event carries the words for the
// page's outputs by id; the event "end" loads the page anew, which then shows
// the finished plan. Without this module the page reloads itself by its head.

const at = /** @type {HTMLElement | null} */ (document.querySelector("[data-events]"));

if (at?.dataset.events) {
  const source = new EventSource(at.dataset.events);
  source.addEventListener("progress", (e) => {
    for (const [id, words] of Object.entries(JSON.parse(e.data))) {
      const el = document.getElementById(id);
      if (el && el.textContent !== words) el.textContent = words;
    }
  });
  source.addEventListener("end", () => {
    source.close();
    location.reload();
  });
}
