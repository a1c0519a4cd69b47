import type { Section } from '../section.ts';
import { cost } from './cost.ts';
import { exporting } from './export.ts';
import { latency } from './latency.ts';
import { lines } from './lines.ts';
import { memory } from './memory.ts';
import { page } from './page.ts';
import { reduction } from './reduction.ts';
import { replay } from './replay.ts';
import { start } from './start.ts';
import { store } from './store.ts';

/** By the name that `--only` takes, in the order of the table. */
export const SECTIONS: Readonly<Record<string, Section>> = {
  lines,
  replay,
  latency,
  store,
  export: exporting,
  reduction,
  memory,
  start,
  page,
  cost,
};
