// Times the solver's bare wasm module under node. Takes its file; prints one JSON line per accuracy. The profile is made beforehand, as for every rival.

import { readFileSync } from "node:fs";

const module = new WebAssembly.Module(readFileSync(process.argv[2]));
// What the module would ask of a page is never called here.
const imports = {};
for (const { module: from, name } of WebAssembly.Module.imports(module)) {
  (imports[from] ??= {})[name] = () => 0;
}
const { jar_run_m } = new WebAssembly.Instance(module, imports).exports;
for (const accuracy of [1e-4, 3e-4, 1e-3, 3e-3, 1e-2]) {
  let best = Infinity, run_m = 0;
  for (let batch = 0; batch < 12; batch++) {
    // The processor's time over some solves: its clock is coarse, and others may be at work on this machine.
    const solves = 20, start = process.cpuUsage();
    for (let i = 0; i < solves; i++) run_m = jar_run_m(accuracy);
    const { user, system } = process.cpuUsage(start);
    best = Math.min(best, (user + system) / 1e3 / solves);
  }
  console.log(JSON.stringify({ accuracy, ms: best, run_m }));
}
