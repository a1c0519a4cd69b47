/** The demonstration rig, as its file says. */
import { readFileSync } from 'node:fs';
import { loadRig, type Rig } from '../../host/rig/index.ts';

export const HERON_TEXT = readFileSync(new URL('../../firmware-sim/heron.yaml', import.meta.url), 'utf8');

function load(): Rig {
  const loaded = loadRig(HERON_TEXT, 'heron.yaml');
  if (!loaded.ok) throw new Error(loaded.problems.map(({ message }) => message).join('\n'));
  return loaded.rig;
}

export const HERON_RIG: Rig = load();
