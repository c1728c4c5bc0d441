// The two pictures: live ones from their layers, others as they were compared; the wipe between them. Not
// here: settings (light.js), unpacking (decode.js).
"use strict";
(() => {
  const data = keyfall.data, byId = (id) => document.getElementById(id);
  const lights = new Map(), images = new Map();

  /** Unpacked once a variant; a promise. */
  const lightOf = (index) => {
    if (!lights.has(index)) lights.set(index, keyfall.Light.of(data.variants[index].live));
    return lights.get(index);
  };
  const imageOf = (index) => {
    if (!images.has(index)) {
      const image = new Image();
      image.src = data.variants[index].picture.uri;
      images.set(index, image.decode().then(() => image));
    }
    return images.get(index);
  };

  /** Every other run of four along the diagonal in the mark's colour, wherever a channel clips. */
  const hatch = (clips, width, rgba) => {
    for (let p = 0, pixels = rgba.length / 4; p < pixels; ++p) {
      const x = p % width, y = (p - x) / width;
      if (((x + y) & 7) < 4 && clips(p)) rgba.set([214, 30, 120, 255], 4 * p);
    }
  };

  const linearOf8 = Float32Array.from({length: 256}, (_, k) => {
    const v = k / 255;
    return v <= 0.04045 ? v / 12.92 : Math.pow((v + 0.055) / 1.055, 2.4);
  });

  /** A picture on a canvas: {linear(p, channel), width, height} stays for the tones. */
  class Shown {
    constructor(canvas) {
      this.canvas = canvas;
      this.turn = 0;
      this.tones = null;
    }

    async show(index, settings, marked) {
      const turn = ++this.turn, variant = data.variants[index];
      const source = await (variant.live ? lightOf(index) : imageOf(index));
      if (turn !== this.turn) return false;  // something else has been asked for meanwhile
      const start = performance.now();
      const {width, height} = variant.live ?? variant.picture;
      if (this.canvas.width !== width || this.canvas.height !== height)
        Object.assign(this.canvas, {width, height});
      const context = this.canvas.getContext("2d", {willReadFrequently: true});
      if (variant.live)
        this.live(context, source, variant, settings, marked);
      else
        this.still(context, source, width, height, marked);
      this.canvas.dataset.milliseconds = (performance.now() - start).toFixed(2);
      this.canvas.dataset.variant = variant.name;
      this.canvas.setAttribute("aria-label", keyfall.pictureLabel(variant, settings));
      return true;
    }

    live(context, light, variant, settings, marked) {
      if (this.buffer?.width !== light.width || this.buffer?.height !== light.height)
        this.buffer = context.createImageData(light.width, light.height);
      const gains = variant.layers.map((_, l) => keyfall.pictureGain(variant, settings, l));
      const curtain = keyfall.curtainOf(variant, settings, light.width, light.height);
      light.draw(gains, this.buffer.data, curtain);
      // While a slider moves nobody counts tones: linear values are made when they are asked for.
      let made = null;
      const linear = () => (made ??= light.linear(gains, curtain));
      const clips = (p) => Math.max(linear()[3 * p], linear()[3 * p + 1], linear()[3 * p + 2]) >= 1;
      if (marked) hatch(clips, light.width, this.buffer.data);
      context.putImageData(this.buffer, 0, 0);
      this.tones = {
        pixels: light.width * light.height,
        linear: (p, channel) => linear()[3 * p + channel],
        clips
      };
    }

    still(context, image, width, height, marked) {
      context.drawImage(image, 0, 0);
      const buffer = context.getImageData(0, 0, width, height), codes = Uint8ClampedArray.from(buffer.data);
      const clips = (p) => Math.max(codes[4 * p], codes[4 * p + 1], codes[4 * p + 2]) === 255;
      if (marked) {
        hatch(clips, width, buffer.data);
        context.putImageData(buffer, 0, 0);
      }
      this.tones = {pixels: width * height, linear: (p, channel) => linearOf8[codes[4 * p + channel]], clips};
    }
  }

  keyfall.shown = {left: new Shown(byId("left-picture")), right: new Shown(byId("right-picture"))};

  /** A live variant as it is set now, for paper; null for others. */
  keyfall.stillOf = async (index, settings) => {
    if (!data.variants[index].live) return null;
    const shown = new Shown(document.createElement("canvas"));
    await shown.show(index, settings, false);
    return shown.canvas.toDataURL("image/jpeg", 0.92);
  };

  /** Divider at `percent` from the left: what lies left of it is the left variant. */
  keyfall.setWipe = (percent) => {
    const pair = byId("pair"), slider = byId("wipe"),
          names = ["left", "right"].map((side) => keyfall.variantOf(side).name);
    pair.style.setProperty("--wipe", `${percent}%`);
    if (Number(slider.value) !== Math.round(percent)) slider.value = Math.round(percent);
    slider.setAttribute(
        "aria-valuetext", `${Math.round(percent)} % ${names[0]}, ${100 - Math.round(percent)} % ${names[1]}`);
  };

  const startWipe = () => {
    const pair = byId("pair");
    const follow = (event) => {
      const box = pair.getBoundingClientRect();
      keyfall.setWipe(Math.min(100, Math.max(0, 100 * (event.clientX - box.left) / box.width)));
    };
    pair.addEventListener("pointerdown", (event) => {
      if (!pair.classList.contains("wipe")) return;
      pair.setPointerCapture(event.pointerId);
      follow(event);
      event.preventDefault();
    });
    pair.addEventListener("pointermove", (event) => {
      if (pair.hasPointerCapture(event.pointerId)) follow(event);
    });
    byId("wipe").addEventListener("input", (event) => keyfall.setWipe(Number(event.target.value)));
  };
  startWipe();
})();
