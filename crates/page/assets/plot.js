// @ts-check
/**
 * A flight over time, to be worked on: heading, altitude and airspeed with the windows on them, and the tracks over the
 * ground and through the air. Edges of windows are moved by finger, mouse or keys; what they become is sent to the app,
 * which says what follows from it.
 */

/** @typedef {import("./host.js").Part} Part */
/**
 * @typedef {{row: number | null, let_go_s: number, take_over_s: number, words?: string | null, accepted?: boolean}} Span
 * @typedef {{epoch_ms: number, zone_s: number, zone: string, duration_s: number, from_s: number, to_s: number, thinned: boolean,
 *   speed: string, height: string, comma: boolean, air: number[][], ground: (number | null)[][], windows: Span[]}} Series
 * @typedef {{request: typeof import("./host.js").request, post: (address: string, parts: Part[]) => void}} App
 */

const SVG = "http://www.w3.org/2000/svg";
const LANE = 104;
const GAP = 26;
const TOP = 46;
const LEFT = 52;
const RIGHT = 10;
const PLAN = 260;
/** Half of what a finger needs to take hold of an edge. */
const REACH = 22;

/**
 * @param {string} name
 * @param {Record<string, string | number>} attributes
 * @param {string} [words]
 */
function svg(name, attributes, words) {
  const element = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, String(value));
  if (words !== undefined) element.textContent = words;
  return element;
}

/** @param {App} app */
export function mountPlots(app) {
  for (const place of document.querySelectorAll("[data-plot]")) {
    if (place instanceof HTMLElement && !place.firstChild) void mount(place, app);
  }
}

/**
 * @param {HTMLElement} place
 * @param {App} app
 */
async function mount(place, app) {
  const url = new URL(place.dataset.plot ?? "", "http://app.invalid");
  const fetchSeries = async (/** @type {[string, string][]} */ more) => {
    const answer = await app.request("GET", url.pathname, [...url.searchParams, ...more], [], () => {});
    if (answer.status !== 200) throw new Error(String(answer.status));
    return /** @type {Series} */ (JSON.parse(new TextDecoder().decode(answer.body)));
  };
  try {
    const series = await fetchSeries([]);
    if (place.isConnected) new Plot(place, series, fetchSeries, app).draw();
  } catch {
    place.textContent = "The lines of this flight could not be loaded; the windows below work all the same.";
  }
}

class Plot {
  /**
   * @param {HTMLElement} place
   * @param {Series} series
   * @param {(more: [string, string][]) => Promise<Series>} fetchSeries
   * @param {App} app
   */
  constructor(place, series, fetchSeries, app) {
    this.place = place;
    this.whole = series;
    this.series = series;
    this.fetchSeries = fetchSeries;
    this.app = app;
    this.from = 0;
    this.to = Math.max(series.duration_s, 1);
    this.cursor = (this.from + this.to) / 2;
    this.fetched = 0;
    this.canvas = svg("svg", { role: "group", "aria-label": "Heading, altitude and airspeed over time, with the windows" });
    this.plan = svg("svg", { role: "img", "aria-label": "Tracks seen from above: over the ground dashed, through the air solid" });
    this.read = document.createElement("p");
    this.read.className = "read";
    place.append(this.buttons(), this.canvas, this.read, this.plan);
    this.gestures();
    new ResizeObserver(() => this.draw()).observe(place);
  }

  /** Zoom without a wheel or two fingers. */
  buttons() {
    const row = document.createElement("div");
    row.className = "row";
    /** @type {[string, () => void][]} */
    const all = [
      ["Zoom in", () => this.zoom(0.5, this.cursor)],
      ["Zoom out", () => this.zoom(2, this.cursor)],
      ["Earlier", () => this.move(-0.4)],
      ["Later", () => this.move(0.4)],
      ["Whole flight", () => this.look(0, this.whole.duration_s)],
    ];
    for (const [words, act] of all) {
      const button = document.createElement("button");
      button.type = "button";
      button.textContent = words;
      button.addEventListener("click", act);
      row.append(button);
    }
    return row;
  }

  width() {
    return Math.max(this.place.clientWidth, 240);
  }

  /** @param {number} s */
  x(s) {
    return LEFT + ((s - this.from) / (this.to - this.from)) * (this.width() - LEFT - RIGHT);
  }

