// Where names go in a drawing: near what they name, on no other name, on few lines. Not here: what is drawn
// (plan.js).
"use strict";
(() => {
  const kLine = 15, kGap = 3;
  const ruler = document.createElement("canvas").getContext("2d");
  ruler.font = "12px \"DejaVu Sans\", Verdana, sans-serif";  // as page.css has it for the drawings

  const overlap = (a, b) => a.x0 < b.x1 && b.x0 < a.x1 && a.y0 < b.y1 && b.y0 < a.y1;
  const inside = (box, [x, y]) => box.x0 < x && x < box.x1 && box.y0 < y && y < box.y1;
  const middle = (box) => [(box.x0 + box.x1) / 2, (box.y0 + box.y1) / 2];

  /** Points along the lines between corners, 3 units apart: what a name had better not cover. */
  keyfall.pointsAlong = (corners) => corners.slice(1).flatMap((b, i) => {
    const a = corners[i], steps = Math.max(1, Math.ceil(Math.hypot(b[0] - a[0], b[1] - a[1]) / 3));
    return Array.from({length: steps}, (_, k) => [0, 1].map((c) => a[c] + (b[c] - a[c]) * k / steps));
  });

  /** Boxes of width x kLine around `of`, row by row further away; nearest rows first. */
  const candidates = (of, width) => {
    const boxes = [], [mx] = middle(of);
    const add = (x0, y0, away) => boxes.push({x0, y0, x1: x0 + width, y1: y0 + kLine, away});
    for (let away = 0; away < 8; ++away) {
      const step = away * kLine * 0.7;
      for (const slide of [0, -0.5, 0.5, -0.9, 0.9]) {
        const x0 = mx - width / 2 + slide * width, cost = away + Math.abs(slide);
        add(x0, of.y1 + kGap + step, cost);
        add(x0, of.y0 - kGap - kLine - step, cost + 0.3);
      }
      for (const y0 of [of.y0 + (of.y1 - of.y0 - kLine) / 2, of.y0 - kLine, of.y1]) {
        add(of.x1 + kGap + step, y0, away + 0.4);
        add(of.x0 - kGap - width - step, y0, away + 0.4);
      }
    }
    return boxes;
  };

  /** Rows over the whole area: where nothing near is free. */
  const everywhere = (area, width) => {
    const boxes = [];
    for (let y0 = area.y0; y0 + kLine <= area.y1; y0 += kLine)
      for (let x0 = area.x0; x0 + width <= area.x1; x0 += 12)
        boxes.push({x0, y0, x1: x0 + width, y1: y0 + kLine, away: 20});
    return boxes;
  };

  /**
   * Places for `names`, each {text, of: box of what it names}: boxes in their order, {x0, y0, x1, y1, far}.
   * They lie in `area`, on no box of `taken` and on no other name as long as the area has room; of such
   * places the nearest that covers the fewest of `points`. `far`: too far to be understood without a line.
   */
  keyfall.placeLabels = (names, {area, taken, points}) => {
    const placed = [...taken];
    return names.map(({text, of}) => {
      const width = ruler.measureText(text).width + 4;
      const within = (box) =>
          box.x0 >= area.x0 && box.x1 <= area.x1 && box.y0 >= area.y0 && box.y1 <= area.y1;
      const free = (box) => within(box) && !placed.some((other) => overlap(box, other));
      const cost = (box) => box.away + 0.25 * points.filter((point) => inside(box, point)).length;
      const around = candidates(of, width), near = around.filter(free);
      const choice = near.length ? near : everywhere(area, width).filter(free);
      const best = choice.map((box) => ({box, cost: cost(box)}))
                       .reduce((a, b) => (b.cost < a.cost ? b : a), {box: around[0], cost: Infinity});
      placed.push(best.box);
      return {...best.box, far: best.box.away >= 2};
    });
  };
})();
