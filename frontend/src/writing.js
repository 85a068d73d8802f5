// Writing: an id made here, a form sent once, a count of what is filled in, and a slip of the thumb taken back.
import { v7 } from "uuid";

function refreshIds(root) {
  // Made where the entry is made, so that sending it again cannot write it again. A page that came back from the
  // server with a question keeps its id: it is still the same entry.
  for (const field of root.querySelectorAll("input[name=entry_id][data-fresh]")) {
    field.value = v7();
    field.removeAttribute("data-fresh");
  }
}

function sendOnce(event) {
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

function mayBeSentAgain() {
  // A page brought back by the back button may be sent again; with its id unchanged it is still the same entry.
  for (const form of document.querySelectorAll("form[data-sent]")) {
    delete form.dataset.sent;
    for (const button of form.querySelectorAll("[aria-busy]")) button.removeAttribute("aria-busy");
  }
}

function isFilled(row) {
  return [...row.querySelectorAll("input, textarea")].some((one) => {
    if (one.closest("[data-uncounted]")) return false;
    return one.type === "radio" || one.type === "checkbox" ? one.checked && one.value !== "" : one.value.trim() !== "";
  });
}

function count(form) {
  const rows = [...form.querySelectorAll("[data-counted]")];
  const filled = rows.filter(isFilled).length;
  // Animals are a round to be completed; of readings nobody takes all.
  const whole = form.querySelector(".fed") ? ` of ${rows.length}` : "";
  for (const button of form.querySelectorAll("[data-count]")) {
    const says = filled > 0 && rows.length > 1;
    button.textContent = says ? `${button.dataset.count} ${filled}${whole}` : button.dataset.count;
  }
}

function sayHow(row) {
  // The line under a reading's name says which unit and method are in use; what is usual goes without saying.
  const place = row.querySelector("[data-how]");
  const said = [...row.querySelectorAll("select[data-says]")]
    .map((one) => one.selectedOptions[0])
    .filter((one) => one.value !== "" && !("usual" in one.dataset));
  if (place) place.textContent = said.map((one) => one.textContent.trim()).join(", ") || place.dataset.how;
}

let wasChosen = null;

function rememberChosen(event) {
  const radio = event.target.closest?.("label")?.querySelector("input[type=radio]");
  wasChosen = radio?.checked ? radio : null;
}

function takeBack(event) {
  // A chosen word tapped again is taken back: for an animal that means not seen.
  const radio = event.target;
  if (radio.type !== "radio" || radio !== wasChosen) return;
  radio.checked = false;
  wasChosen = null;
  radio.dispatchEvent(new Event("input", { bubbles: true }));
}

function start() {
  refreshIds(document);
  for (const form of document.querySelectorAll("form")) {
    if (form.querySelector("[data-count]")) count(form);
  }
}

document.addEventListener("submit", sendOnce);
document.addEventListener("pointerdown", rememberChosen);
document.addEventListener("click", takeBack);
document.addEventListener("input", (event) => {
  const form = event.target.form;
  if (form?.id === "entry") form.classList.add("docked");
  if (form?.querySelector("[data-count]")) count(form);
  const row = event.target.closest(".reading");
  if (row) sayHow(row);
});
window.addEventListener("pageshow", (event) => {
  if (event.persisted) mayBeSentAgain();
});
document.addEventListener("htmx:after:swap", start);
if (document.readyState === "loading") document.addEventListener("DOMContentLoaded", start);
else start();
