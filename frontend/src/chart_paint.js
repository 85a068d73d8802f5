// What a live chart shows besides its line: the target band, the upper limit, readings with their error, and marks.
const HALF_BOX_PX = 3;
const MARK_PX = 7;

function paint(chart, draw) {
  const { ctx, bbox } = chart;
  const scale = window.devicePixelRatio || 1;
  ctx.save();
  // The last line drawn was dashed; what is read is not.
  ctx.setLineDash([]);
  ctx.beginPath();
  ctx.rect(bbox.left, bbox.top, bbox.width, bbox.height);
  ctx.clip();
  draw(
    ctx,
    (at) => chart.valToPos(at, "x", true),
    (value) => chart.valToPos(value, "y", true),
    scale,
  );
  ctx.restore();
}

export function paintUnder(chart, plot, ink) {
  paint(chart, (ctx, x, y, scale) => {
    const { left, width } = chart.bbox;
    if (plot.band) {
      ctx.fillStyle = ink("band");
      ctx.fillRect(left, y(plot.band[1]), width, y(plot.band[0]) - y(plot.band[1]));
      ctx.strokeStyle = ink("band-line");
      ctx.lineWidth = scale;
      ctx.setLineDash([4 * scale, 3 * scale]);
      for (const edge of plot.band) {
        ctx.beginPath();
        ctx.moveTo(left, y(edge));
        ctx.lineTo(left + width, y(edge));
        ctx.stroke();
      }
      ctx.setLineDash([]);
    }
    if (plot.hardUpper !== null) {
      ctx.fillStyle = ink("alarm");
      ctx.fillRect(left, y(plot.hardUpper) - scale, width, 2 * scale);
    }
    if (plot.expectedFrom !== null) {
      ctx.fillStyle = ink("ink-soft");
      ctx.fillRect(x(plot.expectedFrom), chart.bbox.top, scale, chart.bbox.height);
    }
  });
}

export function paintReadings(chart, plot, ink) {
  paint(chart, (ctx, x, y, scale) => {
    ctx.strokeStyle = ctx.fillStyle = ink("ink");
    ctx.lineWidth = 1.3 * scale;
    for (const [at, low, centre, high, , shape] of plot.readings) {
      const left = x(at);
      if (shape === "box") {
        ctx.strokeRect(left - HALF_BOX_PX * scale, y(high), 2 * HALF_BOX_PX * scale, y(low) - y(high));
        continue;
      }
      if (shape === "below" || shape === "above") {
        paintBeyond(ctx, left, shape === "below" ? [y(high), y(low)] : [y(low), y(high)], scale);
        continue;
      }
      ctx.beginPath();
      ctx.moveTo(left, y(low));
      ctx.lineTo(left, y(high));
      ctx.stroke();
      ctx.beginPath();
      ctx.arc(left, y(centre), 2.2 * scale, 0, 2 * Math.PI);
      ctx.fill();
    }
    for (const [at, kind] of plot.marks) paintMark(ctx, kind, x(at), chart.bbox.top + chart.bbox.height, scale);
  });
}

function paintBeyond(ctx, left, [from, to], scale) {
  // An arrow away from the limit, long enough to be seen.
  const size = 3 * scale;
  const way = to >= from ? 1 : -1;
  const tip = Math.abs(to - from) < 3 * size ? from + way * 3 * size : to;
  ctx.beginPath();
  ctx.moveTo(left - size, from);
  ctx.lineTo(left + size, from);
  ctx.moveTo(left, from);
  ctx.lineTo(left, tip);
  ctx.moveTo(left - size, tip - way * size);
  ctx.lineTo(left, tip);
  ctx.lineTo(left + size, tip - way * size);
  ctx.stroke();
}

function paintMark(ctx, kind, left, ground, scale) {
  const size = MARK_PX * scale;
  // A dose points up from the ground; anything else hangs above it, so that both are seen.
  const [from, to] = kind === "dose" ? [ground, ground - size] : [ground - 2.3 * size, ground - 1.3 * size];
  ctx.beginPath();
  ctx.moveTo(left - size / 2, from);
  ctx.lineTo(left + size / 2, from);
  ctx.lineTo(left, to);
  ctx.closePath();
  if (kind === "dose") ctx.fill();
  else ctx.stroke();
}
