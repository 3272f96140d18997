// The jobs to tick are those of the list that is chosen: another list is another page, with the same wishes.
const form = document.getElementById("limits");

form?.elements.catalogue.addEventListener("change", () => {
  const url = new URL(form.action);
  for (const name of ["catalogue", "hand", "target", "slips_percent", "drags_percent", "money", "work"]) {
    const { value } = form.elements[name];
    if (value === "") url.searchParams.delete(name);
    else url.searchParams.set(name, value);
  }
  location.assign(url);
});
