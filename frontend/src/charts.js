// A live chart in place of the drawing, when it is asked for: values under the finger, and a closer look.
// The drawing and its table stay in the page; they are what is printed and what works without script.
import uPlot from "uplot";
import "uplot/dist/uPlot.min.css";
import { paintReadings, paintUnder } from "./chart_paint.js";

const HEIGHT_PX = 280;
const CLOSER = 0.5;
const DAY_S = 86400;
const NEAR_PART_OF_SPAN = 0.02;

function loadStyle() {
  if (document.querySelector("link[data-plot-style]")) return;
  const script = document.querySelector('script[src*="built/pratique.js"]');
  const link = document.createElement("link");
  link.rel = "stylesheet";
  link.href = script.src.replace("pratique.js", "pratique.css");
  link.dataset.plotStyle = "";
  document.head.append(link);
}

function columns(plot) {
  // Without a reckoned line the readings themselves are what the finger meets.
  const rows = plot.line.length ? plot.line : plot.readings.map(([at, low, centre, high]) => [at, low, centre, high]);
  const past = (at) => plot.expectedFrom === null || at <= plot.expectedFrom;
  const ahead = (at) => plot.expectedFrom !== null && at >= plot.expectedFrom;
  return [
    ...[0, 1, 3].map((column) => rows.map((row) => row[column])),
    ...[4, 5].map((column) => rows.map((row) => row[column] ?? null)),
    rows.map((row) => (past(row[0]) ? row[2] : null)),
    rows.map((row) => (ahead(row[0]) ? row[2] : null)),
  ];
}

function valueRange(plot) {
  const values = [...plot.line, ...plot.readings].flatMap((row) => row.slice(1, 4));
  values.push(...(plot.band ?? []));
  if (plot.hardUpper !== null) values.push(plot.hardUpper);
  if (plot.fromZero) values.push(0);
  const [low, high] = [Math.min(...values), Math.max(...values)];
  const room = (high - low || 1) * 0.06;
  return [plot.fromZero && low >= 0 ? 0 : low - room, high + room];
}

function saidAt(plot, at, span) {
  const number = (value) => value.toFixed(plot.decimals).replace("-", "−");
  const when = new Intl.DateTimeFormat("en-GB", {
    timeZone: plot.zone, day: "numeric", month: "short", hour: "2-digit", minute: "2-digit",
  }).format(new Date(at * 1000));
  const before = plot.line.filter((row) => row[0] <= at);
  const level = before[before.length - 1];
  const near = (rows) => rows.filter((row) => Math.abs(row[0] - at) <= span * NEAR_PART_OF_SPAN);
  const parts = [when];
  if (level) {
    const told = plot.expectedFrom !== null && at > plot.expectedFrom ? "to be expected" : "level";
    parts.push(`${told} ${number(level[2])}\u202f${plot.unit} (${number(level[1])} to ${number(level[3])})`);
  }
  parts.push(...near(plot.readings).map((row) => `read ${row[4]}`), ...near(plot.marks).map((row) => row[2]));
  return parts.join(" · ");
}

function dayWords(plot) {
  const words = (seconds, parts) =>
    new Intl.DateTimeFormat("en-GB", { timeZone: plot.zone, ...parts }).format(new Date(seconds * 1000));
  const clock = (seconds) => words(seconds, { hour: "2-digit", minute: "2-digit" });
  const day = (seconds) => words(seconds, { day: "numeric", month: "short" });
  return (chart, ticks, axis, space, step) =>
    ticks.map((tick) => (step < DAY_S && clock(tick) !== "00:00" ? clock(tick) : day(tick)));
}

function numberWords(chart, ticks, axis, space, step) {
  const decimals = Math.max(0, -Math.floor(Math.log10(step) + 1e-9));
  return ticks.map((tick) => tick.toFixed(decimals).replace("-", "−"));
}