  /** @param {number} x */
  s(x) {
    return this.from + ((x - LEFT) / (this.width() - LEFT - RIGHT)) * (this.to - this.from);
  }

  /** @param {number} s clock time of the reader's zone */
  clock(s) {
    const time = new Date(this.series.epoch_ms + 1000 * s + 1000 * this.series.zone_s);
    const text = time.toISOString().slice(11, 21);
    return text.endsWith(".0") ? text.slice(0, 8) : text;
  }

  /** @param {number} value @param {number} places */
  number(value, places) {
    const text = value.toFixed(places).replace("-", "\u2212");
    return this.series.comma ? text.replace(".", ",") : text;
  }

  /** @param {number} factor @param {number} about */
  zoom(factor, about) {
    const span = Math.min(Math.max((this.to - this.from) * factor, 5), this.whole.duration_s);
    const share = (about - this.from) / (this.to - this.from);
    this.look(about - share * span, about + (1 - share) * span);
  }

  /** @param {number} share */
  move(share) {
    const by = share * (this.to - this.from);
    this.look(this.from + by, this.to + by);
  }

  /** @param {number} from @param {number} to */
  look(from, to) {
    const span = Math.min(to - from, this.whole.duration_s);
    this.from = Math.min(Math.max(from, 0), this.whole.duration_s - span);
    this.to = this.from + Math.max(span, 1);
    this.cursor = Math.min(Math.max(this.cursor, this.from), this.to);
    this.draw();
    void this.finer();
  }

  /** Lines of a long flight are thinned; where it is zoomed they come finer. */
  async finer() {
    if (!this.whole.thinned) return;
    const number = ++this.fetched;
    await new Promise((done) => setTimeout(done, 250));
    if (number !== this.fetched || !this.place.isConnected) return;
    const [from, to] = [this.from, this.to];
    if (to - from > 0.9 * this.whole.duration_s) {
      this.series = this.whole;
    } else {
      try {
        const series = await this.fetchSeries([["from", String(from)], ["to", String(to)]]);
        if (number === this.fetched) this.series = series;
      } catch {
        return;
      }
    }
    this.draw();
  }

  draw() {
    if (!this.place.isConnected) return;
    const held = document.activeElement instanceof SVGElement ? document.activeElement.getAttribute("data-edge") : null;
    const { air, ground } = this.series;
    const inside = (/** @type {(number | null)[]} */ point) => Number(point[0]) >= this.from - 1 && Number(point[0]) <= this.to + 1;
    const seenAir = air.filter(inside);
    const seenGround = ground.filter(inside);
    /** @type {{name: string, solid: number[][], dashed: number[][]}[]} */
    const lanes = [];
    const pick = (/** @type {(number | null)[][]} */ points, /** @type {number} */ column) =>
      points.filter((point) => point[column] !== null).map((point) => [Number(point[0]), Number(point[column])]);
    if (air.length) lanes.push({ name: "Heading, ° true", solid: pick(seenAir, 1), dashed: [] });
    else lanes.push({ name: "Course over the ground, ° true (heading not known)", solid: [], dashed: unwrapped(pick(seenGround, 1)) });
    if (ground.some((point) => point[5] !== null)) lanes.push({ name: "Altitude, " + this.series.height, solid: pick(seenGround, 5), dashed: [] });
    lanes.push({
      name: (air.length ? "Airspeed (dashed: ground speed), " : "Ground speed, ") + this.series.speed,
      solid: pick(seenAir, 2),
      dashed: pick(seenGround, 2),
    });
    const width = this.width();
    const height = TOP + lanes.length * (LANE + GAP);
    this.canvas.setAttribute("viewBox", `0 0 ${width} ${height}`);
    this.canvas.setAttribute("height", String(height));
    this.canvas.replaceChildren();
    const clip = svg("clipPath", { id: "plot-inside" });
    clip.append(svg("rect", { x: LEFT, y: 0, width: width - LEFT - RIGHT, height }));
    this.canvas.append(clip);
    const windows = svg("g", { "clip-path": "url(#plot-inside)" });
    for (const span of this.series.windows) {
      const [a, b] = [this.x(span.let_go_s), this.x(span.take_over_s)];
      const kind = span.row === null ? "plot-window candidate" : "plot-window";
      windows.append(svg("rect", { class: kind, x: a, y: 14, width: Math.max(b - a, 1), height: height - GAP - 14 }));
    }
    this.canvas.append(windows);
    lanes.forEach((lane, i) => this.lane(lane, TOP + i * (LANE + GAP), width));
    this.times(height, width);
    this.names();
    this.cursorLine(height);
    this.edges(height);
    this.drawPlan(seenAir, seenGround);
    this.say();
    if (held) /** @type {SVGElement | null} */ (this.canvas.querySelector(`[data-edge="${held}"]`))?.focus();
  }

