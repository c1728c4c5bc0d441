// The comparison page as a person uses it, in a browser without window: made by `keyfall compare`, opened from the
// disk, by mouse and by keys, on paper; its figures against `keyfall meter` for the same settings. Not here: the
// program's figures, how a page is cut down to its size (page_size_test.cpp).
//
//   node page_test.mjs KEYFALL FOLDER        FOLDER holds node_modules and takes what is made
import assert from "node:assert/strict";
import {execFileSync} from "node:child_process";
import {readFileSync, writeFileSync} from "node:fs";
import {createRequire} from "node:module";
import {dirname, join} from "node:path";
import {fileURLToPath} from "node:url";

const [program, folder] = process.argv.slice(2);
const {chromium} = createRequire(join(folder, "page_test.mjs"))("playwright-core");
const here = dirname(fileURLToPath(import.meta.url)), scene = join(here, "page_set.toml");
const kSamples = "16";
// What is wanted of the page. Same seed, so nearly the same paths: the program stops a reading by its noise, which
// depends on the powers, and so may take twice as many for the one.
const kStops = 0.02;

const ask = (...words) => execFileSync(program, [...words, "--quiet"], {encoding: "utf8"});
const setting = (sets) => sets.flatMap((set) => ["--set", set]);
/** The page and the report of one comparison; a JSON object for each variant. */
const makePage = (name, file, {variants, sets = [], samples = kSamples, quality = "preview"}) => {
  const page = join(folder, `${name}.html`), json = join(folder, `${name}.json`);
  ask(
      "compare", file, "--page", page, "--json", json, "--out", join(folder, `${name}.png`), "--samples", samples,
      "--variants", variants, "--quality", quality, ...setting(sets));
  return {page, variants: JSON.parse(readFileSync(json, "utf8")).compare.variants};
};
const kWidth = "picture.width=96";
const made = makePage("page", scene, {variants: "as-written,no-card,low-key", sets: [kWidth]});
// What the variants set, as in page_set.toml.
const kNoCard = ["board.fill.on=false"], kLowKey = ["light.key.around.elevation=15", "light.key.around.distance=60"];
/** The power of key after equal exposure, moved by `stops`. */
const key = (variant, stops = 0) =>
    `light.key.power=${made.variants[variant].report.lights[0].power_stops + stops} stops`;
const meter = (...sets) => JSON.parse(ask("meter", scene, "--json", "-", ...setting(sets)));

