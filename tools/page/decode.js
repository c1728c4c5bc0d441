// Unpacks the layers of live variants and adds them up again under other settings. Not here: settings
// (light.js), where the picture goes (picture.js).
"use strict";
(() => {
/** Linear values of the codes 0 ... 65535: 0, or 2^((code - 1)/64 - 14). */
const linearOfCode = (() => {
  const table = new Float32Array(65536);
  for (let code = 1; code < 65536; ++code) table[code] = Math.pow(2, (code - 1) / 64 - 14);
  return table;
})();

/** sRGB codes of linear values k/65535. */
const srgbOfLinear = (() => {
  const table = new Uint8Array(65536);
  for (let k = 0; k < 65536; ++k) table[k] = Math.floor(255 * keyfall.encodeSrgb(k / 65535) + 0.5);
  return table;
})();

const bytesOf = (base64) => {
  const text = atob(base64), bytes = new Uint8Array(text.length);
  for (let i = 0; i < text.length; ++i) bytes[i] = text.charCodeAt(i);
  return bytes;
};

const unzipped = async (bytes) => {
  const stream = new Blob([bytes]).stream().pipeThrough(new DecompressionStream("deflate"));
  return new Uint8Array(await new Response(stream).arrayBuffer());
};

/** One plane of codes: upper bytes, lower bytes, each code less its left neighbour. */
const plane = (bytes, index, width, pixels) => {
  const codes = new Uint16Array(pixels), high = 2 * index * pixels, low = high + pixels;
  for (let p = 0, left = 0; p < pixels; ++p) {
    if (p % width === 0) left = 0;
    left = (left + (bytes[high + p] << 8 | bytes[low + p])) & 0xffff;
    codes[p] = left;
  }
  return codes;
};

/** A layer as linear r, g, b, three floats a pixel. */
const unpack = async (base64, width, height) => {
  const pixels = width * height, bytes = await unzipped(bytesOf(base64));
  const [green, red, blue] = [0, 1, 2].map((index) => plane(bytes, index, width, pixels));
  const linear = new Float32Array(3 * pixels);
  for (let p = 0; p < pixels; ++p) {
    linear[3 * p] = linearOfCode[(red[p] + green[p]) & 0xffff];
    linear[3 * p + 1] = linearOfCode[green[p]];
    linear[3 * p + 2] = linearOfCode[(blue[p] + green[p]) & 0xffff];
  }
  return linear;
};

/** The light of a live variant: sum() adds its layers up. */
keyfall.Light = class {
  static async of(live) {
    const layers = [];
    for (const base64 of live.layers) layers.push(await unpack(base64, live.width, live.height));
    return new keyfall.Light(live.width, live.height, layers);
  }
  constructor(width, height, layers) {
    Object.assign(this, {width, height, layers});
    this.linear = new Float32Array(3 * width * height);
  }
  /** Linear picture under factors [r, g, b] a layer. */
  sum(gains) {
    const out = this.linear, n = out.length;
    out.fill(0);
    this.layers.forEach((layer, l) => {
      const [r, g, b] = gains[l];
      if (r === 0 && g === 0 && b === 0) return;
      for (let i = 0; i < n; i += 3) {
        out[i] += r * layer[i];
        out[i + 1] += g * layer[i + 1];
        out[i + 2] += b * layer[i + 2];
      }
    });
    return out;
  }
};

/** Linear r, g, b into the four bytes of a canvas, limited to 0 ... 1. */
keyfall.develop = (linear, rgba) => {
  for (let i = 0, o = 0; i < linear.length; i += 3, o += 4) {
    const r = linear[i], g = linear[i + 1], b = linear[i + 2];
    rgba[o] = srgbOfLinear[r >= 1 ? 65535 : (r * 65535 + 0.5) | 0];
    rgba[o + 1] = srgbOfLinear[g >= 1 ? 65535 : (g * 65535 + 0.5) | 0];
    rgba[o + 2] = srgbOfLinear[b >= 1 ? 65535 : (b * 65535 + 0.5) | 0];
    rgba[o + 3] = 255;
  }
};
})();
