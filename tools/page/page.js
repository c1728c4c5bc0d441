// Wires the page: which variants are left and right, the controls, what follows from a change. Not here: what
// is drawn (picture.js, tables.js, plan.js, tones.js), what is reckoned (light.js).
"use strict";
(() => {
  const data = keyfall.data, c = data.conventions, e = keyfall.element,
        byId = (id) => document.getElementById(id);
  const kSides = ["left", "right"];
  keyfall.shownIndex = {left: 0, right: Math.min(1, data.variants.length - 1)};
  keyfall.settings = data.variants.map(keyfall.settingsOf);
  keyfall.variantOf = (side) => data.variants[keyfall.shownIndex[side]];

  const chosenSide = () => document.querySelector("input[name=side]:checked").value;
  /** The side whose settings the controls show. */
  keyfall.controlSide = () => (chosenSide() === "right" ? "right" : "left");
  const changedSides = () => (chosenSide() === "both" ? kSides : [chosenSide()]);

  /** Calls `change(settings, variant)` once for each variant that the controls change. */
  keyfall.forChanged = (change) => {
    for (const index of new Set(changedSides().map((side) => keyfall.shownIndex[side])))
      change(keyfall.settings[index], data.variants[index]);
    refresh();
  };

  // --- what follows from a change: the pictures with the next frame, the rest when the hand rests ---
  let frame = 0, rest = 0;
  const refresh = () => {
    if (frame === 0)
      frame = requestAnimationFrame(async () => {
        frame = 0;
        const shown = keyfall.drawReadings(shownColumns());
        byId("curtain-note").textContent = kSides.map(curtainText).join("");
        await Promise.all(kSides.map((side) => {
          const index = keyfall.shownIndex[side];
          return keyfall.shown[side].show(index, keyfall.settings[index], byId("clipping").checked);
        }));
        clearTimeout(rest);
        rest = setTimeout(() => {
          keyfall.drawTones();
          keyfall.sayReadings(shown);
          document.body.dataset.settled = String(Number(document.body.dataset.settled ?? 0) + 1);
        }, 250);
      });
  };
  /** Why a live picture is dark where it is. */
  const curtainText = (side) => {
    const variant = keyfall.variantOf(side), settings = keyfall.settings[keyfall.shownIndex[side]],
          share = keyfall.cutShareOf(variant, settings);
    return variant.live && share > 0 ?
        `${side} (${variant.name}): ${Math.round(100 * share)} % at the ${variant.camera.curtain_at} without ` +
            "flash, behind the shutter's second curtain. " :
        "";
  };
  const shownColumns = () => [...new Set(kSides.map((side) => keyfall.shownIndex[side]))];

  // --- choices ---
  const options = () => data.variants.map(
      (variant, i) => e("option", {value: i}, variant.name + (variant.live ? " — live" : "")));
  const startSides = () => {
    for (const side of kSides) {
      byId(side).append(...options());
      byId(side).value = keyfall.shownIndex[side];
      byId(side).addEventListener("change", () => {
        keyfall.shownIndex[side] = Number(byId(side).value);
        keyfall.drawControls();
        keyfall.setWipe(Number(byId("wipe").value));
        refresh();
      });
    }
    byId("plan-of").append(...data.variants.map((variant, i) => e("option", {value: i}, variant.name)));
    byId("plan-of").addEventListener(
        "change", () => keyfall.drawPlan(data.variants[Number(byId("plan-of").value)]));
  };

  const startChoices = () => {
    for (const input of document.querySelectorAll("input[name=side]"))
      input.addEventListener("change", keyfall.drawControls);
    for (const input of document.querySelectorAll("input[name=view]"))
      input.addEventListener("change", () => {
        byId("pair").className = input.value;
        byId("wipe-row").hidden = input.value !== "wipe";
      });
    byId("clipping").addEventListener("change", refresh);
    byId("as-compared").addEventListener("click", () => {
      keyfall.settings = data.variants.map(keyfall.settingsOf);
      keyfall.drawControls();
      refresh();
    });
  };

  // --- paper: up to four variants as they are set now ---
  const printed = () => [...new Set([...shownColumns(), ...data.variants.keys()])].slice(0, 4);
  const changed = (i) =>
      JSON.stringify(keyfall.settings[i]) !== JSON.stringify(keyfall.settingsOf(data.variants[i]));
  let prints = new Map();
  const preparePrints = async () => {
    prints = new Map();
    for (const i of printed())
      if (changed(i)) prints.set(i, await keyfall.stillOf(i, keyfall.settings[i]));
  };
  const forPaper = () => {
    keyfall.drawReadings(printed());
    drawTables();
    document.querySelectorAll(".card").forEach((card, i) => {
      card.classList.toggle("unprinted", !printed().includes(i));
      if (prints.get(i)) card.querySelector("img").src = prints.get(i);
    });
    const count = printed().length;
    byId("cards").dataset.count = count;
    document.body.classList.toggle("tables-apart", count > 3);
    document.body.classList.toggle("wide-columns", count <= 3);
    keyfall.drawPlan(data.variants[printed()[0]]);
    byId("printed").textContent = count < data.variants.length ?
        `On this page: ${printed().map((i) => data.variants[i].name).join(", ")}; the tables have all.` :
        "";
  };
  const afterPaper = () => {
    keyfall.drawPlan(data.variants[Number(byId("plan-of").value)]);
    refresh();
  };
  const drawTables = () => {
    keyfall.drawCards();
    keyfall.drawLights();
    keyfall.drawShots();
  };

  const textOfCut = () => {
    const {layers, none, pictures} = data.cut, texts = [];
    const megabytes = `${(data.cut.most_bytes / 1e6).toFixed(data.cut.most_bytes < 1e6 ? 2 : 0)} MB`;
    if (layers > 0 && !none)
      texts.push(`To keep the page within ${megabytes}, live layers are at 1/${
          2 ** layers} of the picture's width and height.`);
    if (none) texts.push(`The page holds no live layers: they would not fit into ${megabytes}.`);
    if (pictures > 0)
      texts.push(`Pictures are at 1/${2 ** pictures} of their width and height, for the same reason.`);
    return texts.join(" ");
  };

  const exposureText = () => {
    const others = data.variants.filter((variant) => !keyfall.words.isEqual(variant));
    if (others.length === data.variants.length) return "exposed as set";
    return `brought to equal exposure at ${data.at} by ${data.variants[0].compensation.by}` +
        (others.length ? `, all but ${others.map(({name}) => name).join(", ")}` : "");
  };
  /** What has to be known of the exposures as compared, once each, with the variants that it is of. */
  const drawWarnings = () => {
    const names = new Map(data.cautions.map((text) => [text, []]));
    for (const {name, cautions} of data.variants)
      for (const text of cautions) names.set(text, [...(names.get(text) ?? []), name]);
    const whom = (of) => of.length === data.variants.length && of.length > 1 ? "all: " :
        of.length                                                            ? `${of.join(", ")}: ` :
                                                                               "";
    byId("cautions").replaceChildren(
        ...[...names].map(([text, of]) => e("strong", {class: "caution"}, `${whom(of)}${text}. `)));
  };

  const start = () => {
    byId("title").textContent = data.title || "Lighting comparison";
    byId("lede").textContent =
        `${data.variants.length} variant${data.variants.length > 1 ? "s" : ""} of one set, ${exposureText()}.`;
    drawWarnings();
    byId("picture-note").textContent = textOfCut();
    byId("colophon").textContent =
        `keyfall ${data.version}. f-numbers and times are exact steps: f/11 is 11.31, 1/125 s is 1/128 s. ` +
        `Meter constants: C ${c.C} flat, ${c.C_dome} dome; K ${c.K}. K is key, F is fill.`;
    startSides();
    startChoices();
    keyfall.drawControls();
    keyfall.setWipe(50);
    keyfall.drawPlan(data.variants[0]);
    drawTables();
    document.body.addEventListener("change", preparePrints);
    addEventListener("beforeprint", forPaper);
    addEventListener("afterprint", afterPaper);
    refresh();
  };
  start();
})();
