// The page of the compromises: limits drawn tighter are answered at once from the setups that are kept.
import { best, choose, keeping, read, stairs } from "./setups.js";

const form = document.getElementById("limits");
const charts = [...document.querySelectorAll("svg.compromise")].map(drawn);
const field = (name) => form.elements[name];
const ticks = [...form.querySelectorAll("[name=jobs]")];
const worth = Number(form.dataset.worth); // of the unit of force, N
const decimals = Math.ceil(Math.log10(worth));

const newton = (pull) => `${(pull / worth).toFixed(decimals)}\u00a0${form.dataset.force}`;
const short = (number) => `${Number(number.toPrecision(6))}`;
const hours = (number) => `${short(number)}\u00a0h`;
const money = (price) => (price ? `${short(price)} of money` : "nothing");
const share = (part) => {
  if (part === 0 || part === 1) return part ? "all" : "none";
  const text = (part * 100).toFixed(0);
  return `${{ 0: "under\u00a01", 100: "over\u00a099" }[text] ?? text}\u00a0%`;
};
const lengthWorth = Number(form.dataset.lengthWorth); // of the unit of length, mm
const length = (mm) => `${(mm / lengthWorth).toFixed(Math.ceil(Math.log10(lengthWorth)))}\u00a0${form.dataset.length}`;
const what = (row) => row.chosen().map((each) => each.words).join("; ") || "nothing changed";
const slip = (row) => row.slip_margin_hot.toFixed(2);

function link(base, row, target) {
  const url = new URL(base, location);
  for (const each of row.chosen()) url.searchParams.append("with", each.step);
  if (target) url.searchParams.set("target", target);
  return url.pathname + url.search;
}

function made(tag, properties, ...children) {
  const found = Object.assign(document.createElement(tag), properties);
  found.append(...children);
  return found;
}

function draw(tag, attributes, ...children) {
  const found = document.createElementNS("http://www.w3.org/2000/svg", tag);
  for (const [name, value] of Object.entries(attributes)) found.setAttribute(name, value);
  found.append(...children);
  return found;
}

/** One of the two drawings, with its scales. */
function drawn(svg) {
  const scale = (text) => {
    const [low, high, start, end] = text.split(" ").map(Number);
    const at = (value) => Math.round((start + ((value - low) / (high - low)) * (end - start)) * 10) / 10;
    return Object.assign(at, { end: Math.max(start, end) });
  };
  const sizes = svg.dataset.sizes.split(",").map((size) => size.split(" ").map(Number));
  return { svg, x: scale(svg.dataset.x), y: scale(svg.dataset.y), sizes };
}

const goOn = (row, target) => [
  ...(row.taken.length ? [made("a", { href: link(form.dataset.plan, row, target) }, "make it the plan"), " "] : []),
  made("a", { href: link(form.dataset.see, row) }, "see it"),
];

/** What the form asks for now. */
function wanted() {
  const number = (name, otherwise) => (field(name).value === "" ? otherwise : Number(field(name).value));
  return {
    target: number("target", NaN),
    slips: number("slips_percent", 0) / 100,
    drags: number("drags_percent", 0) / 100,
    money: number("money", Infinity),
    work: number("work", Infinity),
    jobs: new Set(ticks.filter((tick) => tick.checked).map((tick) => tick.value)),
    catalogue: field("catalogue").value,
    hand: field("hand").value,
  };
}

/** Why the kept setups cannot answer; empty where they can. */
function beyond(now, asked, data) {
  if (now.catalogue !== asked.catalogue) return "Another catalogue has to be gone through";
  if (now.hand !== asked.hand) return "Another hand has to be tried on all setups";
  const more = [...now.jobs].some((job) => !asked.jobs.has(job));
  if (more || now.slips > asked.slips || now.drags > asked.drags) return "Looser limits let setups in that were not kept";
  const telling = 10 / Math.min(now.slips || 0.01, now.drags || 0.01);
  if (telling > data.samples + 1e-6) return "So small a share can be told only by more possible bikes";
  const less = now.jobs.size < asked.jobs.size || now.slips < asked.slips || now.drags < asked.drags;
  if (less && !data.whole) return "There are too many setups to keep them all";
  if (less && data.ranges) return "Only values tried before count here; some between them may be a little lighter";
  return "";
}

