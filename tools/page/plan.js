// The set from above and from the right, in centimetres and degrees. Not here: the outlines' arithmetic (the
// program's), where names go (labels.js), the light table (sheets.js).
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

  const degrees = (angle) => String(Math.round(angle)).replace("-", "−");  // no −0
  const placeText = (t) => `${t.name} ${degrees(t.angle_deg)}°, ${t.distance_cm.toFixed(0)} cm`;
  const heightText = (t) => `${t.name} ${degrees(t.elevation_deg)}° up, ${t.distance_cm.toFixed(0)} cm`;

  const closed = (corners) => [...corners, corners[0]];
  const boxOf = (points) => {
    const [x, y] = [0, 1].map((k) => points.map((p) => p[k]));
    return {x0: Math.min(...x), y0: Math.min(...y), x1: Math.max(...x), y1: Math.max(...y)};
  };

  /** What is named, and where it is: the small first, which have the least choice. */
  const namesOf = (plan, view, map) => {
    const text = view === "above" ? placeText : heightText;
    const nameOf = (t) =>
        ({text: t.at ? text(t) : t.name, kind: t.kind, of: boxOf(t[view].map(map.at))});
    const names = plan.things.filter((t) => t.kind !== "table" && t.kind !== "backdrop").map(nameOf);
    if (plan.camera) {
      const [x, y] = map.at(flat(plan.camera.at, view));
      names.push({
        text: text({...plan.camera, name: "lens"}),
        kind: "camera",
        of: {x0: x - 5, y0: y - 5, x1: x + 5, y1: y + 5}
      });
    }
    const size = ({of}) => (of.x1 - of.x0) * (of.y1 - of.y0);
    return names.sort((a, b) => size(a) - size(b));
  };

  const drawLabels = (svg, plan, view, map, reaches) => {
    const outlines = plan.things.filter((t) => t.kind !== "table" && t.kind !== "backdrop")
                         .map((t) => closed(t[view].map(map.at)));
    const walls = plan.things.filter((t) => t.kind === "backdrop").map((t) => {
      const profile = view === "side" ? t.profile : undefined;
      return profile ? profile.map(map.at) : closed(t[view].map(map.at));
    });
    const names = namesOf(plan, view, map), group = e("g", {class: "labels"});
    const places = keyfall.placeLabels(names, {
      area: {x0: 2, y0: 2, x1: kWidth - 2, y1: map.height - 2},
      taken: [{x0: 0, y0: map.height - 24, x1: kMargin + 150, y1: map.height}],  // the scale bar
      points: [...outlines, ...walls, ...reaches].flatMap(keyfall.pointsAlong)
    });
    names.forEach(({text, kind, of}, i) => {
      const {x0, y0, x1, y1, far} = places[i], x = (x0 + x1) / 2, above = y1 < (of.y0 + of.y1) / 2;
      if (far)
        svg.append(e("line", {
          class: "leader",
          x1: x.toFixed(1),
          y1: above ? y1 : y0,
          x2: ((of.x0 + of.x1) / 2).toFixed(1),
          y2: above ? of.y0 : of.y1
        }));
      const y = (y0 + kLetter - 0.5).toFixed(1);
      group.append(e("text", {x: x.toFixed(1), y, "text-anchor": "middle", class: kind}, text));
    });
    svg.append(group);
  };

  const drawCamera = (svg, plan, view, map) => {
    const at = map.at(flat(plan.camera.at, view)), [a, b] = plan.camera[`view_${view}`].map(map.at);
    svg.append(
        e("polygon",
          {class: "field", points: [at, a, b].map((p) => p.map((v) => v.toFixed(1)).join(",")).join(" ")}),
        e("circle", {class: "lens", cx: at[0], cy: at[1], r: 5}));
  };

  const kOrder = ["backdrop", "table", "block", "product", "board", "scrim", "flag", "light"];

  const drawView = (plan, view, map) => {
    const from = map.at(flat(plan.from.at, view));
    const title = view === "above" ? "From above" : "From the right";
    const svg = e("svg", {
      viewBox: `0 0 ${kWidth} ${map.height.toFixed(0)}`,
      role: "img",
      "aria-label": `${title}: ${wordsOf(plan)}`
    });
    const things = [...plan.things].sort((p, q) => kOrder.indexOf(p.kind) - kOrder.indexOf(q.kind));
    for (const t of things) svg.append(shapeOf(t, view, map));
    const reaches = things.filter((thing) => thing.at).map((t) => {
      const at = map.at(flat(t.at, view)), [x1, y1] = at, [x2, y2] = from;
      svg.append(e("line", {class: `reach ${t.kind}${t.on === false ? " off" : ""}`, x1, y1, x2, y2}));
      return [at, from];
    });
    if (plan.camera) drawCamera(svg, plan, view, map);
    drawLabels(svg, plan, view, map, reaches);
    svg.append(scaleBar(map));
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
        `Variant: ${variant.name}. Angles are seen from above, whichever way the camera looks: 0° is the front (+z), 90° right (+x), ` +
        `180° behind, −90° left; ` +
        `“up” is above the horizontal. Both, and distances, are from ${plan.from.name}, at ` +
        `(${plan.from.at.join(", ").replaceAll("-", "−")}) cm.`;
  };
})();
