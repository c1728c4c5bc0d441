// Readings, the variants' cards, light table and shot list. Not here: what they are reckoned from (light.js).
"use strict";
(() => {
const data = keyfall.data, e = keyfall.element, byId = (id) => document.getElementById(id);
const {signed, overUnder, apertureReading, powerText} = keyfall;

const cell = (text, attributes = {}) => e("td", attributes, text);
const head = (text, scope = "col") => e("th", {scope}, text);
const row = (...cells) => e("tr", {}, ...cells);
const table = (id, caption, heads, rows) =>
  byId(id).replaceChildren(e("caption", {class: "unseen"}, caption), e("thead", {}, row(...heads.map((h) => head(h)))), e("tbody", {}, ...rows));

const settingsText = (s) => `${s.aperture.text}, ${s.shutter.text}, ${s.iso.text}`;

/** "1/4+0.3", of the room's light "as set" or stops from it. */
const powerOf = (variant, settings, l) => {
  const {on, stops} = settings.lights[l];
  if (!on) return "off";
  if (variant.lights[l]) return powerText(stops);
  return Math.abs(stops) < 0.05 ? "as set" : `${signed(stops)} stop`;
};
const lightsText = (variant, settings) =>
  variant.layers.map((layer, l) => `${layer.name} ${powerOf(variant, settings, l)}`).join(", ");

keyfall.pictureLabel = (variant, settings) =>
  `${variant.name}: ${settingsText(settings)}; ${lightsText(variant, settings)}` + (variant.live ? "" : "; picture as compared");

/** What a probe's cell says; the exact figure stays in its data. */
const probeCell = (reading, atMark) => {
  const attributes = {"data-probe": reading.name, class: atMark ? "at" : null};
  if (reading.light !== "read")
    return cell(reading.light === "none" ? "no light is on" : "no reading: too little light found", attributes);
  Object.assign(attributes, {"data-over": reading.over, "data-picture": reading.picture, "data-aperture": reading.aperture,
                             "data-exposure": reading.exposure, "data-half": reading.half});
  const spot = reading.kind === "spot";
  const first = spot ? `${signed(reading.picture)} from grey` : apertureReading(reading.aperture);
  const then = spot ? [`sRGB ${reading.rgb.join(" ")}`]
                    : [e("span", {class: "meter"}, `meter ${overUnder(reading.over)}, `), `picture ${overUnder(reading.picture)}`];
  const patch = spot ? e("span", {class: "patch", style: `background: rgb(${reading.rgb.join(",")})`, "aria-hidden": "true"}) : null;
  return e("td", attributes, e("b", {}, first), ` ± ${reading.half.toFixed(2)}`, e("br"), patch, e("small", {}, ...then));
};

const contrastCell = (contrast) => contrast === undefined ? cell("—") :
  e("td", {"data-contrast": `${contrast.lit}:${contrast.shadow}`, "data-stops": contrast.stops},
    e("b", {}, `${contrast.stops.toFixed(1)} stops`), ` ± ${contrast.half.toFixed(2)}`, e("br"),
    e("small", {}, `(K+F):F ${contrast.kf_f.toFixed(1)}:1, K:F ${contrast.k_f.toFixed(1)}:1`));

/** How hard a shadow edge is by its 10-90 % width over the throw. */
const edgeWord = (edge) => {
  const share = edge.width_10_90_mm / (10 * edge.throw_cm);
  return share < 0.05 ? "hard" : share < 0.2 ? "medium" : share < 0.5 ? "soft" : "very soft";
};
const edgeText = (edge) => `${edge.width_10_90_mm.toFixed(1)} mm, ${edgeWord(edge)}`;
const edgesOf = (variant) => (variant.report.edges ?? []).filter((edge) => edge.width_10_90_mm != null);

const unique = (lists) => [...new Set(lists.flat())];

const equal = () => data.variants[0].compensation.by !== "none";

const kindWords = (kind) => (kind === "spot" ? "spot, stops" : kind);

/** Readings of these variants, a column each. */
keyfall.drawReadings = (indices) => {
  const shown = indices.map((i) => ({variant: data.variants[i], found: keyfall.read(data.variants[i], keyfall.settings[i])}));
  const rows = unique(shown.map(({found}) => found.probes.map((p) => p.name))).map((name) => {
    const kind = shown.map(({found}) => found.probes.find((p) => p.name === name)).find(Boolean).kind;
    return row(e("th", {scope: "row"}, name, " ", e("small", {}, kindWords(kind) + (name === data.at && equal() ? ", equal here" : ""))),
               ...shown.map(({found}) => {
                 const p = found.probes.find((q) => q.name === name);
                 return p ? probeCell(p, name === data.at && equal()) : cell("—");
               }));
  });
  const pair = (contrast) => [contrast.lit, contrast.shadow].sort().join(" : ");
  for (const key of unique(shown.map(({found}) => found.contrasts.map(pair))))
    rows.push(row(e("th", {scope: "row"}, key, " ", e("small", {}, "contrast")),
                  ...shown.map(({found}) => contrastCell(found.contrasts.find((one) => pair(one) === key)))));
  for (const key of unique(shown.map(({variant}) => edgesOf(variant).map((edge) => edge.name))))
    rows.push(row(e("th", {scope: "row"}, key, " ", e("small", {}, "edge, 10–90 %")), ...shown.map(({variant}) => {
      const edge = edgesOf(variant).find((one) => one.name === key);
      return edge ? e("td", {}, e("b", {}, edgeText(edge)), e("br"), e("small", {}, `throw ${edge.throw_cm.toFixed(1)} cm`)) : cell("—");
    })));
  table("readings-table", "Readings of the variants shown", ["", ...shown.map(({variant}) => variant.name)], rows);
  keyfall.drawCautions(indices);
  return shown;
};

keyfall.drawCautions = (indices) => {
  const cautions = indices.flatMap((i) => keyfall.cautionsOf(data.variants[i], keyfall.settings[i]).map((text) => `${data.variants[i].name}: ${text}`));
  byId("readings-note").replaceChildren(
    ...unique([cautions]).map((text) => e("strong", {class: "caution"}, text + ". ")),
    "± is half of the 95 % interval, in stops. Shadow edges are as compared: power does not change them.");
};

/** One sentence for ears: what the readings at the probe of equal exposure, and the contrasts, are now. */
keyfall.sayReadings = (shown) => {
  byId("said").textContent = shown.map(({variant, found}) => {
    const at = found.probes.find((p) => p.name === data.at);
    const reading = at && at.light === "read" ? `${at.name} ${apertureReading(at.aperture)}, picture ${overUnder(at.picture)}` : "no reading";
    return `${variant.name}: ${reading}` + found.contrasts.slice(0, 1).map((k) => `, ${k.lit} to ${k.shadow} ${k.stops.toFixed(1)} stops`).join("");
  }).join(". ");
};

/** By how much a variant was changed for equal exposure. */
const compensationText = ({compensation: k}) => {
  if (k.by === "none") return "not brought to equal exposure";
  const amount = Math.abs(k.stops) < 0.005 ? "no change needed" : `${signed(k.stops, 2)} stop by ${k.by}${k.lamps.length ? ` of ${k.lamps.join(", ")}` : ""}`;
  const beyond = k.beyond.map((b) => ` — ${b.lamp}: ${Math.abs(b.stops).toFixed(1)} stops ${b.stops > 0 ? "more than this lamp has" : "under its lowest power"}`);
  return amount + beyond.join("");
};
const changesText = (variant) => variant.changes.map(([key, value]) => `${key} = ${value}`).join("; ") || "the set as written";

const facts = (variant, settings) => {
  const found = keyfall.read(variant, settings), at = found.probes.find((p) => p.name === data.at), k = found.contrasts[0];
  const list = [["settings", settingsText(settings)], ["lights", lightsText(variant, settings)], ["equal exposure", compensationText(variant)]];
  // On paper the table of readings is beside the pictures: there these lines are left out.
  const read = list.length;
  if (at?.light === "read") list.push([at.name, `${apertureReading(at.aperture)} (picture ${overUnder(at.picture)})`]);
  if (k) list.push([`${k.lit} : ${k.shadow}`, `${k.stops.toFixed(1)} stops, (K+F):F ${k.kf_f.toFixed(1)}:1`]);
  for (const edge of edgesOf(variant).slice(0, 2)) list.push([edge.name, edgeText(edge)]);
  if (found.background?.light === "read") list.push(["background", `${signed(found.background.picture)} stops from grey, sRGB ${found.background.rgb.join(" ")}`]);
  return list.map(([key, value], i) => e("div", {class: i < read ? "set" : "read"}, e("dt", {}, key), e("dd", {}, value)));
};

/** The variants as a row of sheets: picture, what was changed, what came out. */
keyfall.drawCards = () => {
  byId("cards").replaceChildren(...data.variants.map((variant, i) => {
    const list = facts(variant, keyfall.settings[i]);
    return e("li", {class: "card", "data-variant": variant.name},
             e("img", {src: variant.picture.uri, width: variant.picture.width, height: variant.picture.height, alt: keyfall.pictureLabel(variant, keyfall.settings[i])}),
             e("h3", {}, variant.name), e("p", {}, variant.caption ? `${variant.caption}. ` : "", e("span", {class: "changes"}, changesText(variant))), e("dl", {}, ...list));
  }));
};

const colourText = (variant, settings, l) => {
  const kelvin = settings.lights[l].kelvin ?? variant.lights[l].colour_temperature;
  return (kelvin ? `${kelvin.toFixed(0)} K` : "—") + variant.lights[l].gels.map((gel) => ` + ${gel}`).join("");
};
const placeOf = (variant, name) => variant.plan.things.find((t) => t.name === name && t.at);
const minus = (text) => String(text).replaceAll("-", "−");
const placeCells = (t) => t ? [cell(minus(t.at.join(", "))), cell(minus(`${t.angle_deg}° / ${t.elevation_deg}°`)), cell(`${t.distance_cm}`)] : [cell("—"), cell("—"), cell("—")];

/** Rows that are alike in several variants are told once, with the variants' names; those `of` one thing together. */
const gathered = (make) => {
  const rows = new Map(), order = [];
  data.variants.forEach((variant, i) => make(variant, keyfall.settings[i]).forEach(({of, key, cells}) => {
    if (!order.includes(of)) order.push(of);
    if (!rows.has(key)) rows.set(key, {of, names: [], cells});
    rows.get(key).names.push(variant.name);
  }));
  const sorted = [...rows.values()].sort((a, b) => order.indexOf(a.of) - order.indexOf(b.of));
  return sorted.map(({names, cells}) => row(cell(names.length === data.variants.length && names.length > 1 ? "all" : names.join(", ")), ...cells()));
};

/** The camera's place belongs to what is set up again. */
const lensRows = ({plan, camera}) => plan.camera === undefined ? [] : [{of: " lens", key: JSON.stringify([plan.camera, camera.focal_length_mm]), cells: () =>
  [e("th", {scope: "row"}, "lens"), cell("camera"), cell(`${camera.focal_length_mm.toFixed(0)} mm`), cell("—"), cell("—"), ...placeCells(plan.camera),
   cell(`focus ${camera.focus_cm.toFixed(1)}`)]}];

keyfall.drawLights = () => {
  const rows = gathered((variant, settings) => [
    ...variant.lights.map((light, l) => {
      const p = powerOf(variant, settings, l), thing = placeOf(variant, light.name), colour = colourText(variant, settings, l);
      const lamp = `${light.exit_cm.toFixed(0)} / ${light.lamp_cm.toFixed(0)}`;
      return {of: light.name, key: JSON.stringify([light, p, thing?.at, colour]), cells: () => [e("th", {scope: "row"}, light.name), cell(light.kind),
              cell(light.modifier === "none" ? "bare" : light.modifier), cell(p), cell(colour), ...placeCells(thing), cell(lamp)]};
    }),
    ...variant.plan.things.filter((t) => t.size).map((t) => ({of: t.name, key: JSON.stringify([t.name, t.kind, t.at, t.size]), cells: () =>
      [e("th", {scope: "row"}, t.name), cell(t.kind), cell(`${t.size.join(" × ")} cm`), cell("—"), cell("—"), ...placeCells(t), cell("—")]})),
    ...lensRows(variant),
  ]);
  table("lights-table", "Lights, cards, scrims, flags and camera with their places",
        ["variant", "name", "kind", "on it / size", "power", "colour", "at x, y, z (cm)", "angle / up", "from subject (cm)", "exit / lamp to aim (cm)"], rows);
};

keyfall.drawShots = () => {
  const rows = data.variants.map((variant, i) => {
    const settings = keyfall.settings[i], at = keyfall.read(variant, settings).probes.find((p) => p.name === data.at);
    return row(cell(`${i + 1}`), e("th", {scope: "row"}, variant.name), cell(changesText(variant)), cell(`${settingsText(settings)}, white ${variant.camera.white}`),
               cell(lightsText(variant, settings)), cell(at?.light === "read" ? `${data.at} ${apertureReading(at.aperture)}` : "—"));
  });
  table("shots-table", "Shot list", ["", "variant", "change", "exposure", "lights", "meter"], rows);
};
})();