function page(data) {
  const rows = read(data);
  const names = data.options.map((option) => option.name);
  const asked = wanted();
  const { sizes } = charts[0];
  const size = (row) => sizes.findIndex(([most]) => row.hours <= most);
  const today = document.querySelector("#front .now");
  const [first] = document.getElementById("choice").children;
  let kept = rows.map(() => true);
  let front = best(rows, kept);

  function aim(chart, target) {
    const group = chart.svg.querySelector(".target");
    const [path, words] = group.children;
    const y = chart.y(target);
    const inside = y > 0 && y < chart.y.end;
    group.setAttribute("display", inside ? "inline" : "none");
    if (!inside) return;
    path.setAttribute("d", path.getAttribute("d").replace(/ [\d.-]+H/, ` ${y}H`));
    words.setAttribute("y", y - 5);
    words.textContent = `wanted ${target.toFixed(0)}`;
  }

  function dots(chart, steps) {
    const paths = sizes.map(() => []);
    const fallen = [];
    rows.forEach((row, i) => {
      const dot = `M${chart.x(row.price)} ${chart.y(row.pull_peak_N)}h0`;
      (kept[i] ? paths[size(row)] : fallen).push(dot);
    });
    chart.svg.querySelectorAll(".dots path").forEach((path, i) => path.setAttribute("d", paths[i].join("")));
    chart.svg.querySelector(".fallen path").setAttribute("d", fallen.join(""));
    const corners = steps.map((n) => [chart.x(rows[front[n]].price), chart.y(rows[front[n]].pull_peak_N)]);
    const line = corners.map(([x, y], i) => (i ? `H${x}V${y}` : `M${x} ${y}`)).join("");
    chart.svg.querySelector(".joined").setAttribute("d", line);
    chart.svg.querySelector(".marks").replaceChildren(...front.map((place, n) => mark(chart, rows[place], n, steps)));
  }

  function mark(chart, row, n, steps) {
    const [x, y, r] = [chart.x(row.price), chart.y(row.pull_peak_N), sizes[size(row)][2] / 2];
    const numbered = steps.includes(n);
    const words = `No. ${n + 1}: ${newton(row.pull_peak_N)}, price ${short(row.price)}, ${short(row.hours)} hours`;
    return draw(
      "a",
      { href: link(form.dataset.see, row), "data-place": n, "aria-label": words },
      draw("circle", { cx: x, cy: y, r, ...(numbered ? { class: "first" } : {}) }),
      ...(numbered ? [draw("text", { x: x - r - 3, y: y + r + 9, "text-anchor": "end" }, `${n + 1}`)] : []),
    );
  }

  function table(shown, target) {
    const headings = [...document.querySelectorAll("#front thead th")].map((th) => th.textContent);
    const lines = shown.map((n) => {
      const row = rows[front[n]];
      const numbers = [
        newton(row.pull_peak_N), short(row.price), hours(row.hours), slip(row),
        share(row.slips), share(row.does_not_release),
        ...(headings.includes("Rest span") ? [length(row.rest_span_mm)] : []),
      ];
      const name = made("th", { scope: "row" }, `no.\u00a0${n + 1}`);
      name.setAttribute("role", "rowheader");
      const line = made("tr", {}, name);
      line.setAttribute("role", "row");
      [...numbers, what(row), goOn(row, target)].forEach((cell, k) => {
        const kind = k < numbers.length ? "number" : k === numbers.length ? "what" : "go";
        const td = made("td", { className: kind }, ...[cell].flat());
        td.setAttribute("role", "cell");
        td.dataset.heading = headings[k + 1];
        line.append(td);
      });
      return line;
    });
    document.querySelector("#front tbody").replaceChildren(...lines, today);
  }

  function say(chosen, target) {
    document.getElementById("word").textContent = front.length === 1 ? "1 best setup" : `${front.length} best setups`;
    const row = rows[front[chosen]];
    const within = data.loosened ? "Of those that make nothing worse" : "With these limits";
    let text = `${within} no combination is left.`;
    let tone = "unsafe";
    if (row) {
      const found = `${newton(row.pull_peak_N)} for ${money(row.price)} and ${hours(row.hours)} (no. ${chosen + 1}).`;
      const enough = row.pull_peak_N <= target;
      tone = !data.loosened && (enough || Number.isNaN(target)) ? "sound" : "marginal";
      text = enough
        ? `${within}, the cheapest that gets down to ${newton(target)}: ${found}`
        : Number.isNaN(target)
          ? `${within}, the lightest: ${found}`
          : `${within} none gets down to ${newton(target)}; the lightest: ${found}`;
    }
    document.getElementById("word").className = `word ${tone}`;
    document.getElementById("answer").textContent = text;
    document.getElementById("choice").replaceChildren(
      first,
      ...(row ? [made("li", {}, `No. ${chosen + 1}: ${what(row)}.`)] : []),
    );
    document.getElementById("words").textContent = `Of ${rows.length} setups kept, ${kept.filter(Boolean).length} keep these limits.`;
  }

  /** Where the bike as it stands misses the limits, what makes nothing worse counts. */
  function eased(now) {
    if (!data.loosened) return {};
    return { slips: Math.max(now.slips, data.loosened.slips), drags: Math.max(now.drags, data.loosened.does_not_release) };
  }

  function weigh() {
    const now = wanted();
    const left = new Set(names.map((name, k) => (now.jobs.has(name) ? -1 : k)).filter((k) => k >= 0));
    kept = keeping(rows, { ...now, ...eased(now), left });
    front = best(rows, kept);
    const steps = stairs(rows, front);
    const chosen = choose(rows, front, now.target);
    for (const chart of charts.filter(({ svg }) => svg.checkVisibility())) {
      dots(chart, steps);
      aim(chart, now.target);
    }
    table([...new Set([...steps, ...(chosen < 0 ? [] : [chosen])])].sort((a, b) => a - b), field("target").value);
    say(chosen, now.target);
    const note = document.getElementById("rerun");
    const why = beyond(now, asked, data);
    note.hidden = !why;
    note.textContent = why && `${why}: have it worked out below.`;
  }

  return { rows, weigh, sound: () => kept, front: () => front };
}

