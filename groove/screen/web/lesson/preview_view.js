// The previews for a student: the pages on paper and the practice page, for one reader or instrument.

import { html } from "../../practice/screen/svg.js";
import { say, wordsAt } from "../../practice/music/words.js";
import { chosen } from "./preview_choice.js";
import { PracticePreview } from "./preview_practice.js";
import { PrintedPreview } from "./preview_printed.js";

export class PreviewView {
  /** element: where it stands. context: what all parts share, see parts.js. */
  constructor(element, context) {
    const audience = chosen("for", say("preview.audience"), wordsAt("preview.audiences"), () => {
      this.printed.refresh();
      this.practice.refresh();
    });
    const forWhom = () => audience.value;
    this.printed = new PrintedPreview(context, forWhom);
    this.practice = new PracticePreview(context, forWhom);
    const heading = html("h2", { tabindex: "-1" }, say("preview.heading"));
    document.getElementById("to-preview").addEventListener("click", () => {
      heading.scrollIntoView({ block: "start" });
      heading.focus({ preventScroll: true });
    });
    element.append(
      heading,
      html("p", { class: "hint" }, say("preview.help")),
      html("div", { class: "fields" }, audience.element),
      this.printed.element,
      this.practice.element,
    );
  }

  /** Shows a state of the form. */
  show(now) {
    this.printed.show(now);
    this.practice.show(now);
  }

  /** Called each time the part becomes visible. */
  opened() {
    this.printed.opened();
    this.practice.opened();
  }
}
