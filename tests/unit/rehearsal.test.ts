/** The rehearsal reaches the code that a real shot needs, and leaves nothing behind. */
import { expect, test } from 'vitest';
import { rehearse } from '../../host/cli/live/rehearsal.ts';
import { loadRig } from '../../host/rig/index.ts';
import { HERON_RIG, HERON_TEXT } from '../support/heron.ts';
import { fleetRig } from '../support/instruments/fleet.ts';
import { runVirtualRange } from '../support/virtual-range.ts';

const HERON = { rig: HERON_RIG, fileName: 'heron.yaml', text: HERON_TEXT };

test('every invented shot is measured: with four gates and a trigger, and with two gates of one of four boards', () => {
  expect(rehearse(HERON)).toBe(4);
  const text = fleetRig('count', (name) => `./wires/${name}`);
  const loaded = loadRig(text, 'fleet.yaml');
  if (!loaded.ok) throw new Error(JSON.stringify(loaded.problems));
  expect(rehearse({ rig: loaded.rig, fileName: 'fleet.yaml', text })).toBe(4);
});

test('a session after it tells what it tells without it, to the byte', () => {
  const before = JSON.stringify(runVirtualRange({ seed: 4, shots: 1 }).events);
  rehearse(HERON);
  expect(JSON.stringify(runVirtualRange({ seed: 4, shots: 1 }).events)).toBe(before);
});
