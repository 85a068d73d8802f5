// A body on a picture: a tap fills in the boxes of one point and goes on to the next. What the points give is reckoned
// on the server, and the boxes do the same without any of this.
const numberOf = (text) => Number.parseFloat(text.replace(",", "."));

function boxesOf(form, key) {
  return ["across", "down"].map((way) => form.elements.namedItem(`${key}-${way}`));
}

function pointsOf(form) {
  return [...form.querySelectorAll("[data-point]")].map((one) => one.dataset.point);
}

function draw(form) {
  for (const key of pointsOf(form)) {
    const [x, y] = boxesOf(form, key).map((box) => numberOf(box.value));
    const mark = form.querySelector(`[data-mark=${key}]`);
    if (Number.isFinite(x) && Number.isFinite(y)) {
      mark.setAttribute("transform", `translate(${x} ${y})`);
      mark.removeAttribute("visibility");
    } else {
      mark.setAttribute("visibility", "hidden");
    }
  }
}

function choose(form, key) {
  form.dataset.current = key;
  for (const button of form.querySelectorAll("[data-set]")) {
    button.setAttribute("aria-pressed", String(button.dataset.set === key));
  }
  const label = form.querySelector(`[data-point=${key}] legend`).textContent.trim();
  const lead = firstUnset(form) ? "Tap the picture" : "All four are set. A tap moves";
  form.querySelector("[data-next]").textContent = `${lead}: ${label}`;
}

function firstUnset(form) {
  return pointsOf(form).find((key) => boxesOf(form, key).some((box) => box.value.trim() === ""));
}

function fill(form, key, place) {
  const boxes = boxesOf(form, key);
  boxes.forEach((box, way) => {
    box.value = String(Math.round(place[way] * 10) / 10);
  });
  boxes[0].dispatchEvent(new Event("input", { bubbles: true }));
}

function tapped(event) {
  const drawing = event.target.closest?.("form[data-outline] svg");
  if (!drawing) return;
  const form = drawing.closest("form");
  const box = drawing.getBoundingClientRect();
  const { width, height } = drawing.viewBox.baseVal;
  const across = ((event.clientX - box.left) / box.width) * width;
  const down = ((event.clientY - box.top) / box.height) * height;
  fill(form, form.dataset.current, [across, down]);
  choose(form, firstUnset(form) ?? form.dataset.current);
}

function nudge(event) {
  const box = event.target;
  const step = { ArrowUp: 1, ArrowDown: -1 }[event.key];
  if (!step || box.tagName !== "INPUT" || !box.closest("form[data-outline] [data-point]")) return;
  const now = numberOf(box.value);
  if (!Number.isFinite(now)) return;
  event.preventDefault();
  // On a picture down is more, so the up key lifts the point.
  const way = box.name.endsWith("-down") ? -1 : 1;
  const moved = now + way * step * (event.shiftKey ? 10 : 1);
  box.value = String(Math.max(0, Math.round(moved * 10) / 10));
  box.dispatchEvent(new Event("input", { bubbles: true }));
}

function start() {
  for (const form of document.querySelectorAll("form[data-outline]")) {
    form.classList.add("taps");
    for (const one of form.querySelectorAll("[data-set], [data-next]")) one.hidden = false;
    choose(form, firstUnset(form) ?? pointsOf(form)[0]);
  }
}

document.addEventListener("click", (event) => {
  const set = event.target.closest?.("[data-set]");
  if (set) choose(set.closest("form"), set.dataset.set);
  else tapped(event);
});
document.addEventListener("focusin", (event) => {
  const point = event.target.matches?.("input") && event.target.closest("form[data-outline] [data-point]");
  if (point) choose(point.closest("form"), point.dataset.point);
});
document.addEventListener("input", (event) => {
  const form = event.target.closest?.("form[data-outline]");
  if (form) draw(form);
});
document.addEventListener("keydown", nudge);
start();
