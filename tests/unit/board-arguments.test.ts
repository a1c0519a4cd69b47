/** The simulated range's command line, and the truth that it writes beside a result. */
import { mkdtempSync, readFileSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { expect, test } from 'vitest';
import { annotate } from '../../firmware-sim/annotate.ts';
import { readArguments } from '../../firmware-sim/arguments.ts';
import { FAULTS, faultLines } from '../../firmware-sim/faults.ts';
import type { FiredShot } from '../../firmware-sim/live-range.ts';
import { createRange } from '../../firmware-sim/range.ts';

test('arguments are read, with their defaults', () => {
  expect(readArguments(['--wires', 'w'])).toEqual({
    wires: 'w',
    seed: 1,
    pace: 'real',
    faults: [],
    board: 'simulated',
    setPoints: 'target',
    drop: false,
  });
  const all = ['--wires', 'w', '--seed', '7', '--pace', 'fast', '--shots', '3', '--faults', 'drop,leaky', '--truth', 't', '--rig', 'r'];
  const board = readArguments([...all, '--board', 'avr', '--rate', '0.5', '--fills', 'spread', '--drop']);
  expect(board).toMatchObject({ seed: 7, board: 'avr', rate: 0.5, setPoints: 'spread', drop: true });
  const [faults, files] = [['drop', 'leaky'], { truth: 't', rig: 'r' }];
  const usual = { board: 'simulated', setPoints: 'target', drop: false };
  expect(readArguments(all)).toEqual({ wires: 'w', seed: 7, pace: 'fast', shots: 3, faults, ...usual, ...files });
});

test.each([
  [['--seed', '1'], /--wires is missing/],
  [['--wires', 'w', '--pace', 'slow'], /--pace slow: give real or fast/],
  [['--wires', 'w', '--board', 'esp'], /--board esp: give simulated or avr/],
  [['--wires', 'w', '--rate', '2'], /--rate 2: give a number above 0, at most 1/],
  [['--wires', 'w', '--shots', '0'], /--shots 0/],
  [['--wires', 'w', '--seed', '1.5'], /--seed 1\.5/],
  [
    ['--wires', 'w', '--faults', 'rain'],
    /--faults rain: no such fault; there are corrupt, .*unplug, .*blast, .*silent-weather, .*calibration-due; postern demo --help says what each does\./,
  ],
])('%j is refused in one sentence', (argv, message) => {
  expect(() => readArguments(argv)).toThrow(message);
});

test('every fault has its line of what it does', () => {
  const lines = faultLines();
  expect(lines.map((line) => line.trim().split(/ +/)[0])).toEqual([...FAULTS]);
  for (const line of lines) expect(line).toMatch(/^ {2}[a-z-]+ {2,}\S.{10,}$/);
});

test('a result gets the truth of the firing within 0.2 s, and of no other', () => {
  const range = createRange({ seed: 4, pace: 'fast', faults: [], shots: 2 });
  range.ends['gate-board'].advanceTo(8);
  const startMs = Date.UTC(2031, 4, 6, 7, 8, 9);
  const fired: FiredShot[] = range.truth.map((shot) => ({ ...shot, firedAt: new Date(startMs + 1000 * shot.firedAtS).toISOString() }));
  const file = path.join(mkdtempSync(path.join(tmpdir(), 'range-')), 'out.json');
  const measuredAt = (index: number, offMs: number): string => new Date(Date.parse(fired[index]?.firedAt ?? '') + offMs).toISOString();
  const shots = [
    { id: 'a', firedAt: measuredAt(1, 150) },
    { id: 'b', firedAt: measuredAt(0, -190) },
    { id: 'c', firedAt: measuredAt(0, 250) },
  ];
  writeFileSync(file, JSON.stringify({ session: 's', shots }));
  expect(annotate(file, fired)).toBe(2);
  const truthOf = (shot: FiredShot | undefined) => ({
    muzzleVelocityMps: shot?.muzzleVelocityMps,
    targetVelocityMps: shot?.targetVelocityMps,
    reservoirPressurePa: shot?.reservoirPressurePa,
  });
  expect(JSON.parse(readFileSync(file, 'utf8'))).toEqual({
    session: 's',
    shots: [{ ...shots[0], truth: truthOf(fired[1]) }, { ...shots[1], truth: truthOf(fired[0]) }, shots[2]],
  });
});
