// How the tones of the two pictures lie, in stops from 18 % grey. Not here: the pictures (picture.js).
"use strict";
(() => {
  const kFrom = -7, kTo = 4, kPerStop = 4, kBins = (kTo - kFrom) * kPerStop;
  const kGrey = keyfall.data.conventions.grey;

  /**
   * Shares of the picture by luminance, a quarter of a stop a bin; what is darker or brighter is in the end
   * ones.
   */
  const countTones = (tones) => {
    const bins = new Array(kBins).fill(0);
    let clipped = 0;
    for (let p = 0; p < tones.pixels; ++p) {
      const Y = 0.2126 * tones.linear(p, 0) + 0.7152 * tones.linear(p, 1) + 0.0722 * tones.linear(p, 2);
      const bin = Y > 0 ? Math.floor((Math.log2(Y / kGrey) - kFrom) * kPerStop) : 0;
      ++bins[Math.min(kBins - 1, Math.max(0, bin))];
      if (tones.clips(p)) ++clipped;
    }
    return {share: bins.map((n) => n / tones.pixels), clipped: clipped / tones.pixels};
  };

  /** The tone that half of the picture is darker than, in stops from 18 % grey. */
  const middleOf = (share) => {
    let below = 0;
    for (let bin = 0; bin < kBins; ++bin) {
      if (below + share[bin] >= 0.5) return kFrom + (bin + (0.5 - below) / share[bin]) / kPerStop;
      below += share[bin];
    }
    return kTo;
  };

  const kWidth = 360, kHeight = 180, kFoot = 34, kHead = 18, kEdge = 8;
  const x = (stops) => kEdge + (stops - kFrom) / (kTo - kFrom) * (kWidth - 2 * kEdge);

  /**
   * The steps of one picture's bins. Square roots: a small bright area has to be seen beside a wide
   * backdrop.
   */
  const steps = (share, most) => {
    const y = (v) => kHeight - kFoot - Math.sqrt(v / most) * (kHeight - kFoot - kHead);
    const points = [`${x(kFrom)},${y(0)}`];
    share.forEach((v, bin) => {
      points.push(
          `${x(kFrom + bin / kPerStop).toFixed(1)},${y(v).toFixed(1)}`,
          `${x(kFrom + (bin + 1) / kPerStop).toFixed(1)},${y(v).toFixed(1)}`);
    });
    return [...points, `${x(kTo)},${y(0)}`].join(" ");
  };

  const scale = (svg) => {
    const e = keyfall.element, base = kHeight - kFoot;
    svg.append(e("line", {class: "axis", x1: x(kFrom), x2: x(kTo), y1: base, y2: base}));
    for (let stop = kFrom; stop <= kTo; ++stop) {
      svg.append(e(
          "line", {class: "axis", x1: x(stop), x2: x(stop), y1: base, y2: base + (stop % 2 === 0 ? 6 : 3)}));
      if (stop % 2 === 0)
        svg.append(
            e("text", {x: x(stop), y: base + 16, "text-anchor": "middle"},
              stop === 0 ? "grey" : keyfall.signed(stop, 0)));
    }
    const white = Math.log2(1 / kGrey);
    svg.append(
        e("line", {class: "clip", x1: x(white), x2: x(white), y1: kHead - 6, y2: base}),
        e("text", {x: x(white) + 4, y: kHead, class: "mark"}, "clips"),
        e("text", {x: x(kFrom), y: kHeight - 4}, "stops from 18 % grey"));
  };

  /** Draws both and says them in words. */
  keyfall.drawTones = () => {
    const sides = ["left", "right"].filter((side) => keyfall.shown[side].tones);
    const counts = sides.map((side) => countTones(keyfall.shown[side].tones));
    const most = Math.max(...counts.flatMap((count) => count.share), 1e-9), e = keyfall.element;
    const words = counts.map(
        (count, i) => `${sides[i]} (${keyfall.variantOf(sides[i]).name}): middle tone ` +
            `${keyfall.signed(middleOf(count.share))} stop, ${(100 * count.clipped).toFixed(1)} % clipped`);
    const svg =
        e("svg",
          {viewBox: `0 0 ${kWidth} ${kHeight}`, role: "img", "aria-label": "Tones. " + words.join("; ")});
    scale(svg);
    counts.forEach(
        (count, i) => svg.append(e("polygon", {class: sides[i], points: steps(count.share, most)})));
    document.getElementById("tones-plot").replaceChildren(svg);
    document.getElementById("tones-note")
        .replaceChildren(
            e("span", {class: "key left"}), `${words[0] ?? ""}`, e("br"), e("span", {class: "key right"}),
            `${words[1] ?? ""}`);
    document.getElementById("clipped").textContent =
        counts.map((count, i) => `${sides[i]} ${(100 * count.clipped).toFixed(1)} %`).join(", ") +
        " of the picture";
  };
})();
