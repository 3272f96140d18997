// Keeps what is typed on this device until the answer has arrived: through a reload, a lost network, an empty battery.
// Without it the same forms work by themselves; then nothing is lost up to the last answer that was sent.
const STORE = "clutchwright-typed:";
const FIRST_WAIT = 1000, LONGEST_WAIT = 30000;  // ms between tries
let wait = FIRST_WAIT, timer = 0, sending = false;

const form = () => document.querySelector("form.entry");
const nameOf = (entry) => STORE + new URL(entry.action).pathname + "#" + entry.dataset.key;

function read(name) {
  try {
    return JSON.parse(localStorage.getItem(name));
  } catch {
    return null;
  }
}

function keep(name, typed) {
  try {
    localStorage.setItem(name, JSON.stringify(typed));
    return true;
  } catch {
    return false;
  }
}

function tell(text) {
  document.getElementById("unsent")?.replaceChildren(text);
}

function waiting() {
  return Object.keys(localStorage).filter((name) => name.startsWith(STORE) && read(name)?.send);
}

function fieldsOf(entry, button) {
  return [...new FormData(entry, button)].filter(([, value]) => typeof value === "string");
}

// What was typed here and never arrived stands in the form again.
function restore(entry) {
  const typed = read(nameOf(entry));
  if (!typed || entry.querySelector("[aria-invalid]")) return;
  for (const [name, value] of typed.fields) {
    const field = entry.elements.namedItem(name);
    if (field && field.type !== "hidden" && field.tagName !== "BUTTON") field.value = value;
  }
}

function show(html, address) {
  const page = new DOMParser().parseFromString(html, "text/html");
  document.title = page.title;
  document.querySelector("main").replaceWith(page.querySelector("main"));
  if (address !== location.href) history.pushState(null, "", address);
  scrollTo(0, 0);
  const heading = document.querySelector("main h1");
  heading.tabIndex = -1;  // so that a reader of the screen goes on here
  heading.focus();
  begin();
}

async function send(name) {
  const typed = read(name);
  const answer = await fetch(typed.action, {
    method: "POST", body: new URLSearchParams(typed.fields), signal: AbortSignal.timeout(15000),
  });
  // 403 and 421: this program was started otherwise, or is found at another address
  if (answer.status >= 500 || answer.status === 403 || answer.status === 421) throw new Error(answer.statusText);
  const entry = form(), here = entry && nameOf(entry) === name;
  const taken = answer.redirected && /^\/(measure|bikes)\//.test(new URL(answer.url).pathname);
  if (taken) localStorage.removeItem(name);
  else keep(name, { ...typed, send: answer.redirected });  // redirected elsewhere: this device is to be let in first
  if (answer.redirected && !taken) location.assign(answer.url);
  else if (here) show(await answer.text(), taken ? answer.url : location.href);
  else if (!taken) location.assign(typed.page);
}

async function sendAll() {
  clearTimeout(timer);
  if (sending) return;
  sending = true;
  try {
    for (const name of waiting()) await send(name);
    wait = FIRST_WAIT;
    tell("");
  } catch {
    const count = waiting().length;
    tell(`Not sent yet: ${count === 1 ? "1 answer" : `${count} answers`}. Kept on this device; it goes out by itself `
      + "as soon as the workbench can be reached.");
    timer = setTimeout(sendAll, wait);
    wait = Math.min(2 * wait, LONGEST_WAIT);
  } finally {
    sending = false;
  }
}

function begin() {
  const entry = form();
  if (!entry) return;
  restore(entry);
  entry.addEventListener("input", () => {
    keep(nameOf(entry), { action: entry.action, page: location.href, fields: fieldsOf(entry), send: false });
  });
  entry.addEventListener("submit", (event) => {
    const fields = fieldsOf(entry, event.submitter);
    if (!keep(nameOf(entry), { action: entry.action, page: location.href, fields, send: true })) return;
    event.preventDefault();
    wait = FIRST_WAIT;
    sendAll();
  });
}

addEventListener("online", sendAll);
addEventListener("pageshow", sendAll);
addEventListener("popstate", () => location.hash || location.reload());
begin();