const browser = await chromium.launch(
    {executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium", args: ["--no-sandbox", "--disable-gpu"]});
const trouble = [];
const open = async (file) => {
  const page = await browser.newPage({viewport: {width: 1280, height: 900}, reducedMotion: "reduce"});
  page.on("console", (message) => {
    if (["error", "warning"].includes(message.type())) trouble.push(message.text());
  });
  page.on("pageerror", (error) => trouble.push(String(error)));
  page.on("request", (request) => {
    if (!/^(file|data):/.test(request.url())) trouble.push(`request: ${request.url()}`);
  });
  await page.goto(`file://${file}`);
  await settled(page, 0);
  return page;
};
/** Pictures, readings and tones have followed more than `before` times. */
const settled = async (page, before) =>
    page.waitForFunction((n) => Number(document.body.dataset.settled ?? 0) > n, before, {timeout: 30000});
const afterwards = async (page, act) => {
  const before = await page.evaluate(() => Number(document.body.dataset.settled));
  await act();
  await settled(page, before);
};
/** Moves a range as a hand would: its value, then the event. */
const slide = (page, selector, value) => page.locator(selector).evaluate((input, v) => {
  input.value = v;
  input.dispatchEvent(new Event("input", {bubbles: true}));
}, String(value));
const choose = async (page, id, text) => page.locator(`#camera-${id}`).selectOption({label: text});

/** Probes and contrasts in one column of the table. */
const readingsIn = (page, column) => page.evaluate((k) => {
  const cells = [...document.querySelectorAll("#readings-table tbody tr")].map((tr) => tr.children[k + 1]);
  const number = (text) => (text === undefined ? null : Number(text));
  return {
    probes: cells.filter((td) => td.dataset.probe).map((td) => ({
                                                         name: td.dataset.probe,
                                                         over: number(td.dataset.over),
                                                         picture: number(td.dataset.picture),
                                                         exposure: number(td.dataset.exposure),
                                                         half: number(td.dataset.half),
                                                         text: td.textContent
                                                       })),
    contrasts: cells.filter((td) => td.dataset.contrast)
                   .map((td) => ({pair: td.dataset.contrast, stops: Number(td.dataset.stops)})),
  };
}, column);

const near = (a, b, tolerance, what) =>
    assert.ok(Math.abs(a - b) <= tolerance, `${what}: ${a} on the page, ${b} by the program`);
let largest = 0, written = 0;
const compare = (shown, report, what) => {
  assert.deepEqual(shown.probes.map((p) => p.name), report.probes.map((p) => p.name), what);
  report.probes.forEach((p, i) => {
    const q = shown.probes[i], name = `${what}, ${p.name}`;
    largest = Math.max(largest, Math.abs(q.over - p.stops_over));
    near(q.over, p.stops_over, kStops, name);
    near(q.picture, p.picture_stops_over, kStops, `${name}, picture`);
    // A variant has at least the points of the first: it may be surer than metered alone, never less sure.
    const half = (p.stops_over_interval95[1] - p.stops_over_interval95[0]) / 2;
    assert.ok(q.half > 0 && q.half <= half + 0.01, `${name}, interval: ${q.half} on the page, ${half} by the program`);
    // What is written is a tenth of a stop: the same one unless a difference within kStops lies across its limit.
    const alike = Math.abs(q.over - p.stops_over) < 1e-3;
    if (p.kind !== "spot" && alike) assert.ok(q.text.startsWith(p.reading), `${name}: ${q.text} for ${p.reading}`);
    written += p.kind !== "spot" && alike ? 1 : 0;
  });
  report.ratios.forEach((r, i) => {
    assert.equal(shown.contrasts[i].pair, `${r.lit}:${r.shadow}`, what);
    near(shown.contrasts[i].stops, r.stops, kStops, `${what}, contrast`);
  });
  const grey = shown.probes.find((p) => p.name === "background").text.match(/sRGB (\d+) (\d+) (\d+)/).slice(1);
  // 0.02 stop are 1.4 % of light: 255 * 1.055 / 2.4 * 0.014 = 1.6 codes at white, less below.
  grey.forEach((code, i) => near(Number(code), report.background.srgb[i], 2, `${what}, background`));
};

/** Largest difference in codes between the left canvas and a PNG of the program. */
const pictureDifference = async (page, png) => page.evaluate(async (uri) => {
  const image = new Image();
  image.src = uri;
  await image.decode();
  const shown = document.getElementById("left-picture"),
        canvas = Object.assign(document.createElement("canvas"), {width: image.width, height: image.height});
  const data = (c) => c.getContext("2d").getImageData(0, 0, image.width, image.height).data;
  canvas.getContext("2d").drawImage(image, 0, 0);
  const [a, b] = [data(shown), data(canvas)];
  return a.reduce((most, v, i) => Math.max(most, Math.abs(v - b[i])), 0);
}, "data:image/png;base64," + readFileSync(png).toString("base64"));

/** Holds the left canvas against what `render` writes with these keys. */
const samePicture = async (page, file, sets) => {
  const png = join(folder, "relit.png");
  ask(
      "render", file, "--samples", kSamples, "--out", png, "--json", join(folder, "relit.json"),
      ...setting(sets));
  const codes = await pictureDifference(page, png);
  // A code of a layer is right to 1/128 stop, 0.54 %: at white 255 * 1.055 / 2.4 * 0.0054 = 0.6, and each
  // of the two roundings to whole codes adds a half.
  assert.ok(codes <= 2, `${codes} codes apart`);
};

/** How many pages it prints to, each an A4. */
const pagesOf = async (page) => {
  const text = (await page.pdf({preferCSSPageSize: true, printBackground: true})).toString("latin1");
  const [, width, height] = text.match(/\/MediaBox\s*\[\s*0 0 ([\d.]+) ([\d.]+)/).map(Number);
  near(width, 595.3, 1, "A4 width in points");    // 210 mm
  near(height, 841.9, 1, "A4 height in points");  // 297 mm
  return text.match(/\/Type\s*\/Page\b(?!s)/g)?.length;
};

const tests = {
  async "readings as compared are the program's"(page) {
    compare(await readingsIn(page, 0), meter(key(0)), "as written");
    compare(await readingsIn(page, 1), meter(...kNoCard, key(1)), "no card");
    near((await readingsIn(page, 0)).probes[0].picture, 0, 1e-6, "equal exposure at label");
  },

  async "powers, switches, shutter, ISO, f-number: readings follow the program's"(page) {
    await page.locator("input[name=side][value=both]").check();
    await slide(page, "#lamp-0", -7);   // key: 0.7 stop less
    await slide(page, "#lamp-1", 6);    // desk: 1/2 and 0.6 stop
    await slide(page, "#lamp-2", -10);  // room light: a stop less
    await choose(page, "shutter", "1/13 s");
    await choose(page, "iso", "ISO 640");
    await afterwards(page, () => choose(page, "aperture", "f/16"));
    const camera = ["camera.shutter=1/13", "camera.iso=640", "camera.aperture=16"];
    const sets = [...camera, "light.desk.power=-0.4 stops", "room.illuminance=200"];
    compare(await readingsIn(page, 0), meter(...sets, key(0, -0.7)), "all moved");
    compare(await readingsIn(page, 1), meter(...sets, ...kNoCard, key(1, -0.7)), "all moved, no card");
    await afterwards(page, () => page.locator("#lamp-1-on").uncheck());
    await afterwards(page, () => page.locator("#lamp-2-on").uncheck());
    compare(
        await readingsIn(page, 0), meter(...camera, "light.desk.on=false", "room.illuminance=0", key(0, -0.7)),
        "the flash alone");
    await afterwards(page, () => page.locator("#lamp-0-on").uncheck());
    assert.ok((await readingsIn(page, 0)).probes.every((p) => p.text === "no light is on"), "all lights off");
    await page.locator("#as-compared").click();
  },

  async "one side alone moves, and a colour in readings is exact"(page) {
    await page.locator("input[name=side][value=right]").check();
    const before = await readingsIn(page, 0);
    await afterwards(page, () => page.locator("#lamp-1-colour").selectOption({label: "5600 K ≈"}));
    await afterwards(page, () => slide(page, "#lamp-0", -20));
    assert.deepEqual(await readingsIn(page, 0), before, "left stays");
    compare(
        await readingsIn(page, 1), meter(...kNoCard, "light.desk.colour_temperature=5600", key(1, -2)), "right");
    await afterwards(page, () => page.locator("#as-compared").click());
  },

  async "a shutter faster than sync, and what it cuts off, is said beside the readings"(page) {
    await afterwards(page, () => choose(page, "shutter", "1/400 s"));
    // A focal-plane shutter: 1 - t/t_sync = 1 - 2^-(26/3) / 2^-(23/3) = 1/2 (1/400 and 1/200 are these steps).
    const note = await page.locator("#readings-note").textContent();
    assert.match(
        note,
        /as written, no-card: 1\/400 s is faster than the flash sync of 1\/200 s: .* 50 % of the frame, at the bottom/);
    await afterwards(page, () => choose(page, "shutter", "1/200 s"));
    assert.doesNotMatch(await page.locator("#readings-note").textContent(), /faster/);
    await afterwards(page, () => page.locator("#as-compared").click());
  },

  async "a contrast names the brighter probe first, and where it is turned round the cell says so"(page) {
    const contrastRows = () => page.evaluate(
        () => [...document.querySelectorAll("#readings-table tbody tr")]
                  .map((tr) => [...tr.children].map((cell) => cell.textContent))
                  .filter(([head]) => head.endsWith("contrast")));
    const heads = (ratios) => ratios.map(({lit, shadow}) => `${lit} : ${shadow} contrast`);
    assert.deepEqual((await contrastRows()).map(([head]) => head), heads(made.variants[0].report.ratios));
    await page.locator("input[name=side][value=left]").check();
    await choose(page, "shutter", "1/4 s");
    await afterwards(page, () => slide(page, "#lamp-0", -40));
    const left = meter(key(0, -4), "camera.shutter=1/4").ratios, right = meter(...kNoCard, key(1)).ratios,
          rows = await contrastRows();
    assert.deepEqual(rows.map(([head]) => head), heads(left));
    assert.equal(left[1].lit, "label", "the desk lamp outdoes the key by now");
    assert.equal(right[1].lit, "lit-side");
    const stops = (text) => Number(text.match(/^(−?\d+\.\d) stops/)[1].replace("−", "-"));
    near(stops(rows[1][1]), left[1].stops, 0.05 + kStops, "turned in its own column");
    assert.match(rows[1][1], /\(K\+F\):F \d/);
    near(stops(rows[1][2]), -right[1].stops, 0.05 + kStops, "turned against the first column");
    assert.match(rows[1][2], /lit-side is the brighter/);
    assert.doesNotMatch(rows[1][2], /K\+F/);
  },

  async "the picture under other settings is the one that the program renders"(page) {
    await page.locator("input[name=side][value=both]").check();
    await slide(page, "#lamp-0", -13);
    await afterwards(page, () => choose(page, "shutter", "1/15 s"));
    // Not the f-number: in the program it changes the blur, too.
    await samePicture(page, scene, [kWidth, key(0, -1.3), "camera.shutter=1/15"]);
    await afterwards(page, () => page.locator("#as-compared").click());
  },

  async "the curtain lies on the picture where the program has it"(page) {
    await afterwards(page, () => choose(page, "shutter", "1/320 s"));
    await samePicture(page, scene, [kWidth, key(0), "camera.shutter=1/320"]);
    await afterwards(page, () => page.locator("#as-compared").click());
  },

  async "of an upright sensor it comes from the right"() {
    const sets = ["picture.width=64", "camera.sensor=[24, 36]"];
    const upright = makePage("upright", scene, {variants: "as-written", sets});
    const page = await open(upright.page);
    await afterwards(page, () => choose(page, "shutter", "1/320 s"));
    await samePicture(page, scene, [...sets, "camera.shutter=1/320"]);
    assert.match(await page.locator("#readings-note").textContent(), /at the right/);
    assert.match(await page.locator("#curtain-note").textContent(), /^left \(as written\): 37 % at the right/);
    await page.close();
  },

  async "by keys alone: every control is reached, and arrows move wipe and lamp"(page) {
    await page.evaluate(() => {
      document.activeElement.blur();
      scrollTo(0, 0);
    });
    const wanted = [
      "left", "right", "wipe", "clipping", "lamp-0-on", "lamp-0", "lamp-0-colour", "lamp-1", "lamp-2",
      "camera-aperture", "camera-shutter", "camera-iso", "as-compared", "plan-of"
    ];
    const met = new Set(), before = await readingsIn(page, 0);
    for (let steps = 0; steps < 60 && !wanted.every((id) => met.has(id)); ++steps) {
      await page.keyboard.press("Tab");
      const {id, ring} = await page.evaluate(
          () =>
              ({id: document.activeElement.id, ring: getComputedStyle(document.activeElement).outlineStyle}));
      if (id && !met.has(id)) assert.notEqual(ring, "none", `focus is not seen on ${id}`);
      met.add(id);
      if (id === "wipe")
        for (let k = 0; k < 5; ++k) await page.keyboard.press("ArrowRight");
      if (id === "lamp-0") await afterwards(page, () => page.keyboard.press("ArrowLeft"));
    }
    assert.deepEqual(wanted.filter((id) => !met.has(id)), [], "never reached");
    assert.equal(await page.locator("#wipe").inputValue(), "55");
    assert.match(await page.locator("#wipe").getAttribute("aria-valuetext"), /55 % as written/);
    assert.match(await page.locator("#lamp-0").getAttribute("aria-valuetext"), /^1\/\d+(\+0\.\d+)? \(−\d\.\d stop/);
    const after = await readingsIn(page, 0);
    assert.ok(after.probes[0].over < before.probes[0].over, "a tenth less light");
    assert.match(await page.locator("#said").textContent(), /as written: label f\//);
    await afterwards(page, () => page.locator("#as-compared").click());
  },

  async "the wipe is dragged, side by side has none"(page) {
    const box = await page.locator("#pair").boundingBox();
    await page.mouse.move(box.x + 0.5 * box.width, box.y + 100);
    await page.mouse.down();
    await page.mouse.move(box.x + 0.2 * box.width, box.y + 120, {steps: 4});
    await page.mouse.up();
    near(Number(await page.locator("#wipe").inputValue()), 20, 1, "wipe");
    await page.locator("input[name=view][value=beside]").check();
    assert.equal(await page.locator("#wipe-row").isVisible(), false);
    await page.locator("input[name=view][value=wipe]").check();
  },

  async "every control has a name, every id is one of a kind, texts are texts"(page) {
    const nameless = await page.evaluate(
        () => [...document.querySelectorAll("input, select, button, canvas, svg")]
                  .filter((e) => !(e.getAttribute("aria-label") || e.labels?.length || e.textContent.trim()))
                  .map((e) => e.outerHTML.slice(0, 80)));
    assert.deepEqual(nameless, []);
    const ids = await page.evaluate(() => [...document.querySelectorAll("[id]")].map((e) => e.id));
    assert.equal(new Set(ids).size, ids.length);
    const title = `A ball & "two lamps" </script> {{style}}`;
    assert.equal(await page.locator("h1").textContent(), title);
    assert.equal(await page.title(), title);
    assert.match(await page.locator("#planning").textContent(), /planning picture/);
    assert.equal(
        await page.evaluate(() => document.documentElement.scrollWidth <= innerWidth), true,
        "wider than the window");
  },

  async "a variant without layers keeps its picture, and its readings follow"(page) {
    await page.locator("#right").selectOption({label: "low-key"});
    await afterwards(page, () => slide(page, "#lamp-0", -5));
    compare(
        await readingsIn(page, 1),
        meter(...kLowKey, key(2, -0.5)), "low-key");
    assert.match(await page.locator("#relight-note").textContent(), /picture of low-key stays as compared/);
    await page.locator("#right").selectOption({label: "no-card — live"});
    await afterwards(page, () => page.locator("#as-compared").click());
  },

  async "on A4 three variants are one page; four are one page and their tables a second"(page) {
    await page.evaluate(() => {
      const large =
          Object.assign(document.createElement("canvas"), {width: 960, height: 640}).toDataURL("image/jpeg");
      for (const variant of keyfall.data.variants) variant.picture = {width: 960, height: 640, uri: large};
    });
    assert.equal(await pagesOf(page), 1);
    await page.evaluate(() => {
      keyfall.data.variants.push({...structuredClone(keyfall.data.variants[2]), name: "a fourth one"});
      keyfall.settings.push(structuredClone(keyfall.settings[2]));
    });
    assert.equal(await pagesOf(page), 2);
    assert.equal(await page.locator("#lights").evaluate((lights) => lights.closest(".tables-apart") !== null), true);
    await page.evaluate(() => {
      keyfall.data.variants.pop();
      keyfall.settings.pop();
    });
  },

  async "960 x 640 under four lamps is lit again within 33 ms"(page) {
    const frames = 40;
    await page.evaluate(() => {
      const width = 960, height = 640,
            canvas = Object.assign(document.createElement("canvas"), {width, height});
      const context = canvas.getContext("2d"), buffer = context.createImageData(width, height);
      const layers = [1, 2, 3, 4].map(
          (k) => Float32Array.from({length: 3 * width * height}, (_, i) => ((i * 7919 * k) % 1000) / 4000));
      const light = new keyfall.Light(width, height, layers);
      globalThis.lightAgain = (frame) => {
        light.draw(layers.map((_, l) => [1 + frame / 40, 1, 1 / (l + 1)]), buffer.data);
        context.putImageData(buffer, 0, 0);
      };
    });
    // Other programs take their share of the machine: the limit is held against the page's own processor
    // time.
    const session = await page.context().newCDPSession(page);
    await session.send("Performance.enable", {timeDomain: "threadTicks"});
    const spent_s = async () =>
        (await session.send("Performance.getMetrics")).metrics.find((m) => m.name === "TaskDuration").value;
    const before_s = await spent_s();
    const times = await page.evaluate(
        (n) => Array
                   .from(
                       {length: n},
                       (_, frame) => {
                         const start = performance.now();
                         globalThis.lightAgain(frame);
                         return performance.now() - start;
                       })
                   .sort((a, b) => a - b),
        frames);
    const own = 1000 * (await spent_s() - before_s) / frames;
    console.log(
        `     a frame: ${own.toFixed(1)} ms of processor time; by the clock ${times[0].toFixed(1)} to ${
            times[frames - 1].toFixed(1)} ms, median ${times[frames / 2].toFixed(1)} ms`);
    assert.ok(own > 0.1 && own <= 33, `${own} ms`);
  },
};

/** In the page: how many names its plan has, and which of them overlap or are cut off, by the browser's boxes. */
const labelsOfPlan = () => {
  const overlaps = [];
  let names = 0;
  for (const svg of document.querySelectorAll("#plan-views svg")) {
    const area = svg.viewBox.baseVal, boxes = [...svg.querySelectorAll("text")].map((text) => ({
                                        text: text.textContent,
                                        box: text.getBBox()
                                      }));
    names += svg.querySelectorAll(".labels text").length;
    boxes.forEach(({text, box: a}, i) => {
      if (a.x < 0 || a.y < 0 || a.x + a.width > area.width || a.y + a.height > area.height)
        overlaps.push(`${text} is cut off`);
      for (const {text: other, box: b} of boxes.slice(i + 1))
        if (a.x < b.x + b.width && b.x < a.x + a.width && a.y < b.y + b.height && b.y < a.y + a.height)
          overlaps.push(`${text} on ${other}`);
    });
  }
  return {names, overlaps};
};

const otherTests = {
  async "what was cut down to keep the page small is said"() {
    const text = readFileSync(made.page, "utf8"), file = join(folder, "cut.html");
    const told = {
      '"layers":1,"none":false,"pictures":0': /^To keep the page within 25 MB, live layers are at 1\/2 of/,
      '"layers":1,"none":true,"pictures":2': /^The page holds no live layers: .* Pictures are at 1\/4 of/,
    };
    for (const [cut, words] of Object.entries(told)) {
      const other = text.replace('"layers":0,"none":false,"pictures":0', cut);
      assert.notEqual(other, text, "the page tells of its cuts elsewhere");
      writeFileSync(file, other);
      const page = await open(file);
      assert.match(await page.locator("#picture-note").textContent(), words);
      await page.close();
    }
  },
  async "what was not brought to equal exposure, and a power beyond the lamp, are said on the page"() {
    const small = {sets: ["picture.width=16", "light.key.lumen_seconds=60"], samples: "4", quality: "draft"};
    const still = await open(makePage("still", scene, {...small, variants: "as-written,no-card"}).page);
    assert.equal(await still.locator("#lede").textContent(), "2 variants of one set, exposed as set.");
    const cautions = async (page) => page.locator("#cautions").textContent();
    assert.match(await cautions(still), /^all: these variants change no light, so no lamp/);
    assert.doesNotMatch(await still.locator("main").textContent(), /equal as compared|no change needed/);
    await still.close();
    const weak = await open(makePage("weak", scene, {...small, variants: "as-written,low-key"}).page);
    assert.match(await weak.locator("#lede").textContent(), /brought to equal exposure at label by power\.$/);
    assert.match(await cautions(weak), /low-key: key would need \d+\.\d stops more than/);
    assert.match(await weak.locator("#readings-table").textContent(), /equal as compared/);
    await weak.close();
  },
  async "in the plans of the demo and of new products no name lies on another"() {
    const scenes = join(here, "../../assets/scenes"), shown = {
      caddy_hard_or_soft: "as-written,scrim",
      new_product_bunny: "as-written",
      new_product_teapot: "as-written",
    };
    for (const [name, variants] of Object.entries(shown)) {
      const small = {variants, sets: ["picture.width=16"], samples: "4", quality: "draft"};
      const {page: file} = makePage(name, join(scenes, `${name}.toml`), small);
      const page = await open(file);
      for (const variant of variants.split(",")) {
        if (variant !== "as-written") await page.locator("#plan-of").selectOption({label: variant});
        const {names, overlaps} = await page.evaluate(labelsOfPlan);
        assert.deepEqual(overlaps, [], `${name}, ${variant}`);
        assert.ok(names >= 8, `${names} names in two views`);  // product, key, card and lens at least
      }
      await page.close();
    }
  },
};

let failed = 0;
const run = async (name, test) => {
  try {
    await test();
    console.log(`ok   ${name}`);
  } catch (error) {
    ++failed;
    console.log(`FAIL ${name}\n     ${error.message}`);
  }
};
const page = await open(made.page);
for (const [name, test] of Object.entries(tests)) {
  await run(name, () => test(page));
  // Whatever a test left behind, the next one begins with the settings as compared.
  await page.locator("input[name=side][value=both]").check();
  await afterwards(page, () => page.locator("#as-compared").click());
}
for (const [name, test] of Object.entries(otherTests)) await run(name, test);
await run("more than 10 readings were compared as they are written", () => assert.ok(written > 10, `${written}`));
await run("no error, no warning, no request", () => assert.deepEqual(trouble, []));
await browser.close();
console.log(`largest difference between page and program: ${largest.toExponential(1)} stop`);
process.exitCode = failed ? 1 : 0;
