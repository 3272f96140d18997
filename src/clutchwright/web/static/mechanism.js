// The drawing of the mechanism, moved by hand: drag the lever, or use the slider below it.
//
//   const mechanism = mount(figure, data);   figure: element around the drawings; data: as `mechanism_data` gives it
//   mechanism.show(travel);                  finger travel in mm
//   mechanism.update(data);                  other data, the travel stays
//
// All numbers come with the data; here they are looked up and drawn. The moves are those of `posed` in
// picture/mechanism/parts.py.

const SVG = "http://www.w3.org/2000/svg";
const GLIDE_MS = 400;

/** Place of x in a rising column, as an index with a fraction. */
export function seek(column, x) {
  let low = 0;
  let high = column.length - 1;
  if (!(x > column[0])) return 0;
  if (x >= column[high]) return high;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (column[middle] <= x) low = middle;
    else high = middle;
  }
  return low + (x - column[low]) / (column[high] - column[low]);
}

/** Value of a column at an index with a fraction. */
export function at(column, index) {
  const low = Math.min(Math.floor(index), column.length - 2);
  return column[low] + (column[low + 1] - column[low]) * (index - low);
}

/** One bike's place along its stroke. Turned back, the lever first gives up the cable's stretch: the arm waits. */
class Stroke {
  constructor(one, index = 0) {
    this.index = index;
    this.use(one);
  }

  use(one) {
    this.one = one;
    this.stop = one.places.stop;
  }

  values(travel) {
    const { poses, faces } = this.one;
    const s = Math.min(travel, this.stop);
    const pulling = seek(poses.travel, s);
    const returning = Math.max(seek(poses.back, s), pulling);
    this.index = Math.min(Math.max(this.index, pulling), returning);
    const found = { travel: s, pull: at(poses.pull, pulling) };
    for (const name of ["arm", "lift", "gap", "clamp"]) if (poses[name]) found[name] = at(poses[name], this.index);
    if (poses.return) found.return = at(poses.return, returning);
    if (poses.cable) found.cable = at(poses.cable, pulling);
    found.relax = found.lift / faces - (found.gap ?? 0);
    return found;
  }
}

function turned(x, y, px, py, degrees) {
  const angle = (degrees * Math.PI) / 180;
  const [cos, sin, dx, dy] = [Math.cos(angle), Math.sin(angle), x - px, y - py];
  return [px + dx * cos + dy * sin, py + dy * cos - dx * sin];
}

/** Path data (null: as at rest) and transform of a part at a pose. */
export function posed(moves, values) {
  let path = null;
  const steps = [];
  for (const [kind, name, factor, ...n] of moves) {
    const value = values[name] * factor;
    if (kind === "turn") steps.push(`rotate(${(-value).toFixed(3)} ${n[0]} ${n[1]})`);
    else if (kind === "slide") steps.push(`translate(${(value).toFixed(3)} ${(values[name] * n[0]).toFixed(3)})`);
    else if (kind === "wide") {
      const scale = 1 + value / n[1];
      steps.push(`translate(${(n[0] * (1 - scale)).toFixed(3)} 0) scale(${scale.toFixed(5)} 1)`);
    } else if (kind === "reach") path = `M${n[0]} ${n[1]}L${n[0] + value * n[2]} ${n[1] + value * n[3]}`;
    else {
      const [x, y] = turned(n[2], n[3], n[0], n[1], value);
      if (kind === "carry") steps.push(`translate(${(x - n[2]).toFixed(3)} ${(y - n[3]).toFixed(3)})`);
      else path = `M${x.toFixed(3)} ${y.toFixed(3)}L${n[4]} ${n[5]}`;
    }
  }
  return [path, steps.join(" ")];
}

/** A number as the rest of the page writes it. */
export function written(value, decimals, unit) {
  const text = (Number(value.toFixed(decimals)) + 0).toFixed(decimals).replace("-", "\u2212");
  return unit === "\u00b0" ? text + unit : `${text}\u00a0${unit}`;
}

