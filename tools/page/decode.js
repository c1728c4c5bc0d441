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

  const kTile = 12288;  // floats worked on at once: a tile's sum stays in the processor's cache

  /** Adds `layer` times r, g, b from float `first` on to a tile's sum. */
  const add = (layer, first, count, [r, g, b], sum) => {
    for (let i = 0, at = first; i < count; i += 3, at += 3) {
      sum[i] += r * layer[at];
      sum[i + 1] += g * layer[at + 1];
      sum[i + 2] += b * layer[at + 2];
    }
  };

  /** Leaves of a tile's sum, which begins with pixel `first`, what the curtain lets through. */
  const cover = (sum, count, first, width, {atRight, flashed}) => {
    for (let i = 0, p = first; i < count; i += 3, ++p) {
      const x = p % width, part = flashed[atRight ? x : (p - x) / width];
      sum[i] *= part;
      sum[i + 1] *= part;
      sum[i + 2] *= part;
    }
  };

  /** Linear r, g, b of a tile into words of red, green, blue, opaque; limited to 0 ... 1. */
  const develop = (sum, count, words, at) => {
    for (let i = 0; i < count; i += 3) {
      const r = sum[i], g = sum[i + 1], b = sum[i + 2];
      words[at++] = srgbOfLinear[r >= 1 ? 65535 : (r * 65535 + 0.5) | 0] |
          srgbOfLinear[g >= 1 ? 65535 : (g * 65535 + 0.5) | 0] << 8 |
          srgbOfLinear[b >= 1 ? 65535 : (b * 65535 + 0.5) | 0] << 16 | 0xff000000;
    }
  };

  /** The light of a live variant: its layers under factors [r, g, b] each. */
  keyfall.Light = class {
    static async of(live) {
      const layers = [];
      for (const base64 of live.layers) layers.push(await unpack(base64, live.width, live.height));
      return new keyfall.Light(live.width, live.height, layers);
    }
    constructor(width, height, layers) {
      Object.assign(this, {width, height, layers, tile: new Float32Array(kTile)});
    }

    /**
     * Calls use(sum, count, first) tile by tile: `count` floats from float `first` of the picture; under a
     * curtain (light.js) the flash of each pixel as far as it gets any.
     */
    tiles(gains, curtain, use) {
      const on = this.layers.map((layer, l) => ({layer, gain: gains[l], late: curtain?.flash[l] ?? false}))
                     .filter(({gain}) => gain.some((v) => v > 0))
                     .sort((a, b) => b.late - a.late);  // what the curtain covers comes first
      const late = on.filter((one) => one.late).length;
      for (let first = 0, all = 3 * this.width * this.height; first < all; first += kTile) {
        const count = Math.min(kTile, all - first);
        this.tile.fill(0);
        on.forEach(({layer, gain}, k) => {
          add(layer, first, count, gain, this.tile);
          if (k + 1 === late) cover(this.tile, count, first / 3, this.width, curtain);
        });
        use(this.tile, count, first);
      }
    }
    /** Into the bytes of a canvas. */
    draw(gains, rgba, curtain = null) {
      const words = new Uint32Array(rgba.buffer);  // little-endian, as every machine that runs a browser
      this.tiles(gains, curtain, (sum, count, first) => develop(sum, count, words, first / 3));
    }
    /** Linear picture, three floats a pixel. */
    linear(gains, curtain = null) {
      const out = new Float32Array(3 * this.width * this.height);
      this.tiles(
          gains, curtain, (sum, count, first) => out.set(count < kTile ? sum.subarray(0, count) : sum, first));
      return out;
    }
  };
})();
