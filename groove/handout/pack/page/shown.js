// Shows the papers, files and practice plan of the key and tempo that are chosen.

/** A sentence with its names filled in. */
export function filled(sentence, names) {
  return sentence.replace(/\{(\w+)\}/g, (_, name) => names[name] ?? "");
}

/** The practice page's settings in its address: a key and a tempo, and for whom it is written. */
export function asked(key, tempo, reader) {
  return `key=${encodeURIComponent(key.symbol)}&tempo=${tempo}${reader === "C" ? "" : `&for=${reader}`}`;
}

export function showChart(picture, papers, alt) {
  const [{ href }] = papers.in("svg");
  const image = picture.querySelector("img");
  image.alt = alt;
  if (picture.href === href) return;
  picture.href = href;
  image.src = href;
}

export function showTaken(list, track, papers, mix) {
  const links = [...track.mix(mix), ...papers.in("pdf"), ...track.midi, ...papers.in("musicxml")];
  list.replaceChildren(...links.map((link) => copyOf(link)));
}

function copyOf(link) {
  const entry = link.closest("li").cloneNode(true);
  entry.querySelector("a").removeAttribute("aria-label"); // there is one key and tempo here
  return entry;
}

/**
 * Puts the sentences of a key's plan into the plan on the page; its steps are the same in every key.
 * page: a link to the practice page.
 */
export function showPlan(place, { sentences, plans, words }, key, reader, page) {
  const plan = plans[`${key.folder} ${reader}`];
  if (!place || !plan) return;
  const said = (numbers) => numbers.map((number) => sentences[number]);
  place.querySelector("#plan-session").textContent = said(plan.session).join(" ");
  place.querySelector("#plan-tempo").textContent = said(plan.tempo).join(" ");
  for (const [number, entry] of [...place.querySelectorAll("li")].entries()) {
    const parts = entry.querySelectorAll(".minutes, strong, .task, .listen");
    for (const [part, sentence] of said(plan.steps[number]).entries()) parts[part].textContent = sentence;
  }
  const rungs = place.querySelector("#plan-rungs");
  rungs.replaceChildren(...plan.ladder.flatMap((tempo) => [rung(page, key, tempo, reader, words), " "]));
}

function rung(page, key, tempo, reader, words) {
  const link = document.createElement("a");
  link.href = page.href;
  link.hash = asked(key, tempo, reader);
  link.setAttribute("aria-label", filled(words.rung, { tempo }));
  link.textContent = tempo;
  return link;
}
