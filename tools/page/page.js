// Wires the page: which variants are left and right, the controls, what follows from a change. Not here: what
// is drawn (picture.js, tables.js, plan.js, tones.js), what is reckoned (light.js).
"use strict";
(() => {
const data = keyfall.data, c = data.conventions, e = keyfall.element, byId = (id) => document.getElementById(id);
const kSides = ["left", "right"];
const shownIndex = {left: 0, right: Math.min(1, data.variants.length - 1)};
keyfall.settings = data.variants.map(keyfall.settingsOf);
keyfall.variantOf = (side) => data.variants[shownIndex[side]];

const chosenSide = () => document.querySelector("input[name=side]:checked").value;
/** The side whose settings the controls show. */
const controlSide = () => (chosenSide() === "right" ? "right" : "left");
const changedSides = () => (chosenSide() === "both" ? kSides : [chosenSide()]);

/** Calls `change(settings, variant)` once for each variant that the controls change. */
const forChanged = (change) => {
  for (const index of new Set(changedSides().map((side) => shownIndex[side]))) change(keyfall.settings[index], data.variants[index]);
  refresh();
};

// --- what follows from a change: the pictures with the next frame, the rest when the hand rests ---
let frame = 0, rest = 0;
const refresh = () => {
  if (frame === 0) frame = requestAnimationFrame(async () => {
    frame = 0;
    const shown = keyfall.drawReadings(shownColumns());
    await Promise.all(kSides.map((side) => keyfall.shown[side].show(shownIndex[side], keyfall.settings[shownIndex[side]], byId("clipping").checked)));
    clearTimeout(rest);
    rest = setTimeout(() => {
      keyfall.drawTones();
      keyfall.sayReadings(shown);
      document.body.dataset.settled = String(Number(document.body.dataset.settled ?? 0) + 1);
    }, 250);
  });
};
const shownColumns = () => [...new Set(kSides.map((side) => shownIndex[side]))];

// --- lamps ---
/** Powers move in tenths of a stop from the power as compared, so that this one is always met exactly. */
const powerRange = (variant, l) => {
  const light = variant.lights[l], base = keyfall.settingsOf(variant).lights[l].stops;
  const lowest = light ? light.lowest_stops ?? Math.min(-8, base) : -6, highest = light ? 0 : 3;
  return {base, least: Math.min(0, Math.ceil((lowest - base) * 10 - 1e-6)), most: Math.max(0, Math.floor((highest - base) * 10 + 1e-6))};
};

const powerWords = (variant, l, stops) => {
  if (!variant.lights[l]) return Math.abs(stops) < 0.05 ? "as set" : `${keyfall.signed(stops)} stop`;
  return `${keyfall.powerText(stops)} (${keyfall.signed(stops)} stop)`;
};

const moveLamp = (name, tenths) => forChanged((settings, variant) => {
  const l = variant.layers.findIndex((layer) => layer.name === name);
  if (l < 0) return;
  const range = powerRange(variant, l);
  settings.lights[l].stops = range.base + Math.min(range.most, Math.max(range.least, tenths)) / 10;
});
const changeLamp = (name, change) => forChanged((settings, variant) => {
  const l = variant.layers.findIndex((layer) => layer.name === name);
  if (l >= 0) change(settings.lights[l]);
});

const colourChoice = (variant, l, id) => {
  const light = variant.lights[l], settings = keyfall.settings[shownIndex[controlSide()]];
  const asSet = light.gels.length ? "gelled" : light.colour_temperature ? `${light.colour_temperature.toFixed(0)} K` : "as set";
  const select = e("select", {id: `${id}-colour`, "aria-label": `Colour of ${light.name}, in the picture approximate`},
                   e("option", {value: ""}, asSet), ...c.colours.map((colour) => e("option", {value: colour.kelvin}, `${colour.kelvin} K ≈`)));
  select.value = settings.lights[l].kelvin ?? "";
  select.disabled = light.gels.length > 0;
  select.addEventListener("change", () => changeLamp(light.name, (one) => { one.kelvin = select.value === "" ? null : Number(select.value); }));
  return select;
};

const lampControls = (variant, l) => {
  const layer = variant.layers[l], settings = keyfall.settings[shownIndex[controlSide()]].lights[l], id = `lamp-${l}`;
  const name = layer.kind === "ambient" ? "room light (ambient)" : layer.kind === "glow" ? "glowing surfaces" : layer.name;
  const on = e("input", {type: "checkbox", id: `${id}-on`});
  on.checked = settings.on;
  on.addEventListener("change", () => changeLamp(layer.name, (one) => { one.on = on.checked; }));
  const range = powerRange(variant, l), output = e("output", {for: id});
  const slider = e("input", {type: "range", id, min: range.least, max: range.most, step: 1, "aria-label": `Power of ${name}`});
  slider.value = Math.round((settings.stops - range.base) * 10);
  const tell = () => {
    const words = powerWords(variant, l, range.base + Number(slider.value) / 10);
    output.textContent = words;
    slider.setAttribute("aria-valuetext", words);
  };
  slider.addEventListener("input", () => { tell(); moveLamp(layer.name, Number(slider.value)); });
  tell();
  return e("div", {class: "lamp", "data-lamp": layer.name},
           e("label", {class: "name"}, on, ` ${name}`), output, slider, variant.lights[l] ? colourChoice(variant, l, id) : null);
};

// --- camera ---
/** A third-stop series; a value that is in none of its steps stands among them. */
const seriesWith = (series, value) =>
  [...series.filter((one) => Math.abs(one.exact / value.exact - 1) > 1e-9), value].sort((a, b) => a.exact - b.exact);
const kCamera = [["aperture", "f-number", c.apertures], ["shutter", "Shutter", c.shutters], ["iso", "ISO", c.isos]];

const cameraControl = ([key, label, series]) => {
  const side = controlSide(), now = keyfall.settings[shownIndex[side]][key], steps = seriesWith(series, keyfall.variantOf(side).camera[key]);
  const select = e("select", {id: `camera-${key}`}, ...steps.map((one, i) => e("option", {value: i}, one.text)));
  select.value = steps.findIndex((one) => Math.abs(one.exact / now.exact - 1) < 1e-9);
  select.addEventListener("change", () => forChanged((settings) => { settings[key] = steps[Number(select.value)]; }));
  return e("label", {}, label, select);
};

const drawControls = () => {
  const variant = keyfall.variantOf(controlSide());
  byId("lamps").replaceChildren(...variant.layers.map((_, l) => lampControls(variant, l)));
  byId("camera").replaceChildren(...kCamera.map(cameraControl));
  const still = kSides.filter((side) => !keyfall.variantOf(side).live).map((side) => keyfall.variantOf(side).name);
  byId("relight-note").textContent = (still.length ? `Readings follow for all; the picture of ${[...new Set(still)].join(" and ")} stays as compared. ` : "") +
    "Readings follow the program's own arithmetic. In the picture a changed colour (≈) is approximate; white balance, depth of field and noise stay as compared.";
};

// --- choices ---
const options = () => data.variants.map((variant, i) => e("option", {value: i}, variant.name + (variant.live ? " — live" : "")));
const startSides = () => {
  for (const side of kSides) {
    byId(side).append(...options());
    byId(side).value = shownIndex[side];
    byId(side).addEventListener("change", () => {
      shownIndex[side] = Number(byId(side).value);
      drawControls();
      keyfall.setWipe(Number(byId("wipe").value));
      refresh();
    });
  }
  byId("plan-of").append(...data.variants.map((variant, i) => e("option", {value: i}, variant.name)));
  byId("plan-of").addEventListener("change", () => keyfall.drawPlan(data.variants[Number(byId("plan-of").value)]));
};

const startChoices = () => {
  for (const input of document.querySelectorAll("input[name=side]")) input.addEventListener("change", drawControls);
  for (const input of document.querySelectorAll("input[name=view]"))
    input.addEventListener("change", () => {
      byId("pair").className = input.value;
      byId("wipe-row").hidden = input.value !== "wipe";
    });
  byId("clipping").addEventListener("change", refresh);
  byId("as-compared").addEventListener("click", () => {
    keyfall.settings = data.variants.map(keyfall.settingsOf);
    drawControls();
    refresh();
  });
};

// --- paper: up to four variants as they are set now ---
const printed = () => [...new Set([...shownColumns(), ...data.variants.keys()])].slice(0, 4);
const changed = (i) => JSON.stringify(keyfall.settings[i]) !== JSON.stringify(keyfall.settingsOf(data.variants[i]));
let prints = new Map();
const preparePrints = async () => {
  prints = new Map();
  for (const i of printed()) if (changed(i)) prints.set(i, await keyfall.stillOf(i, keyfall.settings[i]));
};
const forPaper = () => {
  keyfall.drawReadings(printed());
  drawTables();
  document.querySelectorAll(".card").forEach((card, i) => {
    card.classList.toggle("unprinted", !printed().includes(i));
    if (prints.get(i)) card.querySelector("img").src = prints.get(i);
  });
  byId("cards").dataset.count = printed().length;
};
const drawTables = () => { keyfall.drawCards(); keyfall.drawLights(); keyfall.drawShots(); };

const textOfCut = () => {
  const {layers, none, pictures} = data.cut, texts = [];
  const megabytes = `${(data.cut.most_bytes / 1e6).toFixed(data.cut.most_bytes < 1e6 ? 2 : 0)} MB`;
  if (layers > 0 && !none) texts.push(`To keep the page within ${megabytes}, live layers are at 1/${2 ** layers} of the picture's width and height.`);
  if (none) texts.push(`The page holds no live layers: they would not fit into ${megabytes}.`);
  if (pictures > 0) texts.push(`Pictures are at 1/${2 ** pictures} of their width and height, for the same reason.`);
  return texts.join(" ");
};

const start = () => {
  byId("title").textContent = data.title || "Lighting comparison";
  const by = data.variants[0].compensation.by;
  byId("lede").textContent = `${data.variants.length} variant${data.variants.length > 1 ? "s" : ""} of one set, ` +
    (by === "none" ? "each as it is written." : `brought to equal exposure at ${data.at} by ${by}.`);
  byId("picture-note").textContent = textOfCut();
  byId("colophon").textContent = `keyfall ${data.version}. f-numbers and times are exact steps: f/11 is 11.31, 1/125 s is 1/128 s. ` +
    `Meter constants: C ${c.C} flat, ${c.C_dome} dome; K ${c.K}. K is key, F is fill.`;
  startSides();
  startChoices();
  drawControls();
  keyfall.setWipe(50);
  keyfall.drawPlan(data.variants[0]);
  drawTables();
  document.body.addEventListener("change", preparePrints);
  addEventListener("beforeprint", forPaper);
  addEventListener("afterprint", refresh);
  refresh();
};
start();
})();