  /**
   * @param {{name: string, solid: number[][], dashed: number[][]}} lane
   * @param {number} top
   * @param {number} width
   */
  lane(lane, top, width) {
    const values = [...lane.solid, ...lane.dashed].map((point) => point[1]);
    let [low, high] = [Infinity, -Infinity];
    for (const value of values) [low, high] = [Math.min(low, value), Math.max(high, value)];
    if (!Number.isFinite(low)) [low, high] = [0, 1];
    if (high - low < 1) [low, high] = [low - 0.5, high + 0.5];
    const y = (/** @type {number} */ value) => top + LANE - ((value - low) / (high - low)) * LANE;
    this.canvas.append(svg("text", { x: LEFT, y: top - 6, class: "soft" }, lane.name));
    this.canvas.append(svg("rect", { class: "plot-lane", x: LEFT, y: top, width: width - LEFT - RIGHT, height: LANE }));
    const angles = lane.name.includes("° true");
    for (const tick of angles ? bearings(low, high) : nice(low, high, 3)) {
      this.canvas.append(svg("line", { class: "plot-lane", x1: LEFT, x2: width - RIGHT, y1: y(tick), y2: y(tick) }));
      const bearing = ((tick % 360) + 360) % 360;
      const shown = angles ? (bearing % 90 === 0 ? "NESW"[bearing / 90] : String(bearing)) : this.number(tick, high - low < 3 ? 1 : 0);
      this.canvas.append(svg("text", { x: LEFT - 6, y: y(tick) + 4, "text-anchor": "end" }, shown));
    }
    /** @type {[number[][], string][]} */
    const lines = [[lane.dashed, "plot-ground"], [lane.solid, "plot-air"]];
    for (const [points, kind] of lines) {
      if (points.length < 2) continue;
      const path = points.map((point, i) => (i === 0 || point[0] - points[i - 1][0] > 30 ? "M" : "L") + this.x(point[0]).toFixed(1) + " " + y(point[1]).toFixed(1));
      this.canvas.append(svg("path", { class: kind, d: path.join(""), "clip-path": "url(#plot-inside)" }));
    }
  }

  /** @param {number} height @param {number} width */
  times(height, width) {
    const most = Math.max(2, Math.floor((width - LEFT) / 95));
    const steps = [1, 2, 5, 10, 20, 30, 60, 120, 300, 600, 1200, 1800, 3600, 7200];
    const step = steps.find((s) => (this.to - this.from) / s <= most) ?? 14400;
    const offset = (this.series.epoch_ms / 1000 + this.series.zone_s) % step;
    for (let s = Math.ceil((this.from + offset) / step) * step - offset; s <= this.to; s += step) {
      this.canvas.append(svg("text", { x: this.x(s), y: height - GAP / 2, "text-anchor": "middle", class: "soft" }, this.clock(s)));
    }
  }

  /** Numbers of the windows, with what each shows. */
  names() {
    for (const span of this.series.windows) {
      if (span.row === null || span.take_over_s < this.from || span.let_go_s > this.to) continue;
      const middle = Math.min(Math.max(this.x((span.let_go_s + span.take_over_s) / 2), LEFT + 8), this.width() - RIGHT - 8);
      this.canvas.append(svg("text", { x: middle, y: TOP + 14, "text-anchor": "middle" }, String(span.row + 1)));
    }
  }

