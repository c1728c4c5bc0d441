// Photographic arithmetic of the page: f-numbers, powers, stops as a photographer writes them; medians of
// uncertainty. The conventions are the program's (its README, "Numbers"). Not here: light (light.js).
"use strict";
const keyfall = {};
keyfall.data = JSON.parse(document.getElementById("comparison").textContent);

(() => {
  const c = keyfall.data.conventions;
  const kStudent95 = 2.1314495455597742;  // two-sided 95 %, 15 degrees of freedom, as the program has it

  /** Whole stop at or below and tenths, "f/8 9/10"; rounding carries. */
  keyfall.apertureReading = (aperture) => {
    if (!(aperture > 0) || !Number.isFinite(aperture)) return "no light";
    const tenths = Math.round(20 * Math.log2(aperture));
    const stop = Math.floor(tenths / 10), rest = tenths - 10 * stop;
    const name = c.stops[stop - c.first_stop] ?? "f/" + Math.pow(2, stop / 2).toPrecision(2);
    return rest === 0 ? name : `${name} ${rest}/10`;
  };

  /** Stops under full as "1/4+0.3"; above full there is no such notation. */
  keyfall.powerText = (stops) => {
    if (stops === -Infinity) return "0";
    const rounded = Math.round(stops * 1000) / 1000;
    if (rounded > 0) return `1/1+${Number(rounded.toFixed(3))}`;
    const whole = Math.min(Math.floor(rounded), 0);
    const rest = Number((rounded - whole).toFixed(3));
    return `1/${Math.pow(2, -whole)}` + (rest > 0 ? `+${rest}` : "");
  };

  /** "1.3 over", "0.4 under"; a proper minus where a sign is wanted. */
  keyfall.overUnder = (stops) =>
      Math.abs(stops) < 0.05 ? "as set" : `${Math.abs(stops).toFixed(1)} ${stops > 0 ? "over" : "under"}`;
  keyfall.signed = (stops, digits = 1) => {
    const text = Math.abs(stops).toFixed(digits);
    return (Number(text) === 0 ? "±" : stops < 0 ? "−" : "+") + text;
  };
  /** "−0.7 stop", "−1.7 stops". */
  keyfall.signedStops = (stops) =>
      `${keyfall.signed(stops)} stop${Math.abs(Math.round(stops * 10)) > 10 ? "s" : ""}`;

  keyfall.encodeSrgb = (v) => (v <= 0.0031308 ? 12.92 * v : 1.055 * Math.pow(v, 1 / 2.4) - 0.055);

  const meanOf = (values) => values.reduce((sum, v) => sum + v, 0) / values.length;
  const without = (values, mean, i) => (mean * values.length - values[i]) / (values.length - 1);

  /** Half of the 95 % interval of f(means): the jackknife over replicates, as the program does it. */
  keyfall.halfInterval = (f, ...readings) => {
    const means = readings.map(meanOf), n = readings[0].length, all = f(...means);
    const pseudo =
        readings[0].map((_, i) => n * all - (n - 1) * f(...readings.map((r, k) => without(r, means[k], i))));
    const mean = meanOf(pseudo);
    const variance = pseudo.reduce((sum, v) => sum + (v - mean) ** 2, 0) / (n * (n - 1));
    return kStudent95 * Math.sqrt(variance);
  };

  /** Mean and every mean but one are above 0, so that logarithms make sense. */
  keyfall.safelyPositive = (reading) => {
    const mean = meanOf(reading);
    return mean > 0 && reading.every((_, i) => without(reading, mean, i) > 0);
  };
  keyfall.meanOf = meanOf;

  /** An element with attributes and children; text is never read as markup. */
  keyfall.element = (name, attributes = {}, ...children) => {
    const svg = [
      "svg", "g", "path", "line", "polygon", "polyline", "circle", "rect", "text", "title", "desc"
    ].includes(name);
    const e =
        svg ? document.createElementNS("http://www.w3.org/2000/svg", name) : document.createElement(name);
    for (const [key, value] of Object.entries(attributes))
      if (value !== null) e.setAttribute(key, value);
    e.append(...children.filter((child) => child !== null));
    return e;
  };
})();
