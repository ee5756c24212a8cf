// The student's choice of key, tempo, players and reader: the address's, else the last one on this
// device, else the teacher's. Where the browser keeps nothing it lasts while the page is open.

const NAME = "groove overview";
const FIELDS = ["key", "tempo", "mix", "reader"];

export class Choice {
  #form;
  #files;
  #name;
  #show;

  /** show: called after each change. */
  constructor(form, files, title, show) {
    this.#form = form;
    this.#files = files;
    this.#name = `${NAME} ${JSON.stringify(title)}`;
    this.#show = show;
    form.hidden = !form.elements.length;
    form.addEventListener("submit", (event) => event.preventDefault());
    form.addEventListener("change", () => {
      this.#keep();
      show();
    });
    addEventListener("hashchange", () => this.#read(this.#asked()) && show());
  }

  begin() {
    this.#read(this.#kept());
    this.#read(this.#asked());
    this.#show();
  }

  get key() {
    return this.#files.keys.find(({ folder }) => folder === this.#value("key")) ?? this.#files.keys[0];
  }

  get track() {
    const { tracks } = this.key;
    return tracks.find(({ tempo }) => tempo === this.#value("tempo")) ?? tracks[0];
  }

  get reader() {
    return this.#value("reader") ?? [...this.key.papers.keys()][0];
  }

  get mix() {
    return this.#value("mix") ?? "";
  }

  #value(name) {
    return this.#form.elements.namedItem(name)?.value;
  }

  /** Sets the fields that a choice names, each to a value that it has; returns whether one was named. */
  #read(values) {
    const named = FIELDS.filter((name) => typeof values[name] === "string");
    for (const name of named) {
      for (const choice of this.#form.querySelectorAll(`[name=${name}], [name=${name}] option`)) {
        if (choice.value !== values[name]) continue;
        choice[choice.localName === "option" ? "selected" : "checked"] = true;
      }
    }
    return named.length > 0;
  }

  /** The choice in the address, "#key=Eb&tempo=80&for=Bb&mix=without-bass". */
  #asked() {
    const said = new URLSearchParams(location.hash.slice(1));
    const key = this.#files.keys.find(({ symbol }) => symbol.toLowerCase() === said.get("key")?.toLowerCase());
    return {
      key: key?.folder,
      tempo: said.get("tempo"),
      mix: said.has("mix") ? `_${said.get("mix")}` : null,
      reader: said.get("for"),
    };
  }

  #kept() {
    try {
      return JSON.parse(localStorage.getItem(this.#name)) ?? {};
    } catch {
      return {}; // no storage, or nonsense in it
    }
  }

  #keep() {
    try {
      const values = FIELDS.map((name) => [name, this.#value(name)]);
      localStorage.setItem(this.#name, JSON.stringify(Object.fromEntries(values)));
    } catch {
      // no storage
    }
  }
}
