// Shows what is asked for while it is typed. The server answers with the parts that follow the form; they replace ours.
"use strict";

const PARTS = ["reading", "said", "faults", "take", "numbers", "held", "view", "keep"];
const form = document.getElementById("form");
let running = null;
let waiting = 0;
let slow = 0;

function ask(button, pressed) { // a button that asks for something of its own, or none
  const posts = form.method === "post";
  const data = new FormData(form, button);
  let address = form.dataset.live;
  if (!posts) {
    const texts = [...data].filter(([, text]) => text.trim() !== "");
    address += "?" + new URLSearchParams(texts);
  }
  running?.abort(); // the last request wins
  const own = running = new AbortController();
  busy(true);
  fetch(address, { method: posts ? "POST" : "GET", body: posts ? data : undefined, signal: own.signal })
    .then((answer) => answer.text())
    .then((text) => {
      if (running !== own) return;
      put(new DOMParser().parseFromString(text, "text/html"));
      if (button && !button.isConnected) show(button.name === "skip_bad" ? "take" : "view");
      if (pressed) arrive();
    })
    .catch(async () => {
      const { changed, gone } = form.dataset;
      const why = await forgotten() ? changed : gone;
      if (running === own) lose(why); // else ended by a later one
    })
    .finally(() => { if (running === own) busy(false); });
}

async function forgotten() { // files written anew since they were chosen, which browsers read no more
  let any = false;
  for (const chosen of form.querySelectorAll("input[type=file]")) {
    for (const file of chosen.files) {
      await file.slice(0, 1).arrayBuffer().catch(() => {
        chosen.value = ""; // or the same name again would be no change
        any = true;
      });
    }
  }
  return any;
}

function arrive() { // at what has to be mended, else where the sheet is out of sight
  const link = document.querySelector("#said .missing a");
  const at = form.querySelector("[aria-invalid=true]") ?? (link && document.querySelector(link.hash));
  if (at) {
    at.focus({ preventScroll: true });
    at.closest(".field").scrollIntoView({ block: "center" });
  } else if (matchMedia("(max-width: 62rem)").matches) document.getElementById("result").scrollIntoView();
}

function show(id) { // the button that was pressed is gone, and with it the place of whoever uses the keyboard
  const part = document.getElementById(id);
  part.focus({ preventScroll: true });
  part.scrollIntoView();
}

function busy(is) {
  document.getElementById("result").setAttribute("aria-busy", is);
  clearTimeout(slow);
  const note = document.querySelector(".busy");
  note.textContent = "";
  if (is) slow = setTimeout(() => { note.textContent = note.dataset.said; }, 800); // a quick answer needs no word
}

function put(page) {
  if (!page.getElementById("said")) {
    const why = [...page.querySelectorAll("main h1, main > p")].map((one) => one.textContent).join(". ");
    lose(why || form.dataset.gone); // somebody between says something of their own
    return;
  }
  for (const id of PARTS) swap(id, page);
  const drawn = page.querySelector("#sheets svg");
  if (!age(!drawn)) swap("sheets", page);
  for (const slot of form.querySelectorAll(".error")) {
    const said = page.getElementById(slot.id)?.childNodes ?? [];
    if (said.length || slot.childNodes.length) slot.replaceChildren(...said);
    if (slot.children.length) slot.closest("details")?.setAttribute("open", ""); // no fault stays folded away
    const input = document.getElementById(slot.id.replace(/-error$/, ""));
    if (slot.children.length) input?.setAttribute("aria-invalid", "true");
    else input?.removeAttribute("aria-invalid");
    if (slot.children.length && input === document.activeElement) slot.scrollIntoView({ block: "nearest" });
  }
  for (const chosen of form.querySelectorAll("input[type=file]")) {
    if (chosen.files.length) document.querySelector(`#held [name=${chosen.name}_held]`)?.remove(); // it is sent itself
  }
  const address = document.getElementById("address");
  if (address) history.replaceState(null, "", address.href);
}

function lose(why) { // what was typed is not answered: what is shown is of before, and is not to be taken for it
  const said = document.createElement("p");
  said.className = "missing";
  said.textContent = why;
  document.getElementById("said").replaceChildren(said);
  for (const id of ["reading", "take", "keep"]) document.getElementById(id)?.replaceChildren();
  age(true);
}

function age(is) { // a sheet that is shown becomes an earlier one
  const old = is && document.querySelector("#sheets svg") !== null;
  document.getElementById("old").hidden = !old;
  document.querySelector(".zoom").classList.toggle("old", old);
  return old;
}

function swap(id, page) {
  const here = document.getElementById(id);
  const there = page.getElementById(id);
  if (here && !here.isEqualNode(there)) here.replaceChildren(...there.childNodes);
}

function soon(wait) {
  clearTimeout(waiting);
  waiting = setTimeout(ask, wait, null);
}

if (form) {
  const posts = form.method === "post";
  form.addEventListener(posts ? "change" : "input", () => soon(posts ? 0 : 200));
  form.addEventListener("submit", (event) => {
    if (event.submitter?.hasAttribute("formaction")) return; // a file to take away
    event.preventDefault();
    clearTimeout(waiting);
    const named = event.submitter?.name ? event.submitter : null;
    ask(named, !named);
  });
  document.addEventListener("dragover", (event) => event.preventDefault());
  document.addEventListener("drop", (event) => {
    const list = document.getElementById("list_file");
    event.preventDefault();
    if (!list || !event.dataTransfer.files.length) return;
    const at = event.target.closest?.("input[type=file]") ?? list;
    at.files = event.dataTransfer.files;
    soon(0);
  });
}
