// Naming a plan and making another.
// Takes the app; opens a form over the page.

import type { App } from "../../app.ts";
import type { Entry } from "../../core/types.ts";

export function renamePlan(app: App, entry: Entry): void {
  app.openDialog({
    title: "Name of this plan",
    fields: [
      { key: "name", label: "Name", type: "text", wide: true },
      { key: "note", label: "Note", type: "area", wide: true },
    ],
    values: { name: entry.name, note: entry.note },
    submit: "Keep",
    save: async ({ name = "", note = "" }) => {
      app.piece.change("another name", (one) => ({ ...one, name, note }));
      return null;
    },
  });
}

export function makePlan(app: App): void {
  const from = app.plan();
  app.openDialog({
    title: "New plan",
    fields: [
      { key: "name", label: "Name", type: "text", wide: true },
      { key: "from", label: "Start from", type: "choice", options: [...(from ? [[from.id, `a copy of ${from.name || from.code}`] as [string, string]] : []), ["", "one bare pot"]] },
    ],
    values: { name: "", from: from?.id ?? "" },
    submit: "Make it",
    save: async ({ name = "", from: chosen }) => {
      await app.piece.newPlan(chosen ? from : null, name.trim() || "New plan");
      return null;
    },
  });
}
