// The eyes ledger as a drawing: the same shapes as ledger_drawing in
// evaluations/core/floor_drawing.py. A test compares the two.

import { writeTime } from "./film-marks.js";
import { element } from "./svg.js";

const [BAND_WIDTH, ROW, TALL, THIN, NAMES] = [300, 16, 9, 2, 100];

const tidy = (n) => String(Math.round(n * 100) / 100);
const line = (points, style) =>
  element("polyline", {
    class: `figure-${style}`,
    fill: "none",
    points: points.map(([x, y]) => `${tidy(x)},${tidy(y)}`).join(" "),
  });
const label = (x, y, text, anchor) =>
  element("text", { class: "figure-label", x: tidy(x), y: tidy(y), "text-anchor": anchor }, text);

function* stretch(state, start, end, foot) {
  if (state === "facing" || state === "covered") {
    const [x, y] = [tidy(start), tidy(foot - TALL)];
    const size = { width: tidy(end - start), height: tidy(TALL) };
    yield element("rect", { class: "figure-value", x, y, ...size });
  } else if (state === "not_facing" || state === "uncovered") {
    const middle = foot - TALL / 2;
    yield line([[start, middle], [end, middle]], "way");
    for (const edge of [start, end]) yield line([[edge, middle - THIN], [edge, middle + THIN]], "way");
  }
}

/** Draws the ledger into `svg`; `now` is where the film stands, `turn` where the report ended. */
export function drawLedger(svg, found, { names, crew, now = null, turn = null }) {
  const rows = [
    ...Object.entries(found.officials).map(([member, band]) => [names[member], band]),
    [crew, found.cover],
  ];
  const length = Math.max(found.end - found.start, 1);
  const at = (moment) => NAMES + ((moment - found.start) / length) * BAND_WIDTH;
  const shapes = rows.flatMap(([name, band], place) => {
    const foot = ROW * (place + 1);
    return [
      label(0, foot - 2, name, "start"),
      line([[at(found.start), foot], [at(found.end), foot]], "scale"),
      ...band.flatMap((s) => [...stretch(s.state, at(s.start), at(s.end), foot)]),
    ];
  });
  const foot = ROW * rows.length + 12;
  shapes.push(label(NAMES, foot, writeTime(found.start), "start"));
  shapes.push(label(NAMES + BAND_WIDTH, foot, writeTime(found.end), "end"));
  for (const [moment, style] of [[turn, "turn"], [now, "now"]]) {
    if (moment === null || moment < found.start || moment > found.end) continue;
    const x = tidy(at(moment));
    shapes.push(element("line", { class: style, x1: x, x2: x, y1: 0, y2: ROW * rows.length + 2 }));
  }
  svg.setAttribute("viewBox", `0 0 ${NAMES + BAND_WIDTH} ${foot + 4}`);
  svg.replaceChildren(...shapes);
}
