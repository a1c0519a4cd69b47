/** Writes the pages' icons into `dashboards/public/`: `npm run icons`, after `range-mark.ts` was changed. */
import { mkdirSync, writeFileSync } from 'node:fs';
import { dirname } from 'node:path';
import { fileURLToPath } from 'node:url';
import { ICONS } from './icons.ts';

for (const { file, content } of ICONS) {
  const path = fileURLToPath(new URL(`../public/${file}`, import.meta.url));
  mkdirSync(dirname(path), { recursive: true });
  writeFileSync(path, content());
  process.stdout.write(`${path}\n`);
}
