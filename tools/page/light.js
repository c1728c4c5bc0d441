// The light of a variant under other settings: amounts of its layers, readings of its probes. Exact, from the
// 16 bands of each probe and layer. Not here: pictures (picture.js), tables (tables.js).
"use strict";
(() => {
  const data = keyfall.data, c = data.conventions;
  const sum = (values) => values.reduce((a, b) => a + b, 0);
  const dot = (a, b) => a.reduce((total, x, i) => total + x * b[i], 0);

  /** Settings of a variant as it was compared; what the page's controls change. */
  keyfall.settingsOf = (variant) => ({
    lights: variant.layers.map((layer, l) => {
      const light = variant.lights[l];
      if (!light) return {on: layer.full > 0, stops: 0, kelvin: null};
      const stops = light.power_stops === null ? -Infinity : light.power_stops;
      return {
        on: light.on && stops > -Infinity,
        stops: stops > -Infinity ? stops : light.lowest_stops ?? -6,
        kelvin: null
      };
    }),
    aperture: variant.camera.aperture,
    shutter: variant.camera.shutter,
    iso: variant.camera.iso,
  });

  /** Bands of a layer's light (rows X, Y, Z), under another colour the bands of that. */
  const bandsOf = (layer, light) => {
    const other = light.kelvin === null ? null : c.colours.find((colour) => colour.kelvin === light.kelvin);
    return other ? other.xyz : layer.xyz;
  };

  /** lm s, or lx s of ambient: what the exposure takes of a layer. */
  keyfall.amountOf = (layer, light, shutter_s) =>
      light.on ? layer.full * Math.pow(2, light.stops) * (layer.flash ? 1 : shutter_s) : 0;

  /** Factor on a layer of the picture, which was taken at full power with the camera as compared; r, g, b. */
  keyfall.pictureGain = (variant, settings, l) => {
    const layer = variant.layers[l], light = settings.lights[l], camera = variant.camera;
    if (!light.on) return [0, 0, 0];
    let gain = Math.pow(2, light.stops) * exposureGain(variant, settings);
    if (!layer.flash) gain *= settings.shutter.exact / camera.shutter.exact;
    if (light.kelvin === null) return [gain, gain, gain];
    // Approximate: the light's colour is changed where it arrives, not band by band on its way.
    const rgb = (bands) => camera.srgb_from_xyz.map((row) => dot(row, bands.map(sum)));
    const before = rgb(layer.xyz), after = rgb(bandsOf(layer, light));
    return before.map((v, i) => (v > 0 ? gain * Math.max(0, after[i] / v) : 0));
  };

  /** Part of the frame that the second curtain covers when the flash fires: of its height, or width. */
  keyfall.cutShareOf = (variant, settings) => {
    const flash = variant.layers.some((layer, l) => layer.flash && settings.lights[l].on);
    return flash ? Math.min(1, Math.max(0, 1 - settings.shutter.exact / variant.camera.sync_s)) : 0;
  };

  /**
   * The curtain on a picture of this size, null where it covers nothing: {flash: which layers it covers,
   * atRight, flashed: the part that gets flash, 0 to 1, of each row, or column where it comes from the right}.
   */
  keyfall.curtainOf = (variant, settings, width, height) => {
    const share = keyfall.cutShareOf(variant, settings), atRight = variant.camera.curtain_at === "right";
    if (share === 0) return null;
    const lines = atRight ? width : height;
    const flashed =
        Float32Array.from({length: lines}, (_, k) => Math.min(1, Math.max(0, (1 - share) * lines - k)));
    return {flash: variant.layers.map((layer) => layer.flash), atRight, flashed};
  };

  /** ISO and aperture against those as compared. */
  const exposureGain = (variant, settings) => settings.iso.exact / variant.camera.iso.exact *
      (variant.camera.aperture.exact / settings.aperture.exact) ** 2;

  /** Luminous exposure (spot: cd s/m^2) of a probe in 16 replicates, and its XYZ. */
  const exposureOf = (variant, probe, settings) => {
    const replicates = new Array(16).fill(0), xyz = [0, 0, 0], continuous = {sum: 0};
    let exposure = 0;
    variant.layers.forEach((layer, l) => {
      const light = settings.lights[l], amount = keyfall.amountOf(layer, light, settings.shutter.exact);
      if (amount === 0) return;
      const bands = bandsOf(layer, light), own = bands.map((row) => amount * dot(row, probe.bands[l]));
      const before = dot(layer.xyz[1], probe.bands[l]);
      const recolour = before > 0 ? own[1] / (amount * before) : 1;
      exposure += own[1];
      if (!layer.flash) continuous.sum += own[1];
      own.forEach((v, i) => {
        xyz[i] += v;
      });
      probe.replicates[l].forEach((v, r) => {
        replicates[r] += amount * recolour * v;
      });
    });
    return {exposure, replicates, xyz, continuous: continuous.sum};
  };

  const meterC = (probe) => (probe.kind === "dome" ? c.C_dome : c.C);

  /** log2 of exposure over what the set aperture asks for; a spot's is from 18 % grey in the picture. */
  const stopsOver = (probe, exposure, settings) => {
    const N2 = settings.aperture.exact ** 2, S = settings.iso.exact;
    return probe.kind === "spot" ? Math.log2(Math.PI * exposure * S / (c.C * N2) / c.grey) :
                                   Math.log2(exposure * S / (meterC(probe) * N2));
  };

  /**
   * One probe as read: {name, kind, light: "read" | "none" | "missing", exposure, aperture, over, picture,
   * half, rgb}.
   */
  const readProbe = (variant, probe, settings) => {
    const found = exposureOf(variant, probe, settings), {exposure, replicates} = found;
    const r = {
      name: probe.name,
      kind: probe.kind,
      light: "read",
      exposure,
      continuous: found.continuous,
      replicates
    };
    if (!keyfall.safelyPositive(replicates)) {
      const lit = variant.layers.some((layer, l) => keyfall.amountOf(layer, settings.lights[l], 1) > 0);
      return {...r, light: lit ? "missing" : "none"};
    }
    const S = settings.iso.exact;
    r.aperture = Math.sqrt(exposure * S / (probe.kind === "spot" ? c.K : meterC(probe)));
    r.over = stopsOver(probe, exposure, settings);
    r.picture = r.over + variant.camera.close_up_stops + variant.camera.calibration_stops;
    r.half = keyfall.halfInterval(Math.log2, replicates);
    const gain = exposureGain(variant, settings);
    const linear = variant.camera.srgb_from_xyz.map((row) => gain * dot(row, found.xyz));
    r.rgb = linear.map((v) => Math.min(255, Math.max(0, Math.floor(255 * keyfall.encodeSrgb(v) + 0.5))));
    return r;
  };

  /** log2 between two readings of the same kind, the brighter one first. */
  const contrastOf = (a, b) => {
    const [lit, shadow] = a.exposure >= b.exposure ? [a, b] : [b, a];
    const ratio = lit.exposure / shadow.exposure;
    const half = keyfall.halfInterval((x, y) => Math.log2(x / y), lit.replicates, shadow.replicates);
    return {lit: lit.name, shadow: shadow.name, stops: Math.log2(ratio), half, kf_f: ratio, k_f: ratio - 1};
  };

  /** The pairs that the report has: lit against shadow side, the first incident probe against the others. */
  const contrastsOf = (probes) => {
    const flat = probes.filter((p) => p.kind !== "spot"), first = flat[0], pairs = [];
    const named = (name) => flat.find((p) => p.name === name);
    const lit = named("lit-side"), shadow = named("shadow-side");
    const add = (a, b) => {
      if (a.light === "read" && b.light === "read") pairs.push(contrastOf(a, b));
    };
    if (lit && shadow) add(lit, shadow);
    for (const p of flat)
      if (p !== first && p.kind === first.kind && !(first === lit && p === shadow) &&
          !(first === shadow && p === lit))
        add(first, p);
    return pairs;
  };

  /** All readings of a variant under these settings. */
  keyfall.read = (variant, settings) => {
    const probes = variant.probes.map((probe) => readProbe(variant, probe, settings));
    return {
      probes,
      contrasts: contrastsOf(probes),
      background: probes.find((p) => p.kind === "spot" && p.name === "background")
    };
  };

  /** What the settings cannot be: a flash frame faster than sync, a power that the lamp does not have. */
  keyfall.cautionsOf = (variant, settings) => {
    const cautions = [], {sync_s, curtain_at} = variant.camera;
    const share = keyfall.cutShareOf(variant, settings);
    const still = !variant.live && settings.shutter.exact !== variant.camera.shutter.exact;
    const dial = c.shutters.find((one) => Math.abs(one.exact / sync_s - 1) < 1e-9);
    if (share > 1e-9)
      cautions.push(
          `${settings.shutter.text} is faster than the flash sync of ${dial?.text ?? `${sync_s} s`}: ` +
          `with a focal-plane shutter ${Math.round(100 * share)} % of the frame, at the ${curtain_at}, ` +
          `gets no flash${still ? " (the picture, which stays as compared, does not show it)" : ""}; readings ` +
          "count it whole");
    variant.lights.forEach((light, l) => {
      const {on, stops} = settings.lights[l];
      if (on && stops > 1e-9)
        cautions.push(`${light.name}: ${stops.toFixed(1)} stops more than this lamp has`);
      if (on && light.lowest_stops !== null && stops < light.lowest_stops - 1e-9)
        cautions.push(
            `${light.name}: ${(light.lowest_stops - stops).toFixed(1)} stops under its lowest power`);
    });
    return cautions;
  };
})();
