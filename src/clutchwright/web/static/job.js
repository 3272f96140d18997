// A study that waits or runs: asked after, until it is over and the page shows what came of it.
const job = document.getElementById("job");
const told = document.getElementById("told");
const bar = document.getElementById("bar");
const seconds = document.getElementById("seconds");

const capital = (text) => text.charAt(0).toUpperCase() + text.slice(1);

async function look() {
  let found;
  try {
    const answer = await fetch(`/api/jobs/${job.dataset.id}`);
    if (answer.status === 401 || answer.status === 404) {
      location.reload(); // to be let in first, or no longer there: the page says which
      return;
    }
    if (!answer.ok) throw new Error(answer.statusText);
    found = await answer.json();
  } catch {
    told.textContent = "The workbench does not answer; it is asked again.";
    setTimeout(look, 3000);
    return;
  }
  if (found.state !== "waiting" && found.state !== "running") {
    location.reload();
    return;
  }
  const words = found.what ? `${capital(found.what)}.` : found.state === "waiting" ? "Waiting." : "Getting ready.";
  if (told.textContent !== words) told.textContent = words;
  if (found.total) {
    bar.max = found.total;
    bar.value = found.done;
  }
  seconds.textContent = `${found.total ? `${found.done} of ${found.total}, ` : ""}${found.seconds} s`;
  setTimeout(look, 500);
}

look();
