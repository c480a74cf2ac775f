// How much room an element has: the core draws at that width.
// Takes what to do with a width; gives a directive for the element.

import { ref } from "lit/directives/ref.js";
import type { DirectiveResult } from "lit/directive.js";

const takers = new WeakMap<Element, (width: number) => void>();
const seen = new ResizeObserver((entries) => {
  for (const { target, contentRect } of entries) {
    const width = Math.floor(contentRect.width);
    if (width > 0) takers.get(target)?.(width);
  }
});

/** Calls `take` with the element's width, CSS px, once it is laid out and whenever it changes. */
export const room = (take: (width: number) => void): DirectiveResult =>
  ref((element) => {
    if (!element) return;
    const known = takers.has(element);
    takers.set(element, take);
    if (!known) seen.observe(element);
  });
