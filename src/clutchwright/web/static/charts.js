// Charts that follow a slider. The page shows what the server drew until the first chart is drawn here; from then on
// new rows go into the charts that stand, and a chart is set up again only where its key or its width changes.

const LIBRARY = "/vega.js";
const PADDING = 24; // left and right of a chart together [px]
const NARROWEST = 200, WIDEST = 1600, STEP = 10; // widths that are asked for [px]

// No style element and no expression made into code: the page forbids both.
const OPTIONS = { mode: "vega", renderer: "svg", actions: false, ast: true, defaultStyle: false, tooltip: false };

const slots = new Map(); // by name of chart
const definitions = new Map(); // by address

/**
 * Put a chart into an element in place of what the server drew there.
 * @param {HTMLElement} element - as wide as the chart shall be, whatever is in it
 * @param {string} name - "pull", "force" or "travel"
 * @param {string} key - which definition shows the rows
 * @param {Object<string, Object[]>} data - rows by name
 * @returns {Promise<void>} when it is drawn; rejected where it cannot be, and then the server's picture stays
 */
export async function mount(element, name, key, data) {
  const slot = { element, name, room: room(element), wanted: { key, data }, shown: null, key: null, width: 0 };
  slots.get(name)?.watch?.disconnect();
  slots.get(name)?.result?.finalize();
  slots.set(name, slot);
  try {
    await settle(slot);
  } catch (error) {
    slots.delete(name);
    throw error;
  }
  slot.watch = new ResizeObserver(() => {
    slot.room = room(element);
    settle(slot);
  });
  slot.watch.observe(element);
}

/**
 * Show new rows. Of several calls in a hurry the last one counts.
 * @param {Object<string, {key: string, data: Object<string, Object[]>}>} charts - by name; those not mounted are left out
 * @returns {Promise<void>} when all are drawn
 */
export async function update(charts) {
  const asked = Object.entries(charts).filter(([name]) => slots.has(name));
  await Promise.all(
    asked.map(([name, chart]) => {
      const slot = slots.get(name);
      slot.wanted = chart;
      return settle(slot);
    }),
  );
}

function settle(slot) {
  slot.busy ??= draw(slot).finally(() => (slot.busy = null));
  return slot.busy;
}

async function draw(slot) {
  while (slot.shown !== slot.wanted || slot.width !== slot.room) {
    const chart = slot.wanted;
    const width = slot.room;
    if (chart.key === slot.key && width === slot.width) {
      for (const [name, rows] of Object.entries(chart.data)) slot.result.view.data(name, rows);
      await slot.result.view.runAsync();
    } else {
      await embed(slot, chart, width);
    }
    slot.shown = chart;
  }
}

async function embed(slot, chart, width) {
  const address = `/api/charts/${slot.name}/${chart.key}?width=${width}`;
  const [{ vegaEmbed }, definition] = await Promise.all([import(LIBRARY), defined(address)]);
  const holder = document.createElement("div");
  const data = definition.data.map((each) => ({ ...each, values: chart.data[each.name] }));
  const result = await vegaEmbed(holder, { ...definition, data }, OPTIONS);
  slot.result?.finalize();
  describe(slot.element);
  slot.element.replaceChildren(holder);
  Object.assign(slot, { result, key: chart.key, width });
}

/** The element is read out as one picture, in the words that came with the server's. */
function describe(element) {
  const words = element.querySelector("[aria-label]")?.getAttribute("aria-label");
  if (words && !element.hasAttribute("aria-label")) element.setAttribute("aria-label", words);
  element.setAttribute("role", "img");
}

function room(element) {
  const width = Math.floor((element.clientWidth - PADDING) / STEP) * STEP;
  return Math.min(Math.max(width, NARROWEST), WIDEST);
}

async function defined(address) {
  if (!definitions.has(address)) {
    const answer = await fetch(address);
    if (!answer.ok) throw new Error(`${address}: ${answer.status}`);
    definitions.set(address, await answer.json());
  }
  return definitions.get(address);
}
