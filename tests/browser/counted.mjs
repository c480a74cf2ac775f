// A line of the log and what it does to the answer on Piece: counted at once, then with the whole log.
// Takes a page whose log has been read; gives milliseconds from the line's being saved, and the chances of moving at all that were shown.

/** A piece just like the plan on Piece, read as having run so many mm, its firing opened by the same edit as the log does it. */
export const readAs = (page, run_mm, changes = {}) => page.evaluate(([run, other]) => {
  const { studio, plan } = window.glazefall.state;
  const { photo: _p, ...like } = studio.entries.find((one) => one.id === plan);
  const record = { ...like, id: "read-now", code: "NEW7", note: "", changed_ms: Date.now(), outcome: { run: { by: "ruler", run_mm: run, error_mm: 0.5 }, edge: "to_the_foot" }, ...other };
  const firing = studio.firings.find((one) => one.id === record.firing);
  const opened = firing ? [{ kind: "put", list: "firings", record: { ...firing, state: "opened", changed_ms: Date.now() } }] : [];
  return { kind: "many", edits: [...opened, { kind: "put", list: "entries", record }] };
}, [run_mm, changes]);

/** Makes the edit, and waits until the whole log has been read with it. */
export const countedAtOnce = (page, edit) => page.evaluate(async (asked) => {
  const { state, edit: make } = window.glazefall;
  const [before, times] = [JSON.stringify(state.answer.outcome.run_mm), state.learnedTimes];
  const since = performance.now();
  const seen = { moves: [state.answer.outcome.p_moves] };
  const kept = make(asked).then((refusal) => {
    seen.kept = performance.now() - since;
    seen.refusal = refusal;
  });
  await new Promise((done) => {
    const look = () => {
      const now = performance.now() - since;
      const { learned, answer, settled } = state;
      if (learned.counted + learned.waiting > 0) {
        seen.told ??= now;
        seen.counted ??= learned.counted;
        if (JSON.stringify(answer.outcome.run_mm) !== before) {
          seen.changed ??= now;
          if (answer.phase === "full" && seen.full === undefined) {
            seen.full = now;
            seen.moves.push(answer.outcome.p_moves);
            seen.rests = document.querySelector(".rests")?.textContent ?? "";
          }
        }
      } else if (state.learnedTimes > times && settled && answer.phase === "full" && seen.told !== undefined) {
        seen.whole = now;
        seen.moves.push(answer.outcome.p_moves);
        done();
        return;
      }
      if (seen.refusal || now > 120_000) done();
      else setTimeout(look, 2);
    };
    look();
  });
  await kept;
  return seen;
}, edit);