function options(plot, place, said) {
  const ink = (name) => getComputedStyle(document.documentElement).getPropertyValue(`--${name}`).trim();
  const axis = { stroke: () => ink("ink-soft"), grid: { stroke: () => ink("line"), width: 1 }, font: "12px system-ui" };
  const hidden = { stroke: "transparent", points: { show: false } };
  const hasLine = plot.line.length > 0;
  const sea = () => (hasLine ? ink("sea") : "transparent");
  const line = { stroke: sea, width: 1.6, points: { show: false } };
  const dotted = { stroke: sea, width: 1, dash: [1, 2.5], points: { show: false } };
  return {
    width: place.clientWidth,
    height: HEIGHT_PX,
    tzDate: (seconds) => uPlot.tzDate(new Date(seconds * 1000), plot.zone),
    legend: { show: false },
    cursor: { y: false, drag: { x: true, y: false } },
    scales: { x: { min: plot.start, max: plot.end }, y: { range: valueRange(plot) } },
    axes: [
      { ...axis, values: dayWords(plot) },
      { ...axis, values: numberWords, size: 48 },
    ],
    series: [
      {},
      dotted,
      dotted,
      hidden,
      hidden,
      { ...line, dash: [] },
      { ...line, dash: [6, 4] },
    ],
    bands: hasLine
      ? [
          { series: [2, 1], fill: () => `${ink("sea")}29` },
          { series: [4, 3], fill: () => `${ink("sea")}4d` },
        ]
      : [],
    hooks: {
      drawClear: [(chart) => paintUnder(chart, plot, ink)],
      draw: [(chart) => paintReadings(chart, plot, ink)],
      setCursor: [
        (chart) => {
          if (chart.cursor.left < 0) return;
          const { min, max } = chart.scales.x;
          said.textContent = saidAt(plot, chart.posToVal(chart.cursor.left, "x"), max - min);
        },
      ],
    },
  };
}

function zoom(chart, plot, factor) {
  const { min, max } = chart.scales.x;
  const middle = chart.cursor.left >= 0 ? chart.posToVal(chart.cursor.left, "x") : (min + max) / 2;
  const half = Math.min(((max - min) * factor) / 2, (plot.end - plot.start) / 2);
  const from = Math.min(Math.max(middle - half, plot.start), plot.end - 2 * half);
  chart.setScale("x", { min: from, max: from + 2 * half });
}

function button(words, pressed) {
  const made = document.createElement("button");
  made.type = "button";
  made.className = "btn";
  made.textContent = words;
  made.addEventListener("click", pressed);
  return made;
}

function goLive(figure, plot) {
  loadStyle();
  const place = document.createElement("div");
  place.className = "plot";
  const said = document.createElement("p");
  said.className = "under-finger";
  said.setAttribute("role", "status");
  said.textContent = "Touch the chart to read it; the table below says the same in figures.";
  figure.classList.add("is-live");
  figure.querySelector(".drawing").after(place);
  const chart = new uPlot(options(plot, place, said), columns(plot), place);
  chart.over.addEventListener("pointermove", (event) => {
    if (event.pointerType !== "touch") return;
    const box = chart.over.getBoundingClientRect();
    chart.setCursor({ left: event.clientX - box.left, top: event.clientY - box.top });
  });
  const ways = document.createElement("div");
  ways.className = "ways";
  ways.append(
    button("Closer", () => zoom(chart, plot, CLOSER)),
    button("Wider", () => zoom(chart, plot, 1 / CLOSER)),
  );
  place.append(said, ways);
  const sized = new ResizeObserver(() => {
    if (place.clientWidth) chart.setSize({ width: place.clientWidth, height: HEIGHT_PX });
  });
  sized.observe(figure);
  const dark = matchMedia("(prefers-color-scheme: dark)");
  const repaint = () => chart.redraw();
  dark.addEventListener("change", repaint);
  return () => {
    sized.disconnect();
    dark.removeEventListener("change", repaint);
    chart.destroy();
    place.remove();
    figure.classList.remove("is-live");
  };
}

function offer(figure) {
  let stop = null;
  const toggle = button("Read values, look closer", () => {
    if (stop) {
      stop();
      stop = null;
    } else {
      stop = goLive(figure, JSON.parse(figure.dataset.plot));
    }
    toggle.textContent = stop ? "Back to the drawing" : "Read values, look closer";
  });
  const ways = document.createElement("div");
  ways.className = "live chips";
  ways.append(toggle);
  figure.querySelector("figcaption").before(ways);
}

function openForPaper() {
  for (const closed of document.querySelectorAll("details:not([open])")) {
    closed.open = true;
    closed.dataset.wasClosed = "";
  }
}

function closeAgain() {
  for (const opened of document.querySelectorAll("details[data-was-closed]")) {
    opened.open = false;
    delete opened.dataset.wasClosed;
  }
}

function offerAll() {
  for (const figure of document.querySelectorAll("figure[data-plot]")) {
    if (!figure.querySelector(".live")) offer(figure);
  }
}

offerAll();
// A picture that came anew from the server has no button yet.
document.addEventListener("htmx:after:swap", offerAll);
window.addEventListener("beforeprint", openForPaper);
window.addEventListener("afterprint", closeAgain);