/** Which setup is meant: told beside the picture, with a ring around it. */
function pointing(found) {
  const { rows } = found;
  const order = rows.map((_, i) => i).sort((a, b) => rows[a].price - rows[b].price || rows[a].pull_peak_N - rows[b].pull_peak_N);
  let here = -1;

  function tell(i) {
    here = i;
    const row = rows[i];
    const figures = `${newton(row.pull_peak_N)} for ${money(row.price)} and ${hours(row.hours)}`;
    const odds = `Slip margin worn and hot ${slip(row)}; ${share(row.slips)} slip, ${share(row.does_not_release)} do not release.`;
    document.getElementById("setup").replaceChildren(
      made("p", { className: "figures" }, figures),
      made("p", {}, `${what(row)}. ${odds}`),
      made("p", {}, ...goOn(row, field("target").value)),
    );
    for (const { svg, x, y } of charts) {
      const ring = svg.querySelector(".here");
      ring.setAttribute("cx", x(row.price));
      ring.setAttribute("cy", y(row.pull_peak_N));
    }
  }

  function near(chart, event) {
    const box = chart.svg.getBoundingClientRect();
    const zoom = chart.svg.viewBox.baseVal.width / box.width;
    const [px, py] = [(event.clientX - box.left) * zoom, (event.clientY - box.top) * zoom];
    let [place, least] = [-1, 28 ** 2];
    const kept = found.sound();
    const marked = new Set(found.front());
    rows.forEach((row, i) => {
      // a mark covers the dots that lie under it
      const nearer = marked.has(i) ? chart.sizes[0][2] ** 2 : 0;
      const far = (chart.x(row.price) - px) ** 2 + (chart.y(row.pull_peak_N) - py) ** 2 - nearer;
      if (kept[i] && far < least) [place, least] = [i, far];
    });
    return place;
  }

  function step(by) {
    const kept = found.sound();
    const sound = order.filter((i) => kept[i]);
    if (!sound.length) return;
    const at = sound.indexOf(here);
    tell(sound[at < 0 ? 0 : Math.min(Math.max(at + by, 0), sound.length - 1)]);
  }

  for (const chart of charts) {
    const meet = (event) => {
      const place = near(chart, event);
      if (place >= 0 && place !== here) tell(place);
    };
    chart.svg.addEventListener("pointermove", (event) => event.pointerType === "mouse" && meet(event));
    // a tap tells first; the links below the picture lead on
    chart.svg.addEventListener("click", (event) => {
      if (event.detail === 0) return;
      event.preventDefault();
      meet(event);
    });
    chart.svg.addEventListener("focusin", (event) => {
      const mark = event.target.closest("a");
      if (!mark || !mark.matches(":focus-visible")) return;
      const circle = mark.querySelector("circle");
      const [x, y] = [Number(circle.getAttribute("cx")), Number(circle.getAttribute("cy"))];
      const kept = found.sound();
      const place = rows.findIndex((row, i) => kept[i] && chart.x(row.price) === x && chart.y(row.pull_peak_N) === y);
      if (place >= 0) tell(place);
    });
    chart.svg.addEventListener("keydown", (event) => {
      const by = { ArrowRight: 1, ArrowUp: 1, ArrowLeft: -1, ArrowDown: -1 }[event.key];
      if (!by) return;
      event.preventDefault();
      step(by);
    });
  }
}

