// Marks on a photo: a tap adds a place to the line of the kind chosen. The lines are the truth: they can be typed, and
// are what is sent; the drawing follows them.
const SHAPES = "http://www.w3.org/2000/svg";
const REGION = "region";

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

function shape(name, attributes) {
  const made = document.createElementNS(SHAPES, name);
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
  return made;
}

function drawn(name, places) {
  const numbers = places.map((one) => one.split(/\s+/).map((text) => Number.parseFloat(text.replace(",", "."))));
  const sound = numbers.filter((one) => one.every(Number.isFinite));
  if (name === REGION) {
    const points = sound.map(([x, y]) => `${x},${y}`).join(" ");
    return ["under", ""].map((layer) => shape("polygon", { points, class: layer }));
  }
  return sound.flatMap(([cx, cy, r]) => ["under", name].map((layer) => shape("circle", { cx, cy, r, class: layer })));
}

function draw(form) {
  const lines = linesOf(form);
  form.querySelector("[data-drawn]").replaceChildren(...[...lines].flatMap(([name, places]) => drawn(name, places)));
  const chosen = form.elements.namedItem("tool").value;
  const words = form.querySelector("[name=tool]:checked + span").textContent;
  const count = lines.get(chosen)?.length ?? 0;
  form.querySelector("[data-next]").textContent = `Tap the photo: ${words}${count ? `, ${count} set` : ""}`;
}

function tapped(event) {
  const drawing = event.target.closest?.("form[data-marks] svg");
  if (!drawing) return;
  const form = drawing.closest("form");
  const tools = form.elements.namedItem("tool");
  if (!tools) return;
  const box = drawing.getBoundingClientRect();
  const { width, height } = drawing.viewBox.baseVal;
  const place = [(event.clientX - box.left) * (width / box.width), (event.clientY - box.top) * (height / box.height)];
  if (tools.value !== REGION) place.push(Number.parseFloat(form.dataset.dabPx));
  const lines = linesOf(form);
  const text = place.map((one) => String(Math.round(one * 10) / 10)).join(" ");
  // There is one white place; a later tap moves it.
  lines.set(tools.value, tools.value === "white" ? [text] : [...(lines.get(tools.value) ?? []), text]);
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
  if (form?.elements.namedItem("tool")) draw(form);
});
for (const form of document.querySelectorAll("form[data-marks]")) {
  if (!form.elements.namedItem("tool")) continue;
  form.classList.add("taps");
  for (const one of form.querySelectorAll("[data-tools], [data-next]")) one.hidden = false;
  draw(form);
}
