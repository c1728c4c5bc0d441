// The controls of lamps and camera: they show one side's settings and change one side's or
// both. Not here: what follows from a change (page.js).
"use strict";
(() => {
  const c = keyfall.data.conventions, e = keyfall.element, byId = (id) => document.getElementById(id);
  const kSides = ["left", "right"];

  // --- lamps ---
  /** Powers move in tenths of a stop from the power as compared, so that this one is always met exactly. */
  const powerRange = (variant, l) => {
    const light = variant.lights[l], base = keyfall.settingsOf(variant).lights[l].stops;
    const lowest = light ? light.lowest_stops ?? Math.min(-8, base) : -6, highest = light ? 0 : 3;
    return {
      base,
      least: Math.min(0, Math.ceil((lowest - base) * 10 - 1e-6)),
      most: Math.max(0, Math.floor((highest - base) * 10 + 1e-6))
    };
  };

  const powerWords = (variant, l, stops) => {
    if (!variant.lights[l]) return Math.abs(stops) < 0.05 ? "as set" : keyfall.signedStops(stops);
    return `${keyfall.powerText(stops)} (${keyfall.signedStops(stops)})`;
  };

  const moveLamp = (name, tenths) => keyfall.forChanged((settings, variant) => {
    const l = variant.layers.findIndex((layer) => layer.name === name);
    if (l < 0) return;
    const range = powerRange(variant, l);
    settings.lights[l].stops = range.base + Math.min(range.most, Math.max(range.least, tenths)) / 10;
  });
  const changeLamp = (name, change) => keyfall.forChanged((settings, variant) => {
    const l = variant.layers.findIndex((layer) => layer.name === name);
    if (l >= 0) change(settings.lights[l]);
  });

  const colourChoice = (variant, l, id) => {
    const light = variant.lights[l], settings = keyfall.settings[keyfall.shownIndex[keyfall.controlSide()]];
    const asSet = light.gels.length ? "gelled" :
        light.colour_temperature    ? `${light.colour_temperature.toFixed(0)} K` :
                                      "as set";
    const select =
        e("select", {id: `${id}-colour`, "aria-label": `Colour of ${light.name}, in the picture approximate`},
          e("option", {value: ""}, asSet),
          ...c.colours.map((colour) => e("option", {value: colour.kelvin}, `${colour.kelvin} K ≈`)));
    select.value = settings.lights[l].kelvin ?? "";
    select.disabled = light.gels.length > 0;
    select.addEventListener("change", () => changeLamp(light.name, (one) => {
                                        one.kelvin = select.value === "" ? null : Number(select.value);
                                      }));
    return select;
  };

  const lampControls = (variant, l) => {
    const layer = variant.layers[l],
          settings = keyfall.settings[keyfall.shownIndex[keyfall.controlSide()]].lights[l],
          id = `lamp-${l}`;
    const name = layer.kind === "ambient" ? "room light (ambient)" :
        layer.kind === "glow"             ? "glowing surfaces" :
                                            layer.name;
    const on = e("input", {type: "checkbox", id: `${id}-on`});
    on.checked = settings.on;
    on.addEventListener("change", () => changeLamp(layer.name, (one) => {
                                    one.on = on.checked;
                                  }));
    const range = powerRange(variant, l), output = e("output", {for: id});
    const slider =
        e("input",
          {type: "range", id, min: range.least, max: range.most, step: 1, "aria-label": `Power of ${name}`});
    slider.value = Math.round((settings.stops - range.base) * 10);
    const tell = () => {
      const words = powerWords(variant, l, range.base + Number(slider.value) / 10);
      output.textContent = words;
      slider.setAttribute("aria-valuetext", words);
    };
    slider.addEventListener("input", () => {
      tell();
      moveLamp(layer.name, Number(slider.value));
    });
    tell();
    return e(
        "div", {class: "lamp", "data-lamp": layer.name}, e("label", {class: "name"}, on, ` ${name}`), output,
        slider, variant.lights[l] ? colourChoice(variant, l, id) : null);
  };

  // --- camera ---
  /** A third-stop series; a value that is in none of its steps stands among them. */
  const seriesWith =
      (series, value) => [...series.filter((one) => Math.abs(one.exact / value.exact - 1) > 1e-9), value]
                             .sort((a, b) => a.exact - b.exact);
  const kCamera =
      [["aperture", "f-number", c.apertures], ["shutter", "Shutter", c.shutters], ["iso", "ISO", c.isos]];

  const cameraControl = ([key, label, series]) => {
    const side = keyfall.controlSide(), now = keyfall.settings[keyfall.shownIndex[side]][key],
          steps = seriesWith(series, keyfall.variantOf(side).camera[key]);
    const select =
        e("select", {id: `camera-${key}`}, ...steps.map((one, i) => e("option", {value: i}, one.text)));
    select.value = steps.findIndex((one) => Math.abs(one.exact / now.exact - 1) < 1e-9);
    select.addEventListener("change", () => keyfall.forChanged((settings) => {
                                        settings[key] = steps[Number(select.value)];
                                      }));
    return e("label", {}, label, select);
  };

  keyfall.drawControls = () => {
    const variant = keyfall.variantOf(keyfall.controlSide());
    byId("lamps").replaceChildren(...variant.layers.map((_, l) => lampControls(variant, l)));
    byId("camera").replaceChildren(...kCamera.map(cameraControl));
    const still =
        kSides.filter((side) => !keyfall.variantOf(side).live).map((side) => keyfall.variantOf(side).name);
    byId("relight-note").textContent =
        (still.length ? `Readings follow for all; the picture of ${
                                [...new Set(still)].join(" and ")} stays as compared. ` :
                        "") +
        "Readings follow the program's own arithmetic. In the picture a changed colour (≈) is " +
        "approximate; white balance, depth of field and noise stay as compared.";
  };
})();