  /** @param {number} height */
  cursorLine(height) {
    const line = svg("g", { role: "slider", tabindex: 0, "data-edge": "cursor", "aria-label": "Time to read off", "aria-valuemin": 0,
      "aria-valuemax": this.whole.duration_s.toFixed(0), "aria-valuenow": this.cursor.toFixed(1), "aria-valuetext": this.clock(this.cursor) });
    line.append(svg("line", { class: "plot-cursor", x1: this.x(this.cursor), x2: this.x(this.cursor), y1: TOP, y2: height - GAP }));
    line.append(svg("circle", { class: "plot-edge", cx: this.x(this.cursor), cy: height - GAP - 2, r: 6 }));
    line.addEventListener("keydown", (event) => {
      const by = stepOf(/** @type {KeyboardEvent} */ (event));
      if (by === null) return;
      event.preventDefault();
      this.cursor = Math.min(Math.max(this.cursor + by, 0), this.whole.duration_s);
      if (this.cursor < this.from || this.cursor > this.to) this.look(this.cursor - (this.to - this.from) / 2, this.cursor + (this.to - this.from) / 2);
      else this.draw();
    });
    this.canvas.append(line);
  }

  /** @param {number} height */
  edges(height) {
    for (const span of this.series.windows) {
      if (span.row === null) continue;
      for (const which of /** @type {const} */ (["let_go_s", "take_over_s"])) {
        const s = span[which];
        if (s < this.from - 1 || s > this.to + 1) continue;
        this.canvas.append(this.edge(span, which, height));
      }
    }
  }

  /**
   * @param {Span} span
   * @param {"let_go_s" | "take_over_s"} which
   * @param {number} height
   */
  edge(span, which, height) {
    const before = { ...span };
    const name = `${span.row}-${which}`;
    const words = `Window ${Number(span.row) + 1}, ${which === "let_go_s" ? "let-go" : "take-over"}`;
    const group = svg("g", { role: "slider", tabindex: 0, "data-edge": name, "aria-label": words, "aria-valuemin": 0,
      "aria-valuemax": this.whole.duration_s.toFixed(0), "aria-valuenow": span[which].toFixed(1), "aria-valuetext": this.clock(span[which]) });
    const x = this.x(span[which]);
    const out = which === "let_go_s" ? -1 : 1;
    group.append(svg("line", { class: "plot-cursor", x1: x, x2: x, y1: 4, y2: height - GAP }));
    group.append(svg("path", { class: "plot-edge", d: `M${x} 4h${10 * out}v16h${-10 * out}z` }));
    group.append(svg("rect", { class: "plot-touch", x: x - REACH, y: 0, width: 2 * REACH, height: 44 }));
    const moved = () => span[which] !== before[which];
    const keep = () => moved() && this.keep(span);
    const to = (/** @type {number} */ s) => {
      const other = which === "let_go_s" ? span.take_over_s : span.let_go_s;
      const limited = which === "let_go_s" ? Math.min(s, other - 1) : Math.max(s, other + 1);
      span[which] = Math.round(10 * Math.min(Math.max(limited, 0), this.whole.duration_s)) / 10;
      this.cursor = Math.min(Math.max(span[which], this.from), this.to);
    };
    group.addEventListener("pointerdown", (event) => {
      const pointer = /** @type {PointerEvent} */ (event);
      pointer.preventDefault();
      pointer.stopPropagation();
      this.canvas.setPointerCapture(pointer.pointerId);
      const move = (/** @type {Event} */ moving) => {
        to(this.s(/** @type {PointerEvent} */ (moving).clientX - this.canvas.getBoundingClientRect().left));
        this.draw();
      };
      const end = (/** @type {Event} */ ended) => {
        this.canvas.removeEventListener("pointermove", move);
        this.canvas.removeEventListener("pointerup", end);
        this.canvas.removeEventListener("pointercancel", end);
        if (ended.type === "pointercancel") Object.assign(span, before);
        else keep();
        this.draw();
      };
      this.canvas.addEventListener("pointermove", move);
      this.canvas.addEventListener("pointerup", end);
      this.canvas.addEventListener("pointercancel", end);
    });
    group.addEventListener("keydown", (event) => {
      const key = /** @type {KeyboardEvent} */ (event);
      const by = stepOf(key);
      if (by !== null) {
        event.preventDefault();
        to(span[which] + by);
        this.held = { span, before: this.held?.span === span ? this.held.before : before };
        this.draw();
      } else if (key.key === "Enter" && this.held?.span === span) {
        event.preventDefault();
        this.held = undefined;
        this.keep(span);
      } else if (key.key === "Escape" && this.held?.span === span) {
        Object.assign(span, this.held.before);
        this.held = undefined;
        this.draw();
      }
    });
    return group;
  }

