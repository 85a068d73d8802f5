// What if: handles on the picture that move a planned dose or change. They only fill in the form beside it; what comes
// of that is reckoned on the server, and every page of it works without them.
const HOUR_MS = 3600e3;
const LOCK_PX = 8;
const STEP_PX = 12;

// Moments are taken as the form holds them, by the household's clock, whatever clock this device keeps.
const read = (text) => Date.parse(`${text.slice(0, 16)}Z`);
const written = (ms) => new Date(ms).toISOString().slice(0, 16);
const clamped = (value, low, high) => Math.min(Math.max(value, low), high);

function deedsOf(form) {
  return [...form.querySelectorAll("[data-deed]")].map((row) => ({
    number: row.dataset.deed,
    amount: row.querySelector("input[name^=amount]"),
    what: row.querySelector("select"),
    at: row.querySelector("input[name^=at]"),
  }));
}

const numberOf = (text) => Number.parseFloat(text.replace(",", "."));
const isWhole = (deed) => numberOf(deed.amount.value) > 0 && !Number.isNaN(read(deed.at.value));

function changed(field) {
  field.dispatchEvent(new Event("input", { bubbles: true }));
}

function span(form) {
  return [read(form.dataset.first), read(form.dataset.last)];
}

function moveTo(form, deed, ms) {
  const [first, last] = span(form);
  deed.at.value = written(clamped(Math.round(ms / HOUR_MS) * HOUR_MS, first, last));
  changed(deed.at);
}

function resize(deed, amount) {
  const step = Number(deed.what.selectedOptions[0].dataset.step);
  const decimals = step < 1 ? 1 : 0;
  deed.amount.value = Math.max(step, Math.round(amount / step) * step).toFixed(decimals);
  changed(deed.amount);
}

function scaleOf(trying) {
  const outlook = trying.querySelector("#outlook");
  const drawing = [...outlook.querySelectorAll("svg.chart")].find((svg) => svg.getClientRects().length);
  if (!drawing || !outlook.dataset.start) return null;
  const box = drawing.getBoundingClientRect();
  const outer = trying.getBoundingClientRect();
  const unit = box.width / drawing.viewBox.baseVal.width;
  const [left, right] = [Number(drawing.dataset.left) * unit, Number(drawing.dataset.right) * unit];
  const [start, end] = [read(outlook.dataset.start), read(outlook.dataset.end)];
  return {
    top: box.top - outer.top + Number(drawing.dataset.top) * unit,
    height: (Number(drawing.dataset.foot) - Number(drawing.dataset.top)) * unit,
    msPerPx: (end - start) / (right - left),
    x: (ms) => box.left - outer.left + left + ((ms - start) / (end - start)) * (right - left),
  };
}

function said(deed) {
  const at = deed.at.value.replace("T", " ");
  return `${deed.amount.value} ${deed.what.selectedOptions[0].textContent.trim()}, ${at}`;
}

function place(trying, form, handle, deed) {
  const scale = scaleOf(trying);
  handle.hidden = !scale || !isWhole(deed);
  if (handle.hidden) return;
  const [first, last] = span(form);
  const at = clamped(read(deed.at.value), first, last);
  handle.style.insetInlineStart = `${scale.x(at)}px`;
  handle.style.insetBlockStart = `${scale.top}px`;
  handle.style.blockSize = `${scale.height}px`;
  handle.setAttribute("aria-valuemin", 0);
  handle.setAttribute("aria-valuemax", Math.round((last - first) / HOUR_MS));
  handle.setAttribute("aria-valuenow", Math.round((at - first) / HOUR_MS));
  handle.setAttribute("aria-valuetext", said(deed));
}

