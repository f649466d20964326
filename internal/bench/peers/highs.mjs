// Solves one programme with HiGHS, one thread, and writes one JSON object.
// Arguments: the folder that holds the package, the programme in MPS, seconds of processor time.
import { createRequire } from "node:module";
import { readFileSync } from "node:fs";
import { resolve } from "node:path";

const [folder, file, limit] = process.argv.slice(2);
const seconds = Number(limit);
const spent = () => { const { user, system } = process.cpuUsage(); return (user + system) / 1e6; };

const load = createRequire(resolve(folder, "package.json"))("highs");
const highs = await load();
const answer = highs.withModel({ format: "mps", data: readFileSync(file) }, (model) => {
  // The solver's own limit is of wall time; it only keeps a solver that never asks from going on for ever.
  model.options.set({ mip_rel_gap: 1e-6, mip_abs_gap: 1e-6, time_limit: 30 * seconds, output_flag: false });
  let bound = null;
  const { mipInterrupt } = highs.constants.callbackType;
  const ended = model.run({
    [mipInterrupt](event) {
      bound = event.data.mip_dual_bound ?? bound;
      if (spent() > seconds) event.interrupt();
    },
  });
  const status = Object.entries(highs.constants.modelStatus).find(([, code]) => code === ended.modelStatus)?.[0];
  const got = { version: highs.version.string, status, values: {} };
  if (Number.isFinite(model.info.get("mip_dual_bound"))) bound = model.info.get("mip_dual_bound");
  if (model.info.get("primal_solution_status") === 2) {
    const { colValue } = model.getSolution();
    got.objective = model.getObjectiveValue();
    colValue.forEach((v, j) => { if (v !== 0) got.values[model.getColName(j)] = v; });
  }
  if (Number.isFinite(bound)) got.bound = bound;
  return got;
});
process.stdout.write(JSON.stringify(answer));
