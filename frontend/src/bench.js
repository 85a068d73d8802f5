// The bench: the address holds what was typed, so that it can be passed on; boxes left empty are left out of it.
function dropEmpty(data) {
  for (const [name, value] of [...data.entries()]) {
    if (value === "") data.delete(name);
  }
  return data;
}

function keepInAddress(event) {
  const form = event.target.closest?.("form[data-bench]");
  if (!form) return;
  const query = new URLSearchParams(new FormData(form)).toString();
  history.replaceState(history.state, "", query ? `?${query}` : location.pathname);
}

document.addEventListener("formdata", (event) => {
  if ("bench" in event.target.dataset) dropEmpty(event.formData);
});
// On the way down, for the choice of a way does not let its event rise.
document.addEventListener("input", keepInAddress, true);
