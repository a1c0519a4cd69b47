/**
 * `npm run bench`: what Postern costs and how quick it is, each figure beside something plain that is measured in the
 * same run, so that the ratio holds on any machine. Prints a table, ends with 1 where something is not reached.
 * `--small` takes a minute for all of it (figures are then only told), `--only NAME[,NAME]` some sections,
 * `--json FILE` writes rows, ratios and the single values, `--plots DIR` draws what depends on what, `--doc FILE` puts the
 * tables into a page (`npm run bench:docs` does both for docs/performance.md).
 */
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { cpus, loadavg, tmpdir } from 'node:os';
import { dirname, join, relative } from 'node:path';
import { withTables } from './doc-tables.ts';
import { plotSvg } from './plot-svg.ts';
import type { Found } from './section.ts';
import { SECTIONS } from './sections/index.ts';
import { printTable, type Row } from './table.ts';

const optionOf = (option: string): string | undefined =>
  process.argv.includes(option) ? process.argv[process.argv.indexOf(option) + 1] : undefined;
const isSmall = process.argv.includes('--small');
const only = optionOf('--only')?.split(',');
const unknown = only?.filter((name) => !(name in SECTIONS)) ?? [];
if (unknown.length > 0) {
  console.error(`There is no section ${unknown.join(', ')}; there are ${Object.keys(SECTIONS).join(', ')}.`);
  process.exit(2);
}
const json = optionOf('--json');
const plots = optionOf('--plots');
const doc = optionOf('--doc');
const folder = mkdtempSync(join(tmpdir(), 'postern-bench-'));
const kept: (Found & { readonly section: string })[] = [];

async function* rows(): AsyncGenerator<Row> {
  for (const [section, find] of Object.entries(SECTIONS)) {
    if (only !== undefined && !only.includes(section)) continue;
    const own = join(folder, section);
    mkdirSync(own);
    for await (const found of find({ isSmall, folder: own })) {
      kept.push({ ...found, section });
      if (found.plot && plots !== undefined) writeFileSync(join(plots, `${found.plot.name}.svg`), plotSvg(found.plot));
      yield found.row;
    }
    rmSync(own, { recursive: true, force: true });
  }
}

try {
  const machine = `Node ${process.version}, ${cpus().length} × ${cpus()[0]?.model.trim()}`;
  console.log(`${machine}.\n`);
  if (plots !== undefined) mkdirSync(plots, { recursive: true });
  await printTable(rows());
  const ratios = Object.assign({}, ...kept.map((found) => found.ratios ?? {})) as Record<string, number>;
  if (json !== undefined) {
    const found = kept.map(({ section, row, values, plot }) => ({ section, ...row, values, plot }));
    writeFileSync(json, `${JSON.stringify({ machine, isSmall, at: new Date().toISOString(), ratios, found }, null, 1)}\n`);
  }
  if (doc !== undefined) {
    const sections = [...new Set(kept.map(({ section }) => section))];
    const measured = sections.map((name) => {
      const found = kept.filter(({ section }) => section === name);
      const drawn = plots === undefined ? [] : found.flatMap(({ plot }) => plot ?? []);
      const pictures = drawn.map((plot) => ({ path: join(relative(dirname(doc), plots ?? ''), `${plot.name}.svg`), title: plot.title }));
      return { section: name, rows: found.map(({ row }) => row), pictures };
    });
    const by = `${machine}; load ${loadavg()[1]?.toFixed(1)} when it was done; ${new Date().toISOString().slice(0, 10)}${isSmall ? '; the small size, which tells no figures' : ''}.`;
    writeFileSync(doc, withTables(readFileSync(doc, 'utf8'), measured, by));
  }
} finally {
  rmSync(folder, { recursive: true, force: true });
}
