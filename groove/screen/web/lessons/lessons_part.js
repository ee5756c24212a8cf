// The part of the page for the lessons of the folder.

export class LessonsPart {

  /** context: what all parts share, see parts.js. */
  constructor(context) {
    Object.assign(this, context);
  }

  /** Shows a state of the form. */
  show() {}

  /** Called each time the part becomes visible. */
  opened() {}
}
