// The variants' cards, the light table and the shot list. Not here: the table of readings (tables.js).
"use strict";
(() => {
  const data = keyfall.data, e = keyfall.element, byId = (id) => document.getElementById(id);
  const {signed, overUnder, apertureReading} = keyfall;
  const {cell, row, table, settingsText, powerOf, lightsText, edgeText, edgesOf} = keyfall.words;

  /** By how much a variant was changed for equal exposure. */
  const compensationText = ({compensation: k}) => {
    if (k.impossible) return `not possible: ${k.impossible}`;
    if (k.by === "power" && k.lamps.length === 0) return "no lamp moved: the variants change none";
    const amount = Math.abs(k.stops) < 0.005 ?
        "no change needed" :
        `${signed(k.stops, 2)} stop by ${k.by}${k.lamps.length ? ` of ${k.lamps.join(", ")}` : ""}`;
    const beyond = k.beyond.map(
        (b) => ` — ${b.lamp}: ${Math.abs(b.stops).toFixed(1)} stops ${
            b.stops > 0 ? "more than this lamp has" : "under its lowest power"}`);
    return amount + beyond.join("");
  };
  const changesText = (variant) =>
      variant.changes.map(([key, value]) => `${key} = ${value}`).join("; ") || "the set as written";

  const facts = (variant, settings) => {
    const found = keyfall.read(variant, settings), at = found.probes.find((p) => p.name === data.at),
          k = found.contrasts[0];
    const list = [["settings", settingsText(settings)], ["lights", lightsText(variant, settings)]];
    if (variant.compensation.by !== "none") list.push(["equal exposure", compensationText(variant)]);
    // On paper the table of readings is beside the pictures: there these lines are left out.
    const read = list.length;
    if (at?.light === "read")
      list.push([at.name, `${apertureReading(at.aperture)} (picture ${overUnder(at.picture)})`]);
    if (k)
      list.push([
        "contrast", `${k.lit} : ${k.shadow} ${k.stops.toFixed(1)} stops, (K+F):F ${k.kf_f.toFixed(1)}:1`
      ]);
    for (const edge of edgesOf(variant).slice(0, 2)) list.push([edge.name, edgeText(edge)]);
    if (found.background?.light === "read")
      list.push([
        "background",
        `${signed(found.background.picture)} from grey, sRGB ${found.background.rgb.join(" ")}`
      ]);
    return list.map(
        ([key, value], i) =>
            e("div", {class: i < read ? "set" : "read"}, e("dt", {}, key), e("dd", {}, value)));
  };

  /** The variants as a row of sheets: picture, what was changed, what came out. */
  keyfall.drawCards = () => {
    byId("cards").replaceChildren(...data.variants.map((variant, i) => {
      const list = facts(variant, keyfall.settings[i]);
      return e(
          "li", {class: "card", "data-variant": variant.name}, e("img", {
            src: variant.picture.uri,
            width: variant.picture.width,
            height: variant.picture.height,
            alt: keyfall.pictureLabel(variant, keyfall.settings[i])
          }),
          e("h3", {}, variant.name),
          e("p", {}, variant.caption ? `${variant.caption}. ` : "",
            e("span", {class: "changes"}, changesText(variant))),
          e("dl", {}, ...list));
    }));
  };

  const colourText = (variant, settings, l) => {
    const kelvin = settings.lights[l].kelvin ?? variant.lights[l].colour_temperature;
    return (kelvin ? `${kelvin.toFixed(0)} K` : "—") +
        variant.lights[l].gels.map((gel) => ` + ${gel}`).join("");
  };
  const placeOf = (variant, name) => variant.plan.things.find((t) => t.name === name && t.at);
  const minus = (text) => String(text).replaceAll("-", "−");
  const placeCells = (t) => t ?
      [
        cell(minus(t.at.join(", "))), cell(minus(`${t.angle_deg}° / ${t.elevation_deg}°`)),
        cell(`${t.distance_cm}`)
      ] :
      [cell("—"), cell("—"), cell("—")];

  /**
   * Rows that are alike in several variants are told once, with the variants' names; those `of` one thing
   * together.
   */
  const gathered = (make) => {
    const rows = new Map(), order = [];
    data.variants.forEach((variant, i) => make(variant, keyfall.settings[i]).forEach(({of, key, cells}) => {
      if (!order.includes(of)) order.push(of);
      if (!rows.has(key)) rows.set(key, {of, names: [], cells});
      rows.get(key).names.push(variant.name);
    }));
    const sorted = [...rows.values()].sort((a, b) => order.indexOf(a.of) - order.indexOf(b.of));
    return sorted.map(
        ({names, cells}) =>
            row(cell(names.length === data.variants.length && names.length > 1 ? "all" : names.join(", ")),
                ...cells()));
  };

  /** The camera's place belongs to what is set up again. */
  const lensRows = ({plan, camera}) => plan.camera === undefined ? [] : [{
    of: " lens",
    key: JSON.stringify([plan.camera, camera.focal_length_mm]),
    cells: () =>
        [e("th", {scope: "row"}, "lens"), cell("camera"), cell(`${camera.focal_length_mm.toFixed(0)} mm`),
         cell("—"), cell("—"), ...placeCells(plan.camera), cell(`focus ${camera.focus_cm.toFixed(1)}`)]
  }];

  keyfall.drawLights = () => {
    const rows = gathered(
        (variant, settings) =>
            [...variant.lights.map((light, l) => {
              const p = powerOf(variant, settings, l), thing = placeOf(variant, light.name),
                    colour = colourText(variant, settings, l);
              const lamp = `${light.exit_cm.toFixed(0)} / ${light.lamp_cm.toFixed(0)}`;
              return {
                of: light.name,
                key: JSON.stringify([light, p, thing?.at, colour]),
                cells: () =>
                    [e("th", {scope: "row"}, light.name), cell(light.kind),
                     cell(light.modifier === "none" ? "bare" : light.modifier), cell(p), cell(colour),
                     ...placeCells(thing), cell(lamp)]
              };
            }),
             ...variant.plan.things.filter((t) => t.size)
                 .map((t) => ({
                        of: t.name,
                        key: JSON.stringify([t.name, t.kind, t.at, t.size]),
                        cells: () =>
                            [e("th", {scope: "row"}, t.name), cell(t.kind), cell(`${t.size.join(" × ")} cm`),
                             cell("—"), cell("—"), ...placeCells(t), cell("—")]
                      })),
             ...lensRows(variant),
    ]);
    table(
        "lights-table", "Lights, cards, scrims, flags and camera with their places",
        [
          "variant", "name", "kind", "on it / size", "power", "colour", "at x, y, z (cm)", "angle / up",
          "from subject (cm)", "exit / lamp to aim (cm)"
        ],
        rows);
  };

  keyfall.drawShots = () => {
    const rows = data.variants.map((variant, i) => {
      const settings = keyfall.settings[i],
            at = keyfall.read(variant, settings).probes.find((p) => p.name === data.at);
      return row(
          cell(`${i + 1}`), e("th", {scope: "row"}, variant.name), cell(changesText(variant)),
          cell(`${settingsText(settings)}, white ${variant.camera.white}`),
          cell(lightsText(variant, settings)),
          cell(at?.light === "read" ? `${data.at} ${apertureReading(at.aperture)}` : "—"));
    });
    table("shots-table", "Shot list", ["", "variant", "change", "exposure", "lights", "meter"], rows);
  };
})();
