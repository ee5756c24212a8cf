// The keys in the chart: on a bar, and in the text field that a bar is turned into.

export class BarKeys {
  constructor(chart) {
    this.chart = chart;
    chart.place.addEventListener("keydown", (event) => this.#press(event));
  }

  #press(event) {
    const cell = this.chart.cellAt(event.target);
    if (!cell || event.isComposing || event.altKey) return;
    const isDone = cell.isOpen ? this.#inField(event, cell) : this.#onBar(event, cell);
    if (isDone) event.preventDefault();
  }

  /** A key on a bar; returns whether it means something here. */
  #onBar(event, cell) {
    const { key } = event;
    const isCommand = event.ctrlKey || event.metaKey;
    if (isCommand) return this.#command(event, cell);
    const to = this.#aim(key, cell);
    if (to !== undefined) return this.#walk(to, event.shiftKey);
    if (key === "Delete" || key === "Backspace") return this.#clear(key);
    if (key === "F2") return this.#edit(cell);
    if (key === "Escape") return this.#letGo();
    if (key.length === 1 && key !== " ") this.chart.edit(cell, ""); // the key itself comes to the field after this
    return false;
  }

  #edit(cell) {
    this.chart.edit(cell);
    return true;
  }

  #letGo() {
    const { selection } = this.chart;
    if (!selection.isSeveral) return false;
    selection.clear();
    return true;
  }

  #command({ key, shiftKey }, cell) {
    if (key === "Enter") this.chart.insertBeside(cell, shiftKey);
    else if (key === "a") this.chart.selection.all(this.chart.placeOf(cell).section);
    else return false;
    return true;
  }

  /** The bar to which a key leads, null beyond the chart, undefined for other keys. */
  #aim(key, cell) {
    const { chart } = this;
    if (key === "ArrowLeft") return chart.beside(cell, -1);
    if (key === "ArrowRight") return chart.beside(cell, 1);
    if (key === "ArrowUp") return chart.inNextLine(cell, -1);
    if (key === "ArrowDown") return chart.inNextLine(cell, 1);
    if (key === "Home") return chart.allCells[0];
    if (key === "End") return chart.allCells.at(-1);
    return undefined;
  }

  #walk(to, isChoosing) {
    if (!to) return true;
    if (isChoosing) {
      this.chart.selection.extendTo(to);
    } else {
      this.chart.selection.clear();
      this.chart.goTo(to);
    }
    return true;
  }

  /** Empties the chosen bars; the back key removes those that are empty. */
  #clear(key) {
    const { chart } = this;
    const range = chart.selection.range;
    if (!range || range.count < 1) return true;
    const { section, bar, count } = range;
    const areEmpty = section.cells.slice(bar, bar + count).every((cell) => cell.isEmpty);
    if (!areEmpty) {
      chart.empty(section, bar, count);
    } else if (key === "Backspace") {
      chart.selection.clear();
      chart.goTo(chart.remove(section, bar, count));
    }
    return true;
  }

  /** A key in the text field of a bar; returns whether it means something here. */
  #inField(event, cell) {
    const { key, shiftKey } = event;
    const isCommand = event.ctrlKey || event.metaKey;
    if (key === "Enter" && isCommand) return this.#insert(cell, shiftKey);
    if (key === "Enter") return this.#goOn(cell, () => this.chart.beside(cell, 1));
    if (key === "Tab") return this.#tab(cell, shiftKey ? -1 : 1);
    if (key === "Escape") return this.#takeBack(cell);
    if (key === "ArrowUp") return this.#goOn(cell, () => this.chart.inNextLine(cell, -1));
    if (key === "ArrowDown") return this.#goOn(cell, () => this.chart.inNextLine(cell, 1));
    if (key === "Backspace" && cell.field.value === "") return this.#removeEmpty(cell);
    if (isCommand && key === "z" && cell.isTyped) return this.#takeBack(cell);
    return false;
  }

  #insert(cell, isBefore) {
    this.chart.insertBeside(this.#keep(cell), isBefore);
    return true;
  }

  /** Keeps what is typed; a new bar is one of the bars at once. Returns the bar. */
  #keep(cell) {
    const isAdded = cell.isNew && cell.field.value.trim() !== "";
    if (isAdded) this.chart.placeOf(cell).section.addBar();
    cell.close();
    return cell;
  }

  /** Keeps what is typed and goes on to another bar; aim: finds it afterwards. */
  #goOn(cell, aim) {
    this.#keep(cell);
    const next = aim();
    if (next) this.chart.edit(next);
    else this.chart.goTo(cell);
    return true;
  }

  /** The Tab key leaves the chart before its first bar and after its last. */
  #tab(cell, way) {
    const isLast = cell.isNew && cell.field.value.trim() === "";
    if (!this.chart.beside(cell, way) && (way < 0 || isLast)) return false;
    return this.#goOn(cell, () => this.chart.beside(cell, way));
  }

  #takeBack(cell) {
    cell.takeBack();
    this.chart.goTo(cell);
    return true;
  }

  #removeEmpty(cell) {
    const { section, bar } = this.chart.placeOf(cell);
    const before = section.places[Math.max(0, bar - 1)];
    cell.takeBack();
    if (!cell.isNew && section.cells.length > 1) this.chart.remove(section, bar, 1);
    const to = before === cell ? section.places[bar] : before;
    this.chart.edit(to);
    return true;
  }
}