/** A slider beside each number: from nothing, or the pull that can be had, to what was asked for or occurs. */
function sliders({ rows }) {
  const most = (name) => Math.max(...rows.map((row) => row[name]));
  const pulls = rows.map((row) => row.pull_peak_N);
  /** A round step, about a hundredth of the range: 1, 2 or 5 times a power of ten. */
  const step = (value) => {
    const power = 10 ** Math.floor(Math.log10(Math.max(value / 100, 0.1)));
    return [5, 2, 1].map((times) => times * power).find((each) => each <= Math.max(value / 100, 0.1));
  };
  const dearest = step(most("price"));
  const ranges = {
    target: [Math.floor(Math.min(...pulls)), Math.ceil(Math.max(...pulls)), 1],
    slips_percent: [0, Math.max(2 * Number(field("slips_percent").value), 1), 0.1],
    drags_percent: [0, Math.max(2 * Number(field("drags_percent").value), 1), 0.1],
    money: [0, Math.ceil(most("price") / dearest) * dearest, dearest],
    work: [0, Math.ceil(most("hours")), 0.1],
  };
  for (const [name, [min, max, by]] of Object.entries(ranges)) {
    const number = field(name);
    const slider = made("input", { type: "range", min, max, step: by });
    slider.value = number.value === "" ? max : number.value;
    slider.setAttribute("aria-label", document.querySelector(`label[for=${name}]`).textContent);
    number.before(slider);
    slider.addEventListener("input", () => { number.value = slider.value; });
    number.addEventListener("input", () => { slider.value = number.value === "" ? max : number.value; });
  }
}

/** The address holds what is to be spent, so that one comes back to it. */
function remember() {
  const url = new URL(location);
  for (const name of ["money", "work"]) {
    if (field(name).value === "") url.searchParams.delete(name);
    else url.searchParams.set(name, field(name).value);
  }
  history.replaceState(history.state, "", url);
}

const answer = await fetch(`/api/jobs/${form.dataset.job}/setups`);
if (answer.ok) {
  const found = page(await answer.json());
  sliders(found);
  pointing(found);
  form.addEventListener("input", found.weigh);
  form.addEventListener("change", remember);
  form.addEventListener("input", () => addEventListener("resize", found.weigh), { once: true });
  form.dataset.ready = "yes";
}
