// The set from above and from the right, in centimetres and degrees. Not here: the outlines' arithmetic (the
// program's), the light table (tables.js).
"use strict";
(() => {
  const e = keyfall.element;
  const kWidth = 400, kMargin = 22, kLetter = 12;

  /** Where the drawing ends: all that somebody places, and of table and backdrop what lies within it. */
  const boundsOf = (plan, view) => {
    const points =
        plan.things.filter((t) => t.kind !== "table" && t.kind !== "backdrop").flatMap((t) => t[view]);
    if (plan.camera)
      points.push(
          view === "above" ? [plan.camera.at[0], plan.camera.at[2]] : [plan.camera.at[2], plan.camera.at[1]]);
    points.push([0, 0]);
    const backdrop = plan.things.find((t) => t.kind === "backdrop");
    if (backdrop) {
      const depths = backdrop[view].map((p) => p[view === "above" ? 1 : 0]);
      points.push(view === "above" ? [0, Math.min(...depths)] : [Math.min(...depths), 0]);
    }
    const [u, v] = [0, 1].map((k) => points.map((p) => p[k]));
    const span = {u0: Math.min(...u), u1: Math.max(...u), v0: Math.min(...v), v1: Math.max(...v)};
    if (view === "side") span.v0 = Math.min(span.v0, -4);
    return span;
  };

  /**
   * From centimetres to the drawing, both views at one scale. Above: right is +x, down is the front. Side:
   * left is the front, up is up.
   */
  const mapsOf = (plan) => {
    const views = ["above", "side"], bounds = views.map((view) => boundsOf(plan, view));
    const fits = bounds.map(
        (b) => Math.min((kWidth - 2 * kMargin) / Math.max(1, b.u1 - b.u0), 250 / Math.max(1, b.v1 - b.v0)));
    const scale = Math.min(...fits);
    return views.map((view, i) => mapOf(bounds[i], view === "side", scale));
  };
  const mapOf = (b, flip, scale) => {
    const height = (b.v1 - b.v0) * scale + 2 * kMargin + 26, middle = kWidth / 2, u = (b.u0 + b.u1) / 2;
    const at = (p) => flip ? [middle - (p[0] - u) * scale, kMargin + (b.v1 - p[1]) * scale] :
                             [middle + (p[0] - u) * scale, kMargin + (p[1] - b.v0) * scale];
    return {scale, height, at};
  };

  const pointsText = (points, map) =>
      points.map((p) => map.at(p).map((v) => v.toFixed(1)).join(",")).join(" ");
  const flat = (at, view) => (view === "above" ? [at[0], at[2]] : [at[2], at[1]]);

  const shapeOf = (thing, view, map) => {
    const off = thing.on === false ? " off" : "";
    if (view === "side" && thing.profile)
      return e("polyline", {class: "backdrop", points: pointsText(thing.profile, map)});
    return e("polygon", {class: thing.kind + off, points: pointsText(thing[view], map)});
  };

  /** A round scale length that fits: 1, 2 or 5 times a power of ten. */
  const barLength_cm = (scale) => {
    const wanted = 70 / scale, power = Math.pow(10, Math.floor(Math.log10(wanted)));
    return [5, 2, 1].map((k) => k * power).find((length) => length <= wanted) ?? power;
  };

  const scaleBar = (map) => {
    const length = barLength_cm(map.scale), x0 = kMargin, y = map.height - 14, x1 = x0 + length * map.scale;
    return e(
        "g", {class: "bar"}, e("line", {x1: x0, x2: x1, y1: y, y2: y}),
        e("line", {x1: x0, x2: x0, y1: y - 4, y2: y + 4}), e("line", {x1, x2: x1, y1: y - 4, y2: y + 4}),
        e("text", {x: x1 + 6, y: y + 4}, `${length} cm`));
  };

  /** Texts that keep out of each other's way: moved down, line by line, until the place is free. */
  class Labels {
    constructor(map) {
      this.map = map;
      this.taken = [];
      this.group = e("g", {class: "labels"});
    }
    add(at, text, kind) {
      const width = text.length * kLetter * 0.54;
      let [x, y] = at;
      x = Math.min(kWidth - width / 2 - 3, Math.max(width / 2 + 3, x));
      y = Math.min(this.map.height - 30, Math.max(kLetter, y));
      const meets = (box) =>
          Math.abs(box.x - x) < (box.width + width) / 2 + 4 && Math.abs(box.y - y) < kLetter + 1;
      for (let tries = 0; tries < 14 && this.taken.some(meets); ++tries)
        y += tries < 7 ? kLetter : -(tries === 7 ? 8 : 1) * kLetter;
      this.taken.push({x, y, width});
      this.group.append(
          e("text", {x: x.toFixed(1), y: y.toFixed(1), "text-anchor": "middle", class: kind}, text));
    }
  }

  const placeText = (t) =>
      `${t.name} ${t.angle_deg.toFixed(0).replace("-", "−")}°, ${t.distance_cm.toFixed(0)} cm`;
  const heightText = (t) =>
      `${t.name} ${t.elevation_deg.toFixed(0).replace("-", "−")}° up, ${t.distance_cm.toFixed(0)} cm`;

  /** Lower end of a thing in the drawing, where its name goes. */
  const footOf = (thing, view, map) => {
    const points = thing[view].map(map.at);
    const x = points.map((p) => p[0]), y = points.map((p) => p[1]);
    return [(Math.min(...x) + Math.max(...x)) / 2, Math.max(...y) + kLetter + 4];
  };

  const drawCamera = (svg, labels, plan, view, map) => {
    const at = map.at(flat(plan.camera.at, view)), [a, b] = plan.camera[`view_${view}`].map(map.at);
    svg.append(
        e("polygon",
          {class: "field", points: [at, a, b].map((p) => p.map((v) => v.toFixed(1)).join(",")).join(" ")}),
        e("circle", {class: "lens", cx: at[0], cy: at[1], r: 5}));
    const text = view === "above" ? placeText : heightText;
    labels.add([at[0], at[1] + kLetter + 8], text({...plan.camera, name: "lens"}), "camera");
  };

  const drawView = (plan, view, map) => {
    const from = map.at(flat(plan.from.at, view)), labels = new Labels(map);
    const title = view === "above" ? "From above" : "From the right";
    const svg = e("svg", {
      viewBox: `0 0 ${kWidth} ${map.height.toFixed(0)}`,
      role: "img",
      "aria-label": `${title}: ${wordsOf(plan)}`
    });
    const order = ["backdrop", "table", "block", "product", "board", "scrim", "flag", "light"];
    const things = [...plan.things].sort((p, q) => order.indexOf(p.kind) - order.indexOf(q.kind));
    for (const t of things) svg.append(shapeOf(t, view, map));
    for (const t of things.filter((thing) => thing.at)) {
      const at = map.at(flat(t.at, view));
      svg.append(e("line", {
        class: `reach ${t.kind}${t.on === false ? " off" : ""}`,
        x1: at[0],
        y1: at[1],
        x2: from[0],
        y2: from[1]
      }));
    }
    if (plan.camera) drawCamera(svg, labels, plan, view, map);
    for (const t of things) {
      if (t.kind === "table" || t.kind === "backdrop") continue;
      const text = t.at ? (view === "above" ? placeText(t) : heightText(t)) : t.name;
      labels.add(footOf(t, view, map), text, t.kind);
    }
    svg.append(labels.group, scaleBar(map));
    return e(
        "figure", {}, svg,
        e("figcaption", {},
          view === "above" ? "From above; the front is below." :
                             "From the right; the front is on the left."));
  };

  const wordsOf =
      (plan) => [...plan.things.filter((t) => t.at), ...(plan.camera ? [{...plan.camera, name: "lens"}] : [])]
                    .map((t) => `${placeText(t)}, ${t.elevation_deg.toFixed(0)} degrees up`)
                    .join("; ");

  /** Both views of a variant's set. */
  keyfall.drawPlan = (variant) => {
    const plan = variant.plan;
    const [above, side] = mapsOf(plan);
    document.getElementById("plan-views")
        .replaceChildren(drawView(plan, "above", above), drawView(plan, "side", side));
    document.getElementById("plan-note").textContent =
        `Angles are seen from above, whichever way the camera looks: 0° is the front (+z), 90° right (+x), ` +
        `180° behind, −90° left; ` +
        `“up” is above the horizontal. Both, and distances, are from ${plan.from.name}, at ` +
        `(${plan.from.at.join(", ").replaceAll("-", "−")}) cm.`;
  };
})();
