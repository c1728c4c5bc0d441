// Words and table cells that several parts of the page share. Not here: what is in the tables (tables.js,
// sheets.js).
"use strict";
(() => {
  const data = keyfall.data, e = keyfall.element, byId = (id) => document.getElementById(id);
  const {signed, powerText} = keyfall;

  const cell = (text, attributes = {}) => e("td", attributes, text);
  const head = (text, scope = "col") => e("th", {scope}, text);
  const row = (...cells) => e("tr", {}, ...cells);
  const table = (id, caption, heads, rows) => byId(id).replaceChildren(
      e("caption", {class: "unseen"}, caption), e("thead", {}, row(...heads.map((h) => head(h)))),
      e("tbody", {}, ...rows));

  const settingsText = (s) => `${s.aperture.text}, ${s.shutter.text}, ${s.iso.text}`;

  /** "1/4+0.3", of the room's light "as set" or stops from it. */
  const powerOf = (variant, settings, l) => {
    const {on, stops} = settings.lights[l];
    if (!on) return "off";
    if (variant.lights[l]) return powerText(stops);
    return Math.abs(stops) < 0.05 ? "as set" : keyfall.signedStops(stops);
  };
  const lightsText = (variant, settings) =>
      variant.layers.map((layer, l) => `${layer.name} ${powerOf(variant, settings, l)}`).join(", ");

  keyfall.pictureLabel = (variant, settings) =>
      `${variant.name}: ${settingsText(settings)}; ${lightsText(variant, settings)}` +
      (variant.live ? "" : "; picture as compared");

  /** How hard a shadow edge is by its 10-90 % width over the throw. */
  const edgeWord = (edge) => {
    const share = edge.width_10_90_mm / (10 * edge.throw_cm);
    return share < 0.05 ? "hard" : share < 0.2 ? "medium" : share < 0.5 ? "soft" : "very soft";
  };
  const edgeText = (edge) => `${edge.width_10_90_mm.toFixed(1)} mm, ${edgeWord(edge)}`;
  const edgesOf = (variant) => (variant.report.edges ?? []).filter((edge) => edge.width_10_90_mm != null);

  const unique = (lists) => [...new Set(lists.flat())];

  /** Was this variant brought to equal exposure? Not where no lamp moved or none could. */
  const isEqual = ({compensation}) => compensation.reached;

  keyfall.words = {cell, row, table, settingsText, powerOf, lightsText, edgeText, edgesOf, unique, isEqual};
})();