function byPointer(trying, form, handle, deedOf) {
  let held = null;
  handle.addEventListener("pointerdown", (event) => {
    const deed = deedOf();
    handle.setPointerCapture(event.pointerId);
    held = { x: event.clientX, y: event.clientY, at: read(deed.at.value), amount: numberOf(deed.amount.value), way: "" };
    handle.classList.add("is-held");
  });
  handle.addEventListener("pointermove", (event) => {
    const scale = held && scaleOf(trying);
    if (!scale) return;
    const [dx, dy] = [event.clientX - held.x, event.clientY - held.y];
    // One at a time: who moves a dose in time must not change how much it is by an unsteady hand.
    if (!held.way && Math.max(Math.abs(dx), Math.abs(dy)) > LOCK_PX) held.way = Math.abs(dx) >= Math.abs(dy) ? "time" : "size";
    const deed = deedOf();
    if (held.way === "time") moveTo(form, deed, held.at + dx * scale.msPerPx);
    if (held.way === "size") {
      const step = Number(deed.what.selectedOptions[0].dataset.step);
      resize(deed, held.amount - Math.round(dy / STEP_PX) * step);
    }
  });
  const letGo = () => {
    held = null;
    handle.classList.remove("is-held");
  };
  handle.addEventListener("pointerup", letGo);
  handle.addEventListener("pointercancel", letGo);
}

function byKeys(form, handle, deedOf) {
  handle.addEventListener("keydown", (event) => {
    const deed = deedOf();
    const [first, last] = span(form);
    const at = read(deed.at.value);
    const step = Number(deed.what.selectedOptions[0].dataset.step);
    const amount = numberOf(deed.amount.value);
    const acts = {
      ArrowLeft: () => moveTo(form, deed, at - HOUR_MS),
      ArrowRight: () => moveTo(form, deed, at + HOUR_MS),
      PageDown: () => moveTo(form, deed, at - 24 * HOUR_MS),
      PageUp: () => moveTo(form, deed, at + 24 * HOUR_MS),
      Home: () => moveTo(form, deed, first),
      End: () => moveTo(form, deed, last),
      ArrowUp: () => resize(deed, amount + step),
      ArrowDown: () => resize(deed, amount - step),
    };
    if (!acts[event.key]) return;
    event.preventDefault();
    acts[event.key]();
  });
}

function handleFor(trying, number) {
  const form = document.querySelector("#deeds");
  const made = document.createElement("div");
  made.className = "handle";
  made.tabIndex = 0;
  made.dataset.handle = number;
  made.setAttribute("role", "slider");
  made.setAttribute("aria-label", `${number}, moved in time`);
  const knob = document.createElement("span");
  knob.textContent = number;
  made.append(knob);
  // The form may have been drawn anew since: its rows are looked for when they are needed.
  const formNow = () => document.querySelector("#deeds") ?? form;
  const deedOf = () => deedsOf(formNow()).find((deed) => deed.number === number);
  byPointer(trying, form, made, deedOf);
  byKeys(form, made, deedOf);
  trying.append(made);
  return made;
}

function draw() {
  const trying = document.querySelector(".trying");
  const form = document.querySelector("#deeds");
  if (!trying || !form) return;
  for (const hint of form.querySelectorAll("[data-with-script]")) hint.hidden = false;
  const deeds = deedsOf(form);
  for (const handle of trying.querySelectorAll(".handle")) {
    if (!deeds.some((deed) => deed.number === handle.dataset.handle)) handle.remove();
  }
  for (const deed of deeds) {
    const handle = trying.querySelector(`[data-handle="${deed.number}"]`) ?? handleFor(trying, deed.number);
    place(trying, form, handle, deed);
  }
}

function keepInAddress(event) {
  // What is thought of stays in the address, so that the page can be passed on or come back to.
  const form = event.target.closest?.("#deeds");
  if (!form) return;
  history.replaceState(history.state, "", `?${new URLSearchParams(new FormData(form))}`);
}

if (document.querySelector("#deeds")) {
  draw();
  document.addEventListener("input", keepInAddress);
  document.addEventListener("input", draw);
  document.addEventListener("htmx:after:swap", draw);
  new ResizeObserver(draw).observe(document.querySelector(".trying"));
}
