// The table of readings, and what is said of them aloud. Not here: what they are reckoned from (light.js),
// the variants' sheets and lists (sheets.js).
"use strict";
(() => {
  const data = keyfall.data, e = keyfall.element, byId = (id) => document.getElementById(id);
  const {signed, overUnder, apertureReading} = keyfall;
  const {cell, row, table, edgeText, edgesOf, unique, isEqual} = keyfall.words;

  /** What a probe's cell says; the exact figure stays in its data. */
  const probeCell = (reading, atMark) => {
    const attributes = {"data-probe": reading.name, class: atMark ? "at" : null};
    if (reading.light !== "read")
      return cell(
          reading.light === "none" ? "no light is on" : "no reading: too little light found", attributes);
    Object.assign(attributes, {
      "data-over": reading.over,
      "data-picture": reading.picture,
      "data-aperture": reading.aperture,
      "data-exposure": reading.exposure,
      "data-half": reading.half
    });
    const spot = reading.kind === "spot";
    const first = spot ? `${signed(reading.picture)} from grey` : apertureReading(reading.aperture);
    const then = spot ? [`sRGB ${reading.rgb.join(" ")}`] : [
      e("span", {class: "meter"}, `meter ${overUnder(reading.over)}, `),
      `picture ${overUnder(reading.picture)}`
    ];
    const patch = spot ?
        e("span",
          {class: "patch", style: `background: rgb(${reading.rgb.join(",")})`, "aria-hidden": "true"}) :
        null;
    return e(
        "td", attributes, e("b", {}, first), ` ± ${reading.half.toFixed(2)}`, e("br"), patch,
        e("small", {}, ...then));
  };

  /** `first` is the contrast that heads the row: two probes, the brighter one first there, maybe not here. */
  const contrastCell = (contrast, first) => {
    if (contrast === undefined) return cell("—");
    const turned = contrast.lit !== first.lit, stops = contrast.stops.toFixed(1);
    return e(
        "td", {"data-contrast": `${contrast.lit}:${contrast.shadow}`, "data-stops": contrast.stops},
        e("b", {}, `${turned && Number(stops) > 0 ? "−" : ""}${stops} stops`),
        ` ± ${contrast.half.toFixed(2)}`, e("br"), e("small", {}, turned ?
            `here ${contrast.lit} is the brighter` :
            `(K+F):F ${contrast.kf_f.toFixed(1)}:1, K:F ${contrast.k_f.toFixed(1)}:1`));
  };

  const kindWords = (kind) => (kind === "spot" ? "spot, stops" : kind);

  /** Readings of these variants, a column each. */
  keyfall.drawReadings = (indices) => {
    const shown = indices.map(
        (i) => ({variant: data.variants[i], found: keyfall.read(data.variants[i], keyfall.settings[i])}));
    const everyEqual = shown.every(({variant}) => isEqual(variant));
    const rows = unique(shown.map(({found}) => found.probes.map((p) => p.name))).map((name) => {
      const kind = shown.map(({found}) => found.probes.find((p) => p.name === name)).find(Boolean).kind;
      return row(
          e("th", {scope: "row"}, name, " ",
            e("small", {}, kindWords(kind) + (name === data.at && everyEqual ? ", equal as compared" : ""))),
          ...shown.map(({variant, found}) => {
            const p = found.probes.find((q) => q.name === name);
            return p ? probeCell(p, name === data.at && isEqual(variant)) : cell("—");
          }));
    });
    // Which two probes, whichever is the brighter: one row for all columns.
    const pair = (contrast) => [contrast.lit, contrast.shadow].sort().join(" : ");
    for (const key of unique(shown.map(({found}) => found.contrasts.map(pair)))) {
      const own = shown.map(({found}) => found.contrasts.find((one) => pair(one) === key)),
            first = own.find(Boolean);
      rows.push(
          row(e("th", {scope: "row"}, `${first.lit} : ${first.shadow}`, " ", e("small", {}, "contrast")),
              ...own.map((one) => contrastCell(one, first))));
    }
    for (const key of unique(shown.map(({variant}) => edgesOf(variant).map((edge) => edge.name))))
      rows.push(row(
          e("th", {scope: "row"}, key, " ", e("small", {}, "edge, 10–90 %")), ...shown.map(({variant}) => {
            const edge = edgesOf(variant).find((one) => one.name === key);
            return edge ? e("td", {}, e("b", {}, edgeText(edge)), e("br"),
                            e("small", {}, `throw ${edge.throw_cm.toFixed(1)} cm`)) :
                          cell("—");
          })));
    table(
        "readings-table", "Readings of the variants shown", ["", ...shown.map(({variant}) => variant.name)],
        rows);
    drawCautions(indices);
    return shown;
  };

  /** Each caution once, with the variants that it is of. */
  const drawCautions = (indices) => {
    const names = new Map();
    for (const i of indices)
      for (const text of keyfall.cautionsOf(data.variants[i], keyfall.settings[i]))
        names.set(text, [...(names.get(text) ?? []), data.variants[i].name]);
    byId("readings-note").replaceChildren(
        ...[...names].map(([text, of]) => e("strong", {class: "caution"}, `${of.join(", ")}: ${text}. `)),
        "± is half of the 95 % interval, in stops. Shadow edges are as compared: power does not change them.");
  };

  /** One sentence for ears: what the readings at the probe of equal exposure, and the contrasts, are now. */
  keyfall.sayReadings = (shown) => {
    byId("said").textContent =
        shown
            .map(({variant, found}) => {
              const at = found.probes.find((p) => p.name === data.at);
              const reading = at && at.light === "read" ?
                  `${at.name} ${apertureReading(at.aperture)}, picture ${overUnder(at.picture)}` :
                  "no reading";
              return `${variant.name}: ${reading}` +
                  found.contrasts.slice(0, 1)
                      .map((k) => `, ${k.lit} to ${k.shadow} ${k.stops.toFixed(1)} stops`)
                      .join("");
            })
            .join(". ");
  };
})();
