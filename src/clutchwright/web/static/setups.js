// All setups of a study that keep its limits: held against tighter limits, and the best of what is left.
// No page is known here, so that it can be tried on its own.

const NAMES = ["pull_peak_N", "price", "hours", "slip_margin_hot", "slips", "does_not_release", "rest_span_mm"];

/** The setups of the server's data, the best first in line: of each its figures, the jobs in it, words and steps. */
export function read(data) {
  const rows = [];
  const { choices } = data.setups;
  for (let i = 0; i < choices.length; i++) {
    const row = {};
    for (const name of NAMES) row[name] = data.setups[name][i];
    const taken = choices[i];
    row.taken = [];
    for (let k = 0; k < taken.length; k++) if (taken[k]) row.taken.push(k);
    row.chosen = () => row.taken.map((k) => data.options[k].choices[taken[k] - 1]);
    rows.push(row);
  }
  for (const each of data.front) {
    rows.push({ ...each, chosen: () => each.steps.map((step, k) => ({ step, words: each.words[k] })) });
  }
  return rows.sort(
    (a, b) =>
      a.pull_peak_N - b.pull_peak_N ||
      a.price - b.price ||
      a.hours - b.hours ||
      b.slip_margin_hot - a.slip_margin_hot ||
      a.taken.length - b.taken.length,
  );
}

/** Which setups keep the limits; `left` holds the places of jobs that are not done. */
export function keeping(rows, limits) {
  return rows.map(
    (row) =>
      row.slips <= limits.slips &&
      row.does_not_release <= limits.drags &&
      row.price <= limits.money &&
      row.hours <= limits.work &&
      !(limits.left.size && row.taken.some((place) => limits.left.has(place))),
  );
}

/** Places of the setups that no other beats: in this order none is beaten by a later one. */
export function best(rows, kept) {
  const front = [];
  for (let i = 0; i < rows.length; i++) {
    if (!kept[i]) continue;
    const { price, hours, slip_margin_hot: slip, pull_peak_N: pull } = rows[i];
    const beaten = front.some((place) => {
      const other = rows[place];
      return (
        other.price <= price &&
        other.hours <= hours &&
        other.slip_margin_hot >= slip &&
        (other.pull_peak_N < pull || other.price < price || other.hours < hours || other.slip_margin_hot > slip)
      );
    });
    if (!beaten) front.push(i);
  }
  return front;
}

/** Of the best (by number in the front), those that no other beats in pull and price alone, cheapest first. */
export function stairs(rows, front) {
  const order = front.map((_, number) => number);
  order.sort((a, b) => rows[front[a]].price - rows[front[b]].price || a - b);
  let lowest = Infinity;
  return order.filter((number) => {
    const pull = rows[front[number]].pull_peak_N;
    if (pull >= lowest) return false;
    lowest = pull;
    return true;
  });
}

/** Number in the front of the cheapest that is light enough, else of the lightest; -1 for none. */
export function choose(rows, front, target) {
  let chosen = -1;
  front.forEach((place, number) => {
    const row = rows[place];
    if (!(row.pull_peak_N <= target)) return;
    const other = chosen < 0 ? null : rows[front[chosen]];
    if (!other || row.price < other.price || (row.price === other.price && row.hours < other.hours)) chosen = number;
  });
  return chosen < 0 && front.length ? 0 : chosen;
}