  /** @type {{span: Span, before: Span} | undefined} */
  held = undefined;

  /** @param {Span} span */
  keep(span) {
    const text = (/** @type {string} */ name, /** @type {string} */ value) => ({ name, bytes: new TextEncoder().encode(value) });
    const iso = (/** @type {number} */ s) => new Date(this.series.epoch_ms + 1000 * s).toISOString();
    this.app.post(this.place.dataset.windows ?? "", [
      text("do", "save"),
      text("row", String(span.row)),
      text("let_go", iso(span.let_go_s)),
      text("take_over", iso(span.take_over_s)),
    ]);
  }

  /** The values at the time to read off, and what to do with an edge that was moved. */
  say() {
    const at = (/** @type {(number | null)[][]} */ points) => points.length ? points.reduce((best, point) => (Math.abs(Number(point[0]) - this.cursor) < Math.abs(Number(best[0]) - this.cursor) ? point : best)) : null;
    const air = at(this.series.air);
    const ground = at(this.series.ground);
    const parts = [this.clock(this.cursor) + " " + this.series.zone];
    const turn = (/** @type {number} */ deg) => String(Math.round(((deg % 360) + 360) % 360) % 360).padStart(3, "0") + "°";
    if (air) parts.push("heading " + turn(Number(air[1])), "airspeed " + this.number(Number(air[2]), 1) + " " + this.series.speed);
    if (ground) parts.push("course " + turn(Number(ground[1])), "ground speed " + this.number(Number(ground[2]), 1) + " " + this.series.speed);
    if (ground && ground[5] !== null) parts.push("altitude " + this.number(Number(ground[5]), 0) + " " + this.series.height);
    const within = this.series.windows.find((span) => span.row !== null && span.let_go_s <= this.cursor && this.cursor <= span.take_over_s);
    if (within) parts.push(`window ${Number(within.row) + 1}` + (within.words ? ": " + within.words : ""));
    this.read.textContent = parts.join(" · ") + (this.held ? ". Enter keeps the edge here, Escape puts it back" : "");
  }

  /** @param {number[][]} air @param {(number | null)[][]} ground */
  drawPlan(air, ground) {
    const width = this.width();
    const tracks = [
      { kind: "plot-ground", points: ground.map((point) => [Number(point[0]), Number(point[3]), Number(point[4])]) },
      { kind: "plot-air", points: air.map((point) => [point[0], point[3], point[4]]) },
    ].filter((track) => track.points.length > 1);
    this.plan.setAttribute("viewBox", `0 0 ${width} ${PLAN}`);
    this.plan.setAttribute("height", String(PLAN));
    this.plan.replaceChildren();
    // Each track has a frame of its own place: the air has moved on by kilometres.
    tracks.forEach((track, i) => {
      const wide = width / tracks.length;
      let [w, e, s, n] = [Infinity, -Infinity, Infinity, -Infinity];
      for (const [, x, y] of track.points) [w, e, s, n] = [Math.min(w, x), Math.max(e, x), Math.min(s, y), Math.max(n, y)];
      const scale = Math.min((wide - 24) / Math.max(e - w, 10), (PLAN - 64) / Math.max(n - s, 10));
      const at = (/** @type {number[]} */ point) => [i * wide + wide / 2 + (point[1] - (w + e) / 2) * scale, 44 + (PLAN - 44) / 2 - (point[2] - (s + n) / 2) * scale];
      const path = track.points.map((point, k) => (k ? "L" : "M") + at(point).map((value) => value.toFixed(1)).join(" "));
      this.plan.append(svg("path", { class: track.kind, d: path.join("") }));
      const nearest = track.points.reduce((best, point) => (Math.abs(point[0] - this.cursor) < Math.abs(best[0] - this.cursor) ? point : best));
      const [x, y] = at(nearest);
      this.plan.append(svg("circle", { class: "plot-edge", cx: x, cy: y, r: 5 }));
      const across = (wide - 24) / scale;
      const bar = [5000, 2000, 1000, 500, 200, 100, 50, 20, 10].find((m) => m < across / 2) ?? 10;
      this.plan.append(svg("text", { x: i * wide + 6, y: 14 }, track.kind === "plot-air" ? "Through the air" : "Over the ground"));
      this.plan.append(svg("line", { class: "plot-cursor", x1: i * wide + 6, x2: i * wide + 6 + bar * scale, y1: 22, y2: 22 }));
      this.plan.append(svg("text", { x: i * wide + 6, y: 36, class: "soft" }, `${bar} m, north up`));
    });
  }