/** One SVG of the figure: its elements, made from the data, and what moves them. */
class Sheet {
  constructor(svg) {
    this.svg = svg;
    this.looks = Object.fromEntries([...svg.querySelectorAll("[data-look]")].map((g) => [g.dataset.look, g]));
    this.views = Object.fromEntries([...svg.querySelectorAll("[data-view]")].map((g) => [g.dataset.view, g]));
    this.hit = this.element("path", "hit");
    this.hit.setAttribute("data-hit", "");
    this.views.lever.append(this.hit);
  }

  element(tag, look) {
    const made = document.createElementNS(SVG, tag);
    for (const { name, value } of this.looks[look].attributes) if (name !== "data-look") made.setAttribute(name, value);
    return made;
  }

  build(data) {
    const layout = data.sizes[this.svg.dataset.size];
    this.moving = [];
    this.texts = [];
    this.svg.setAttribute("viewBox", layout.box);
    for (const [name, group] of Object.entries(this.views)) {
      const view = layout.views[name];
      group.setAttribute("transform", view.at);
      const parts = data.now.parts[name];
      const rest = name === "pack" ? [] : parts.filter(([, , moves, ghost]) => ghost && moves.length);
      this.fill(group, "rest", rest.map(([, path]) => this.outline("rest", path)));
      this.fill(group, "now", [...parts, ...view.extras].map((part) => this.part(part, "now")));
      this.fill(group, "before", (data.before?.parts[name] ?? []).map((part) => this.part(part, "before")));
      this.fill(group, "labels", view.labels.map((label) => this.label(label, view.text)));
    }
    const blade = data.now.parts.lever.find(([look]) => look === "blade");
    this.hit.setAttribute("d", blade[1]);
    this.moving.push({ element: this.hit, moves: blade[2], whose: "now" });
    this.turn = blade[2][0];
  }

  fill(group, layer, elements) {
    group.querySelector(`[data-layer="${layer}"]`).replaceChildren(...elements);
  }

  outline(look, path) {
    const made = this.element("path", look);
    made.setAttribute("d", path);
    return made;
  }

  part([look, path, moves = [], , width = 0], whose) {
    const made = this.outline(whose === "before" ? "ghost" : look, path);
    if (width) {
      made.setAttribute("stroke-width", width);
      made.removeAttribute("vector-effect");
    }
    if (moves.length) this.moving.push({ element: made, moves, whose });
    return made;
  }

  label([look, x, y, anchor, text, live, moves], size) {
    const made = this.element("text", look);
    const own = { x, y, "font-size": size, "text-anchor": anchor };
    for (const [name, value] of Object.entries(own)) made.setAttribute(name, value);
    made.textContent = text;
    if (live) this.texts.push({ element: made, text, live });
    if (moves?.length) this.moving.push({ element: made, moves, whose: "now" });
    return made;
  }

  place(values) {
    for (const { element, moves, whose } of this.moving) {
      const [path, transform] = posed(moves, values[whose]);
      if (path !== null) element.setAttribute("d", path);
      if (transform) element.setAttribute("transform", transform);
    }
    for (const { element, text, live } of this.texts) {
      const [whose, key, decimals, unit] = live;
      element.textContent = `${text} ${written(values[whose][key], decimals, unit)}`;
    }
  }

  /** Direction of a pointer from the lever's pivot, anticlockwise as seen [degrees]. */
  direction(event) {
    const [, , , px, py] = this.turn;
    const { x, y } = new DOMPoint(event.clientX, event.clientY).matrixTransform(this.views.lever.getScreenCTM().inverse());
    return (Math.atan2(py - y, x - px) * 180) / Math.PI;
  }
}

class Mechanism {
  constructor(figure, data) {
    this.sheets = [...figure.querySelectorAll("svg[data-size]")].map((svg) => new Sheet(svg));
    this.strokes = {};
    this.addControls();
    this.update(data);
    const { release, stop } = data.now.places;
    this.show(release ?? stop);
    for (const sheet of this.sheets) this.listen(sheet);
  }

