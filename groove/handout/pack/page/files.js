// The files of the pack by key, tempo, reader and mix, as they stand in the list on the page.

class Track {
  constructor(place) {
    this.tempo = place.dataset.tempo;
    this.seconds = Number(place.dataset.seconds);
    this.words = place.querySelector("h3").firstChild.textContent.trim();
    this.links = [...place.querySelectorAll("a")];
  }

  /** The links to a mix in each format; to that of the whole band where there is none such. */
  mix(name) {
    const found = this.links.filter(({ dataset }) => dataset.mix === name);
    return found.length ? found : this.links.filter(({ dataset }) => dataset.mix === "");
  }

  /** The links to the videos, each in a shape of its own. */
  get videos() {
    return this.links.filter(({ dataset }) => dataset.kind === "video");
  }

  /** The link to the cover of a shape, to another where there is none such; undefined without covers. */
  cover(shape) {
    const covers = this.links.filter(({ dataset }) => dataset.kind === "cover");
    return covers.find(({ dataset }) => dataset.shape === shape) ?? covers[0];
  }

  /** The links to covers, preview and texts. */
  get posted() {
    return this.links.filter(({ dataset }) => ["cover", "preview", "post"].includes(dataset.kind));
  }

  get midi() {
    return this.links.filter(({ dataset }) => dataset.kind === "midi");
  }
}

class Papers {
  constructor(place) {
    this.written = place.dataset.written;
    this.links = [...place.querySelectorAll("a")];
  }

  in(format) {
    return this.links.filter(({ dataset }) => dataset.format === format);
  }
}

class Key {
  constructor(place) {
    this.folder = place.id.replace("key-", "");
    this.symbol = place.dataset.key;
    this.name = place.dataset.name;
    this.papers = new Map([...place.querySelectorAll(".papers")].map((each) => [each.dataset.for, new Papers(each)]));
    this.tracks = [...place.querySelectorAll(".track")].map((each) => new Track(each));
  }
}

export class Files {
  constructor(list) {
    this.keys = [...list.querySelectorAll(".key")].map((each) => new Key(each));
  }
}
