// Writing: an id made here, a form sent once, and a count of what is filled in.
import { v7 } from "uuid";

function refreshIds(root) {
  // Made where the entry is made, so sending it again cannot write it again. A page that came back from the
  // server with a question keeps its id: it is still the same entry.
  for (const field of root.querySelectorAll("input[name=entry_id][data-fresh]")) {
    field.value = v7();
    field.removeAttribute("data-fresh");
  }
}

function guardDoubleTap(event) {
  const form = event.target;
  if (form.method !== "post") return;
  if (form.dataset.sent) {
    event.preventDefault();
    return;
  }
  form.dataset.sent = "yes";
  const button = event.submitter ?? form.querySelector("button");
  button?.setAttribute("aria-busy", "true");
}

function release() {
  // A page brought back by the back button may be sent again.
  for (const form of document.querySelectorAll("form[data-sent]")) {
    delete form.dataset.sent;
    for (const button of form.querySelectorAll("[aria-busy]")) button.removeAttribute("aria-busy");
  }
}

function countFilled(form) {
  const rows = [...form.querySelectorAll("[data-counted]")];
  const filled = rows.filter((row) =>
    [...row.querySelectorAll("input, select, textarea")].some((one) =>
      one.type === "radio" || one.type === "checkbox" ? one.checked && one.value !== "" : one.value.trim() !== "",
    ),
  ).length;
  for (const place of form.querySelectorAll("[data-count]")) {
    place.textContent = filled > 0 ? `${place.dataset.count} ${filled} of ${rows.length}` : place.dataset.none;
  }
}

function start(root) {
  refreshIds(root);
  for (const form of document.querySelectorAll("form")) {
    if (form.querySelector("[data-count]")) countFilled(form);
  }
}

document.addEventListener("submit", guardDoubleTap);
document.addEventListener("input", (event) => {
  const form = event.target.form;
  if (form?.querySelector("[data-count]")) countFilled(form);
});
window.addEventListener("pageshow", (event) => {
  if (event.persisted) release();
});
document.addEventListener("htmx:after:swap", () => start(document));
if (document.readyState === "loading") document.addEventListener("DOMContentLoaded", () => start(document));
else start(document);
