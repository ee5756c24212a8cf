// Choosing bars by mouse: from the bar where it is pressed to the one where it is let go.

export class Drag {
  #from = null; // the bar where the mouse is pressed
  #has = false; // whether it has reached another bar

  constructor(chart) {
    this.chart = chart;
    this.before = null; // the bar that had the focus before the press
    this.isOver = false; // whether the click that comes ends a choice
    chart.place.addEventListener("pointerdown", (event) => this.#press(event), true);
    chart.place.addEventListener("pointerover", (event) => this.#reach(event));
    document.addEventListener("pointerup", () => this.#end());
  }

  #press(event) {
    this.before = this.chart.current;
    this.isOver = this.#has = false;
    const isMeant = event.pointerType === "mouse" && event.button === 0 && !event.shiftKey && event.target.closest(".bar-button");
    this.#from = isMeant ? this.chart.cellAt(event.target) : null;
  }

  #reach(event) {
    const cell = this.#from && this.chart.cellAt(event.target);
    if (!cell || cell.isNew || (cell === this.#from && !this.#has)) return;
    if (!this.#has) this.chart.selection.clear();
    this.#has = true;
    this.chart.selection.extendTo(cell, this.#from);
  }

  #end() {
    this.isOver = this.#has;
    this.#from = null;
  }
}
