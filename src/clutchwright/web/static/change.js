// The page of changes: what the panel says is asked for, one request at a time, and all that it answers is shown.
import { mount, update } from "./charts.js";
import { mount as mountMechanism } from "./mechanism.js";

const panel = document.getElementById("panel");
const started = JSON.parse(document.getElementById("charts").textContent);
const api = location.pathname.replace(/^\/bikes\//, "/api/bikes/").replace(/\/change$/, "/live");
const data = JSON.parse(document.getElementById("mechanism-data").textContent);
const mechanism = mountMechanism(document.getElementById("mechanism"), data);
const kept = new URLSearchParams(location.search);
kept.delete("with");

/** The changes that are switched on, each as on the command line. */
export function steps(form) {
  return [...form.querySelectorAll(".switch")]
    .filter((each) => each.querySelector("input[type=checkbox]").checked)
    .map((each) => {
      const kind = each.querySelector("input[type=checkbox]").name;
      const values = [...each.querySelectorAll(".slide input")]
        .filter((input) => input.value.trim())
        .map((input) => `${input.name.slice(kind.length + 1)}=${input.value.trim()}`);
      return values.length ? `${kind}:${values.join(",")}` : kind;
    });
}

function query(changes) {
  const wanted = new URLSearchParams(kept);
  for (const change of changes) wanted.append("with", change);
  const text = wanted.toString();
  return text ? `?${text}` : "";
}

function show(found, changes) {
  const refused = document.getElementById("refused");
  refused.hidden = !found.refused;
  refused.textContent = found.refused;
  if (found.refused) return;
  const word = document.getElementById("word");
  word.textContent = found.word;
  word.className = `word ${found.word}`;
  Object.assign(document.getElementById("short"), { textContent: found.word, className: found.word });
  document.getElementById("answer").textContent = found.answer;
  document.getElementById("reasons").replaceChildren(
    ...found.reasons.map((reason) => Object.assign(document.createElement("li"), { textContent: reason })),
  );
  for (const [key, [, now]] of Object.entries(found.numbers)) {
    for (const place of document.querySelectorAll(`[data-number="${key}"]`)) place.textContent = now;
  }
  for (const link of document.querySelectorAll("nav ul a, #whole")) link.search = query(changes);
  note(location.pathname + query(changes));
}

// Some browsers refuse an address that changes more often than ten times a second.
let noting = 0;
function note(address) {
  clearTimeout(noting);
  noting = setTimeout(() => history.replaceState(null, "", address), 250);
}

// While one request is out, only the newest wish waits: a slow line shows fewer steps, never old ones last.
let busy = false;
let waiting = false;
async function refresh() {
  if (busy) {
    waiting = true;
    return;
  }
  busy = true;
  try {
    do {
      waiting = false;
      const changes = steps(panel);
      const begun = performance.now();
      const answer = await fetch(api + query(changes));
      const found = answer.ok ? await answer.json() : { refused: (await answer.json()).error };
      show(found, changes);
      if (!found.refused) {
        mechanism.update(found.mechanism);
        await update(found.charts);
      }
      document.dispatchEvent(new CustomEvent("redrawn", { detail: { ms: performance.now() - begun } }));
    } while (waiting);
  } catch {
    show({ refused: "The workbench does not answer; is it still running, and the network there?" }, []);
  } finally {
    busy = false;
  }
}

panel.addEventListener("input", (event) => {
  const input = event.target;
  const box = input.closest(".switch")?.querySelector("input[type=checkbox]");
  const output = panel.querySelector(`output[for="${input.id}"]`);
  if (output) output.textContent = input.value;
  if (box && input !== box) box.checked = true;
  if (input === box) box.closest(".switch").querySelector("details").open = box.checked;
  refresh();
});
panel.addEventListener("submit", (event) => event.preventDefault());
panel.querySelector("button").hidden = true;

// From here on sliders move mechanism and numbers; the charts follow as soon as their renderer has come.
document.documentElement.dataset.ready = "yes";
let moved = false;
panel.addEventListener("input", () => (moved = true), { once: true });
await Promise.all(
  [...document.querySelectorAll("[data-chart]")].map((element) => {
    const name = element.dataset.chart;
    return mount(element, name, started[name].key, started[name].data);
  }),
);
if (moved) await refresh();
document.documentElement.dataset.drawn = "yes";
