// Marks on a photo: a tap adds a place to the line of what was chosen. The lines are the truth: they can be typed, and
// are what is sent; the drawing follows them.
const SHAPES = "http://www.w3.org/2000/svg";

function linesOf(form) {
  const found = new Map();
  for (const line of form.elements.namedItem("marks").value.split("\n")) {
    const at = line.indexOf(":");
    if (at < 1) continue;
    const places = line
      .slice(at + 1)
      .split(";")
      .map((one) => one.trim())
      .filter(Boolean);
    found.set(line.slice(0, at).trim().toLowerCase(), places);
  }
  return found;
}

function write(form, lines) {
  const kept = [...lines].filter(([, places]) => places.length);
  form.elements.namedItem("marks").value = kept.map(([name, places]) => `${name}: ${places.join("; ")}`).join("\n");
  draw(form);
}

function toolOf(form, name) {
  return form.querySelector(`[name=tool][value="${CSS.escape(name)}"]`);
}

function shape(name, attributes) {
  const made = document.createElementNS(SHAPES, name);
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
  return made;
}

function layered(name, attributes) {
  return ["under", "over"].map((layer) => shape(name, { ...attributes, class: layer }));
}

function pairs(places, dot) {
  const found = [];
  for (let at = 0; at < places.length; at += 2) {
    const ends = places.slice(at, at + 2);
    found.push(...layered("polyline", { points: ends.join(" ") }));
    for (const [cx, cy] of ends) found.push(...layered("circle", { cx, cy, r: dot }));
  }
  return found;
}

function drawn(form, name, places) {
  const numbers = places.map((one) => one.split(/\s+/).map((text) => Number.parseFloat(text.replace(",", "."))));
  const sound = numbers.filter((one) => one.every(Number.isFinite));
  switch (toolOf(form, name)?.dataset.shape) {
    case "polygon":
      return layered("polygon", { points: sound.map(([x, y]) => `${x},${y}`).join(" ") });
    case "pair":
      return pairs(sound, form.querySelector("svg").viewBox.baseVal.width / 150);
    default:
      return sound.flatMap(([cx, cy, r]) => layered("circle", { cx, cy, r }));
  }
}

function draw(form) {
  const lines = linesOf(form);
  const shapes = [...lines].flatMap(([name, places]) => drawn(form, name, places));
  form.querySelector("[data-drawn]").replaceChildren(...shapes);
  const chosen = form.elements.namedItem("tool").value;
  const words = form.querySelector("[name=tool]:checked + span").textContent.trim();
  const count = lines.get(chosen)?.length ?? 0;
  form.querySelector("[data-next]").textContent = `Tap the photo: ${words}${count ? `, ${count} set` : ""}`;
}

function leaveOut(form, target) {
  const cell = target.closest("[data-cell]");
  if (!cell) return;
  const box = form.querySelector(`[data-reject="${cell.dataset.cell}"]`);
  box.checked = !box.checked;
  cell.classList.toggle("rejected", box.checked);
}

function tapped(event) {
  const drawing = event.target.closest?.("form[data-marks] svg");
  const form = drawing?.closest("form");
  const tool = form?.querySelector("[name=tool]:checked");
  if (!tool) return;
  if (tool.dataset.shape === "cell") {
    leaveOut(form, event.target);
    return;
  }
  const box = drawing.getBoundingClientRect();
  const { width, height } = drawing.viewBox.baseVal;
  const place = [(event.clientX - box.left) * (width / box.width), (event.clientY - box.top) * (height / box.height)];
  if (tool.dataset.shape === "dab") place.push(Number.parseFloat(form.dataset.dabPx));
  const lines = linesOf(form);
  const before = lines.get(tool.value) ?? [];
  const most = Number.parseInt(tool.dataset.most ?? "0", 10);
  // Where only so many fit, a tap beyond them begins anew.
  const kept = most && before.length >= most ? [] : before;
  lines.set(tool.value, [...kept, place.map((one) => String(Math.round(one * 10) / 10)).join(" ")]);
  write(form, lines);
}

function takeBack(form) {
  const lines = linesOf(form);
  const chosen = form.elements.namedItem("tool").value;
  const last = lines.get(chosen)?.length ? chosen : [...lines.keys()].at(-1);
  if (last === undefined) return;
  lines.set(last, lines.get(last).slice(0, -1));
  write(form, lines);
}

document.addEventListener("click", (event) => {
  const back = event.target.closest?.("form[data-marks] [data-back]");
  if (back) takeBack(back.form);
  else tapped(event);
});
document.addEventListener("input", (event) => {
  const form = event.target.closest?.("form[data-marks]");
  if (!form?.elements.namedItem("tool")) return;
  const { reject } = event.target.dataset;
  if (reject) form.querySelector(`[data-cell="${reject}"]`).classList.toggle("rejected", event.target.checked);
  else draw(form);
});
for (const form of document.querySelectorAll("form[data-marks]")) {
  if (!form.elements.namedItem("tool")) continue;
  form.classList.add("taps");
  for (const one of form.querySelectorAll("[data-tools], [data-next]")) one.hidden = false;
  draw(form);
}