  get places() {
    const { bite, release, stop } = this.data.now.places;
    return { rest: 0, bite: bite ? (bite[0] + Math.min(bite[1], stop)) / 2 : null, release, stop };
  }

  update(data) {
    this.data = data;
    for (const whose of ["now", "before"]) {
      if (!data[whose]) delete this.strokes[whose];
      else if (this.strokes[whose]) this.strokes[whose].use(data[whose]);
      else this.strokes[whose] = new Stroke(data[whose], this.strokes.now?.index);
    }
    for (const sheet of this.sheets) sheet.build(data);
    const stop = data.now.places.stop;
    this.range.max = stop;
    for (const [name, button] of Object.entries(this.buttons)) button.disabled = this.places[name] === null;
    this.show(this.travel ?? 0);
  }

  show(travel) {
    this.travel = Math.min(Math.max(travel, 0), this.data.now.places.stop);
    const values = {};
    for (const [whose, stroke] of Object.entries(this.strokes)) values[whose] = stroke.values(this.travel);
    for (const sheet of this.sheets) sheet.place(values);
    const { pull, lift, gap } = values.now;
    const moved = written(this.travel, 1, "mm");
    this.range.value = this.travel;
    this.range.setAttribute(
      "aria-valuetext",
      `${moved}: pull ${written(pull, 0, "N")}, lift ${written(lift, 2, "mm")}, each gap ${written(gap, 2, "mm")}`,
    );
    this.output.value = moved;
  }

  /** Move the lever to a travel, by way of those between unless motion is unwelcome. */
  glide(travel) {
    cancelAnimationFrame(this.frame);
    if (matchMedia("(prefers-reduced-motion: reduce)").matches) {
      this.show(travel);
      return;
    }
    const from = this.travel;
    let began = null;
    const step = (now) => {
      began ??= now;
      const share = Math.min((now - began) / GLIDE_MS, 1);
      this.show(from + (travel - from) * share * share * (3 - 2 * share));
      if (share < 1) this.frame = requestAnimationFrame(step);
    };
    this.frame = requestAnimationFrame(step);
  }

  /** Show a travel at the next frame, however often it is asked for until then. */
  soon(travel) {
    cancelAnimationFrame(this.frame);
    this.frame = requestAnimationFrame(() => this.show(travel));
  }

  addControls() {
    const controls = document.createElement("div");
    controls.className = "mechanism-controls";
    const label = document.createElement("label");
    this.range = Object.assign(document.createElement("input"), { type: "range", min: 0, step: 0.1 });
    this.output = document.createElement("output");
    this.output.setAttribute("aria-live", "off"); // the slider itself says what it shows
    label.append("Finger travel ", this.range, this.output);
    const places = document.createElement("div");
    this.buttons = {};
    for (const name of ["rest", "bite", "release", "stop"]) {
      const button = document.createElement("button");
      Object.assign(button, { type: "button", textContent: name[0].toUpperCase() + name.slice(1) });
      button.addEventListener("click", () => this.glide(this.places[name]));
      this.buttons[name] = button;
    }
    places.append(...Object.values(this.buttons));
    controls.append(label, places);
    this.sheets.at(-1).svg.after(controls);
    this.range.addEventListener("input", () => this.soon(this.range.valueAsNumber));
  }

  listen(sheet) {
    let grip = null;
    sheet.hit.addEventListener("pointerdown", (event) => {
      if (event.button !== 0) return;
      event.preventDefault();
      sheet.hit.setPointerCapture(event.pointerId);
      grip = { direction: sheet.direction(event), travel: this.travel };
    });
    sheet.hit.addEventListener("pointermove", (event) => {
      if (!grip) return;
      const turn = ((sheet.direction(event) - grip.direction + 540) % 360) - 180;
      this.soon(grip.travel + turn / sheet.turn[2]);
    });
    for (const end of ["pointerup", "pointercancel"]) sheet.hit.addEventListener(end, () => (grip = null));
  }
}

/** Make the drawings of a figure move. */
export function mount(figure, data) {
  return new Mechanism(figure, data);
}
