/**
 * `npm run check:campaigns`: what campaigns of shots tell, held against the simulated world's truth. A section a file in
 * campaigns/; prints a table, ends with 1 where something is not reached. `--small` runs a twentieth of it, `--only NAME`
 * one section.
 */
import { cameraRows } from './campaigns/camera.ts';
import { dragRows } from './campaigns/drag.ts';
import { mapRows } from './campaigns/map.ts';
import { printTable, type Row } from './table.ts';

/** Each takes how much of it to run: 1 for 200 seeds. */
const SECTIONS: Readonly<Record<string, (scale: number) => Iterable<Row>>> = {
  map: mapRows,
  drag: dragRows,
  camera: cameraRows,
};

function* rows(names: readonly string[], scale: number): Generator<Row> {
  for (const name of names) yield* SECTIONS[name]?.(scale) ?? [];
}

const place = process.argv.indexOf('--only');
const only = place < 0 ? undefined : process.argv[place + 1];
if (only !== undefined && !Object.hasOwn(SECTIONS, only)) {
  console.error(`--only ${only}: there are ${Object.keys(SECTIONS).join(', ')}.`);
  process.exitCode = 2;
} else if (place >= 0 && only === undefined) {
  console.error(`--only needs a name: ${Object.keys(SECTIONS).join(', ')}.`);
  process.exitCode = 2;
} else {
  console.log(`Seeds from 1. Node ${process.version}.\n`);
  await printTable(rows(only === undefined ? Object.keys(SECTIONS) : [only], process.argv.includes('--small') ? 0.05 : 1));
}
