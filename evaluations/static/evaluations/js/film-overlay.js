// What stands over a paused film: the court's lines, the people of a sketch, and what was clicked.
// Pixels {x, y} of the screen, floor {x, y} in metres, `found` from homography.js.

import { toFloor, toPixel } from "./homography.js";
import { element } from "./svg.js";

const CIRCLE_STEPS = 36;
const STEPS_A_LINE = 8;

/** A court's lines in metres; a line is cut into steps, since a part may lie behind the camera. */
export function linesOf({ length, width, lane_length, lane_width, circle_radius }) {
  const [low, high] = [(width - lane_width) / 2, (width + lane_width) / 2];
  const lane = (end, throwLine) => [[end, low], [throwLine, low], [throwLine, high], [end, high]];
  const circle = Array.from({ length: CIRCLE_STEPS + 1 }, (_, n) => {
    const turn = (2 * Math.PI * n) / CIRCLE_STEPS;
    return [length / 2 + circle_radius * Math.cos(turn), width / 2 + circle_radius * Math.sin(turn)];
  });
  const corners = [[0, 0], [length, 0], [length, width], [0, width], [0, 0]];
  const straight = [
    corners,
    [[length / 2, 0], [length / 2, width]],
    lane(0, lane_length),
    lane(length, length - lane_length),
  ];
  return [...straight.map(stepped), circle].map((line) => line.map(([x, y]) => ({ x, y })));
}

function stepped(corners) {
  return corners.slice(1).reduce(
    (line, [x, y], n) => {
      const [fromX, fromY] = corners[n];
      for (let step = 1; step <= STEPS_A_LINE; step += 1) {
        const share = step / STEPS_A_LINE;
        line.push([fromX + (x - fromX) * share, fromY + (y - fromY) * share]);
      }
      return line;
    },
    [corners[0]],
  );
}

/** The court's lines over the picture: what doesn't lie on them was clicked wrong. */
export function courtOver(found, lines) {
  return lines.flatMap((line) => {
    const pixels = line.map((place) => toPixel(found, place));
    // Behind the camera a place comes out somewhere, but not back where it was.
    const seen = pixels.map((pixel) => toFloor(found, pixel) !== null);
    const path = pixels
      .map(({ x, y }, n) => (seen[n] ? `${n && seen[n - 1] ? "L" : "M"}${x} ${y}` : ""))
      .join("");
    return [
      element("path", { class: "court-shadow", d: path }),
      element("path", { class: "court-line", d: path }),
    ];
  });
}

/** A sketch's people where the film should show them: rings, dots, and diamonds. */
export function peopleOver(found, people) {
  const seen = people
    .map((one) => ({ ...one, pixel: toPixel(found, one) }))
    .filter(({ pixel }) => toFloor(found, pixel) !== null);
  return seen.flatMap(({ name, team, pixel: { x, y } }) => {
    const body = team
      ? element("circle", { class: `drawn ${team}`, cx: x, cy: y, r: 6 })
      : element("path", { class: "drawn", d: `M${x} ${y - 8}l8 8-8 8-8-8z` });
    return [body, element("text", { class: "who", x: x + 10, y: y - 6 }, name)];
  });
}

/** A cross with its name beside it, on the left if `leftward`. */
export function crossAt({ x, y }, style, name, leftward) {
  const [beside, anchor] = leftward ? [-10, "end"] : [10, "start"];
  const path = `M${x - 8} ${y}H${x + 8}M${x} ${y - 8}V${y + 8}`;
  return [
    element("path", { class: "aim-shadow", d: path }),
    element("path", { class: "aim", d: path }),
    element("text", { class: style, x: x + beside, y: y - 6, "text-anchor": anchor }, name),
  ];
}
