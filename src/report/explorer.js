"use strict";
// The page's side of the explorer: it moves sliders, calls the engine and draws. No formula stands here.
(async () => {
  const byId = (id) => document.getElementById(id);
  const model = JSON.parse(byId("model").textContent);
  const bytes = Uint8Array.from(atob(byId("engine").textContent), (c) => c.charCodeAt(0));
  const imports = {};
  const compiled = await WebAssembly.compile(bytes);
  for (const { module, name } of WebAssembly.Module.imports(compiled)) {
    (imports[module] ||= {})[name] = () => { throw new Error(name); };
  }
  const engine = (await WebAssembly.instantiate(compiled, imports)).exports;

  const numbersAt = engine.room(model.numbers.length);
  const resultAt = engine.room(model.results.length);
  const placeAt = engine.room(3);
  // Memory may move when the engine asks for more: views are made anew.
  const view = (at, count) => new Float64Array(engine.memory.buffer, at, count);
  const write = () => view(numbersAt, model.numbers.length).set(model.numbers.map((n) => (n === null ? NaN : n)));

  function solve() {
    write();
    engine.solve(numbersAt, resultAt);
    const values = view(resultAt, model.results.length);
    return Object.fromEntries(model.results.map((name, i) => [name, values[i]]));
  }
  function words() {
    const at = engine.words(numbersAt);
    if (!at) return "";
    const memory = new Uint8Array(engine.memory.buffer);
    const text = new TextDecoder().decode(memory.slice(at, memory.indexOf(0, at)));
    engine.free(at);
    return text;
  }
  function place(ballast) {
    engine.place(numbersAt, ballast, placeAt);
    return Array.from(view(placeAt, 3));
  }

  const number = (value, decimals) =>
    Number.isFinite(value) ? value.toFixed(decimals).replace(/^-(?=.*[1-9])/, "\u2212").replace(/^-/, "") : "\u2013";
  const set = (element, attributes) => {
    for (const [name, value] of Object.entries(attributes)) element.setAttribute(name, value);
  };
  const G_PER_MM = 2; // of the hand's arrow; the page says so
  const svg = byId("explorer-picture");
  const part = (query) => svg.querySelector(query);

  function draw(r, angle) {
    const solids = byId("explorer-solids");
    solids.setAttribute("transform", `rotate(${-angle})`);
    // What turns lies in a square around the tail post: the box stays the same at every angle.
    const box = solids.getBBox();
    const corners = [[box.x, box.y], [box.x + box.width, box.y], [box.x, box.y + box.height],
      [box.x + box.width, box.y + box.height]].map(([x, y]) => {
      const p = new DOMPoint(x, y).matrixTransform(new DOMMatrix().rotate(-angle));
      return [p.x, p.y];
    });
    const support = Number.isFinite(r.support_v_mm);
    if (support) corners.push([r.support_h_mm, -r.support_v_mm]);
    const force = Number.isFinite(r.hand_load_g) && Number.isFinite(r.hand_h_mm) ? r.hand_load_g / G_PER_MM : 0;
    const x = r.hand_h_mm, y = -r.hand_v_mm, tip = y - force, barb = force < 0 ? -14 : 14;
    if (force) corners.push([x, tip]);
    const xs = corners.map((c) => c[0]), ys = corners.map((c) => c[1]);
    const left = Math.min(...xs) - 40, right = Math.max(...xs) + 40;
    const top = Math.min(...ys) - 40, bottom = Math.max(...ys) + 70;
    // Left-handed, the head points to the left.
    const from = model.left ? -right : left;
    svg.setAttribute("viewBox", `${from} ${top} ${right - left} ${bottom - top}`);
    byId("explorer-scene").setAttribute("transform", model.left ? "scale(-1 1)" : "");
    const bar = [from + 25, bottom - 25];
    part("#explorer-scale path").setAttribute("d", `M${bar[0]} ${bar[1] - 8}v8h100v-8`);
    set(part("#explorer-scale text"), { x: bar[0] + 112, y: bar[1] });
    const holds = Number.isFinite(r.window_lo_mm);
    set(part(".window"), {
      x: holds ? r.window_lo_mm : 0, y: top, width: holds ? r.window_hi_mm - r.window_lo_mm : 0, height: bottom - top,
    });
    set(part(".plumb"), { x1: r.station_mm, x2: r.station_mm, y1: top, y2: bottom });
    for (const query of [".centre", ".ring"]) set(part(query), { cx: r.station_mm, cy: -r.centre_v_mm });
    set(byId("explorer-tail"), { cx: 0, cy: 0 });
    set(byId("explorer-horn"), { cx: r.horn_h_mm, cy: -r.horn_v_mm });
    const strap = [[0, 0], ...(support ? [[r.support_h_mm, -r.support_v_mm]] : []), [r.horn_h_mm, -r.horn_v_mm]];
    part(".strap").setAttribute("points", strap.map((p) => p.join(",")).join(" "));
    set(part(".shoulder"), { cx: support ? r.support_h_mm : 0, cy: support ? -r.support_v_mm : 0 });
    part(".shoulder").style.display = support ? "" : "none";
    part(".force").setAttribute("d", force
      ? `M${x} ${y}L${x} ${tip}M${x - 9} ${tip + barb}L${x} ${tip}L${x + 9} ${tip + barb}` : "");
  }

  const FIGURES = [
    ["mass_g", "Weight", 0, " g"],
    ["margin_mm", "Margin before it dives", 1, " mm"],
    ["station_mm", "Centre from the tail post, level", 1, " mm"],
    ["hand_load_g", "Hand load on the strap", 0, " g"],
    ["needed_friction", "Friction needed", 2, ""],
    ["settles_at_deg", "Let go, it settles at", 0, "\u00b0"],
    ["seat_hand_load_g", "Hand load on the leg", 0, " g"],
  ];
  function showFigures(r) {
    const list = byId("explorer-figures");
    list.replaceChildren();
    for (const [key, label, decimals, unit] of FIGURES) {
      const name = document.createElement("dt"), value = document.createElement("dd");
      name.textContent = label;
      const change = r[key] - atFirst[key];
      value.textContent = number(r[key], decimals) + (Number.isFinite(r[key]) ? unit : "");
      if (Number.isFinite(change) && Math.abs(change) >= 0.5 * 10 ** -decimals) {
        value.textContent += ` (${change > 0 ? "+" : ""}${number(change, decimals)}${unit})`;
      }
      list.append(name, value);
    }
    // Every digit, for whoever compares.
    for (const [key, value] of Object.entries(r)) list.dataset[key] = String(value);
  }

  // The change as a merge patch (RFC 7396).
  function patch() {
    const out = {};
    for (const s of model.sliders) {
      const value = model.numbers[s.number];
      if (value === s.value) continue;
      let node = out;
      for (const key of s.path.slice(0, -1)) {
        if (!Object.hasOwn(node, key)) Object.defineProperty(node, key, { value: {}, enumerable: true });
        node = node[key];
      }
      const last = s.path.at(-1);
      node[last] = last === "at" ? place(s.ballast) : s.u > 0 ? `${value} \u00b1 ${s.u}` : value;
    }
    return JSON.stringify(out, null, 2).replace(/[\u007f-\uffff]/g, (c) =>
      c === "\u00b1" ? c : "\\u" + c.charCodeAt(0).toString(16).padStart(4, "0"));
  }

  function update() {
    const r = solve();
    draw(r, model.numbers[model.sliders[0].number]);
    showFigures(r);
    byId("explorer-verdict").textContent = words();
    const change = patch(), changed = change !== "{}";
    byId("explorer-how").textContent = changed ? 'As a variant, under "variants":' : "Nothing is changed yet.";
    byId("explorer-patch").textContent = change;
    byId("explorer-patch").hidden = !changed;
  }

  const inputs = [];
  function addSlider(s, index) {
    const row = document.createElement("div"), label = document.createElement("label");
    const input = document.createElement("input"), shown = document.createElement("output");
    input.id = `slider-${index}`;
    label.htmlFor = shown.htmlFor = input.id;
    label.textContent = s.group === "Playing" ? s.label : `${s.group}: ${s.label}`;
    set(input, { type: "range", min: s.least, max: s.most, step: s.step });
    const inFile = parseFloat((s.value * s.scale).toPrecision(12));
    // A value between the steps stays what it is until the slider is moved.
    input.value = inFile;
    const tell = () => {
      const now = parseFloat((model.numbers[s.number] * s.scale).toPrecision(12));
      shown.textContent = `${now}${s.unit === "\u00b0" || !s.unit ? s.unit : ` ${s.unit}`}` + (now === inFile ? "" : `, file: ${inFile}`);
    };
    input.addEventListener("input", () => {
      const at = Number(input.value);
      model.numbers[s.number] = at === inFile ? s.value : at / s.scale;
      tell();
      update();
    });
    inputs.push({ input, reset: () => { input.value = inFile; model.numbers[s.number] = s.value; tell(); } });
    tell();
    row.append(label, shown, input);
    byId("explorer-sliders").append(row);
  }

  const atFirst = solve();
  model.sliders.forEach(addSlider);
  byId("explorer-reset").addEventListener("click", () => {
    inputs.forEach((i) => i.reset());
    update();
  });
  byId("explorer").hidden = false;
  update();
  // "#set=3:40,0:10" moves sliders as a hand would: a link can show a change.
  const wanted = /^#set=([\d.:,-]+)$/.exec(location.hash);
  for (const pair of wanted ? wanted[1].split(",") : []) {
    const [index, value] = pair.split(":");
    if (!inputs[index]) continue;
    inputs[index].input.value = value;
    inputs[index].input.dispatchEvent(new Event("input"));
  }
})();
