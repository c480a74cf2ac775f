// The element that a template makes, for what cannot be said in the template.
// Takes what to do with it; gives a directive that does it once, and again where something else is to be done.

import { noChange } from "lit/html.js";
import { Directive, directive, type ElementPart } from "lit/directive.js";

type Take = (element: Element) => void;

export const withElement = directive(class extends Directive {
  #take: Take | null = null;

  render(_take: Take): unknown {
    return noChange;
  }

  override update({ element }: ElementPart, [take]: [Take]): unknown {
    if (take !== this.#take) {
      this.#take = take;
      take(element);
    }
    return noChange;
  }
});