  /** Wheel with Ctrl, two fingers, and a tap to read off. */
  gestures() {
    const place = (/** @type {MouseEvent} */ event) => this.s(event.clientX - this.canvas.getBoundingClientRect().left);
    this.canvas.addEventListener("wheel", (event) => {
      const wheel = /** @type {WheelEvent} */ (event);
      if (!wheel.ctrlKey && !wheel.metaKey) return;
      wheel.preventDefault();
      this.zoom(wheel.deltaY > 0 ? 1.25 : 0.8, place(wheel));
    }, { passive: false });
    /** @type {Map<number, number>} */
    const fingers = new Map();
    this.canvas.addEventListener("pointerdown", (event) => {
      const pointer = /** @type {PointerEvent} */ (event);
      fingers.set(pointer.pointerId, place(pointer));
      if (fingers.size === 1) {
        this.cursor = Math.min(Math.max(place(pointer), this.from), this.to);
        this.draw();
      }
    });
    this.canvas.addEventListener("pointermove", (event) => {
      const pointer = /** @type {PointerEvent} */ (event);
      if (fingers.size !== 2 || !fingers.has(pointer.pointerId)) return;
      const other = [...fingers].find(([id]) => id !== pointer.pointerId);
      const held = fingers.get(pointer.pointerId);
      if (!other || held === undefined || Math.abs(held - other[1]) < 1) return;
      // What is under a finger stays under it.
      const now = place(pointer);
      const factor = Math.min(Math.max(Math.abs(held - other[1]) / Math.max(Math.abs(now - other[1]), 1e-3), 0.8), 1.25);
      this.zoom(factor, other[1]);
    });
    for (const end of ["pointerup", "pointercancel"]) {
      this.canvas.addEventListener(end, (event) => fingers.delete(/** @type {PointerEvent} */ (event).pointerId));
    }
  }
}

/**
 * Seconds that a key moves by; null for another key.
 * @param {KeyboardEvent} event
 */
function stepOf(event) {
  const size = event.shiftKey ? 10 : 1;
  if (event.key === "ArrowLeft" || event.key === "ArrowDown") return -size;
  if (event.key === "ArrowRight" || event.key === "ArrowUp") return size;
  if (event.key === "PageDown") return -60;
  if (event.key === "PageUp") return 60;
  return null;
}

/** @param {number[][]} points angles that may jump over north */
function unwrapped(points) {
  let before = 0;
  return points.map(([s, deg], i) => {
    const turned = i === 0 ? deg : before + ((((deg - before) % 360) + 540) % 360) - 180;
    before = turned;
    return [s, turned];
  });
}

/**
 * Bearings that a compass has marks for, within a range of unwrapped angles.
 * @param {number} low @param {number} high
 */
function bearings(low, high) {
  const step = [10, 30, 45, 90, 180, 360, 720, 1440].find((deg) => (high - low) / deg <= 4) ?? 3600;
  const ticks = [];
  for (let tick = Math.ceil(low / step) * step; tick <= high; tick += step) ticks.push(tick);
  return ticks;
}

/**
 * Round numbers within a range.
 * @param {number} low @param {number} high @param {number} about
 */
function nice(low, high, about) {
  const rough = (high - low) / about;
  const power = 10 ** Math.floor(Math.log10(rough));
  const step = [1, 2, 5, 10].map((m) => m * power).find((s) => s >= rough) ?? rough;
  const ticks = [];
  for (let tick = Math.ceil(low / step) * step; tick <= high; tick += step) ticks.push(Math.abs(tick) < step * 1e-9 ? 0 : tick);
  return ticks;
}
