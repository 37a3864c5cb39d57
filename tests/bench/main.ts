import { cpus } from 'node:os';
import { bench as calibrate } from './calibrate.ts';
import { bench as hearing } from './hearing.ts';
import { bench as hour } from './hour.ts';
import { bench as localize } from './localize.ts';
import { bench as models } from './models.ts';
import { bench as page } from './page.ts';
import { bench as records } from './records.ts';
import { bench as screens } from './screens.ts';
import { bench as work } from './work.ts';

/** Every benchmark by name; `npm run bench` runs them all, `npm run bench -- NAME …` one. */
const benches: Readonly<Record<string, (args: readonly string[]) => Promise<string>>> = {
  hearing,
  hour,
  localize,
  models,
  page,
  records,
  work,
};

/** What reads benchmarks, or takes pictures, and is none. */
const tools = { calibrate, screens };

const [name, ...args] = process.argv.slice(2);
const wanted = name === undefined || name.startsWith('--') ? Object.keys(benches) : [name];
console.log(
  `${new Date().toISOString().slice(0, 10)}, Node ${process.version}, ${cpus().length} × ${cpus()[0]?.model ?? 'unknown processor'}`,
);
for (const one of wanted) {
  const bench = { ...benches, ...tools }[one];
  if (bench === undefined) {
    console.error(`there is no benchmark "${one}"; use ${Object.keys(benches).join(', ')}`);
    process.exitCode = 2;
    break;
  }
  console.log(`\n${one}`);
  console.log(await bench(wanted.length > 1 ? process.argv.slice(2) : args));
}
