// Reads one problem a line, {"id", "lp"}, from standard input and writes one
// answer a line, {"id", "status", "objective", "columns"}; two at a time.
// The problem is in CPLEX LP format. Seconds a problem: the first argument.
import { Worker, isMainThread, parentPort, workerData } from "node:worker_threads";
import { createRequire } from "node:module";

const seconds = Number(process.argv[2] ?? 20);

if (isMainThread) {
  let text = "";
  for await (const chunk of process.stdin) text += chunk;
  const lines = text.split("\n").filter(Boolean);
  let next = 0;
  const start = () => {
    const worker = new Worker(new URL(import.meta.url), { argv: process.argv.slice(2) });
    worker.on("message", (answer) => {
      if (answer) process.stdout.write(JSON.stringify(answer) + "\n");
      if (next < lines.length) worker.postMessage(lines[next++]);
      else worker.terminate();
    });
    worker.on("error", (e) => { console.error(e); process.exit(1); });
  };
  for (let k = 0; k < 2; k++) start();
} else {
  const load = createRequire(import.meta.url)("highs");
  let solver = await load();
  parentPort.on("message", async (line) => {
    const { id, lp } = JSON.parse(line);
    let answer;
    try {
      const s = solver.solve(lp, { mip_rel_gap: 1e-6, mip_abs_gap: 1e-9, time_limit: seconds });
      const columns = {};
      for (const [name, c] of Object.entries(s.Columns ?? {})) if (c.Primal) columns[name] = c.Primal;
      answer = { id, status: s.Status, objective: s.ObjectiveValue, columns };
    } catch (e) { // the solver gave up: a fresh one for what follows, and the problem counts as not proven
      answer = { id, status: "error: " + e.message };
      solver = await load();
    }
    parentPort.postMessage(answer);
  });
  parentPort.postMessage(null);
}
