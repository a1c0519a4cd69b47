/** What a terminal and `--json` say of one shot: every result, and every gate. */
import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { budgetLines } from '../../host/cli/shots/budget-lines.ts';
import { gateLines } from '../../host/cli/shots/gate-lines.ts';
import { oneShotLines } from '../../host/cli/shots/one-shot-lines.ts';
import { shotJson } from '../../host/cli/shots/shot-json.ts';
import { isResultName, RESULT_NAMES, resultsOf } from '../../host/cli/shots/shot-results.ts';
import type { Result, Shot } from '../../protocol/index.ts';
import { GATES } from '../support/fake-rig.ts';
import { fakeShot } from '../support/fake-shot.ts';
import { known } from '../support/known.ts';

const isResult = (value: unknown): value is Result => typeof value === 'object' && value !== null && 'budget' in value;
const resultsIn = (shot: Shot): readonly Result[] =>
  [
    ...Object.values(shot),
    ...Object.values(shot.air),
    ...Object.values(shot.blowDown ?? {}),
    ...shot.pairs.map((pair) => pair.velocityMps),
  ].filter(isResult);

/** The row of a gate, in cells. */
const rowOf = (lines: readonly string[], gate: string): readonly string[] =>
  known(lines.find((line) => line.startsWith(`${gate} `))).split(/ {2,}/);

describe('the results', () => {
  const shot = fakeShot({ number: 1 });

  test('every result that a shot has goes by a name, and each by another', () => {
    const named = resultsOf(shot);
    expect(new Set(named.map(({ result }) => result))).toEqual(new Set(resultsIn(shot)));
    expect(new Set(named.map(({ name }) => name)).size).toBe(named.length);
    expect(named.map(({ name }) => name)).toEqual(
      expect.arrayContaining(['flight-time', 'drop', 'drag-mach', 'density', 'pair-A', 'pair-B']),
    );
    for (const { name } of named) expect(isResultName(name), name).toBe(true);
    expect(RESULT_NAMES.length).toBe(named.length - shot.pairs.length + 1);
  });

  test.each(['constructor', 'toString', '', 'muzzle velocity', 'pair'])('%j is no result', (name) =>
    expect(isResultName(name)).toBe(false),
  );

  test('each is told with its 95 % uncertainty and the name that its budget goes by', () => {
    const lines = oneShotLines(shot, GATES);
    expect(lines).toContainEqual(expect.stringMatching(/^Muzzle velocity +312\.46 m\/s ± 0\.14 +--of muzzle$/));
    expect(lines).toContainEqual(expect.stringMatching(/^Drop at the target +6\.2050 mm ± 0\.0080 +--of drop$/));
    expect(lines).toContainEqual(expect.stringMatching(/^Velocity of pair A \(A1–A2\) +311\.260 m\/s ± 0\.088 +--of pair-A$/));
    expect(lines).toContainEqual(expect.stringMatching(/^Barrel, absolute +4\.2 kPa ± 1\.2 +measured 0\.0 s before$/));
    for (const { name, title, result } of resultsOf(shot)) {
      expect(
        lines.some((line) => line.startsWith(title) && line.endsWith(` --of ${name}`)),
        name,
      ).toBe(true);
      expect(budgetLines(title, known(result))[0]).toContain(title);
    }
  });

  test('one that is missing is told as missing, without a budget to ask for', () => {
    const { targetDropM: _, ...without } = shot;
    expect(oneShotLines(without, GATES)).toContain(`${'Drop at the target'.padEnd(39)}  –`);
  });
});

describe('the gates', () => {
  test('each with its place, its residual in its own uncertainty, its chord and what its occlusion alone says', () => {
    const shot = fakeShot({ number: 1 });
    const [gate, place, said, at, residual, share, chord, off, alone, ...leftOut] = rowOf(gateLines(shot, GATES), 'B1');
    expect([gate, place, said, residual, share, chord]).toEqual(['B1', '9.000 m', 'used', '+0.38 µs', '+1.23', '58.9 mm']);
    expect(at).toMatch(/^\d\d\.\d{4} ms$/);
    expect(off).toMatch(/^\d\.\d mm$/);
    expect(alone).toMatch(/^317\.23 m\/s ± 0\.66$/);
    expect(leftOut).toEqual([]);
  });

  test('edges that were left out are counted by their reasons', () => {
    expect(rowOf(gateLines(fakeShot({ number: 1, fragment: true }), GATES), 'A1').at(-1)).toBe('2 ahead of the projectile');
  });

  test('one that was rejected says what it measured all the same', () => {
    const row = rowOf(gateLines(fakeShot({ number: 1, rejectedGate: 'B1' }), GATES), 'B1');
    expect(row).toEqual(expect.arrayContaining(['REJECTED', '9.000 m', '+12.40 µs', '+40.00', '2 disagrees with all other gates']));
  });

  test('one that saw nothing has its row where the rig is known; where it is not, that is told', () => {
    const whole = fakeShot({ number: 1 });
    const shot: Shot = {
      ...whole,
      passages: whole.passages.filter(({ gate }) => gate !== 'A2'),
      edges: whole.edges.filter(({ gate }) => gate !== 'A2'),
    };
    expect(rowOf(gateLines(shot, GATES), 'A2').slice(0, 4)).toEqual(['A2', '2.500 m', 'NOTHING', '–']);
    const unknown = gateLines(shot, undefined);
    expect(unknown.filter((line) => /^[AB]\d /.test(line)).map((line) => line.slice(0, 2))).toEqual(['A1', 'B1', 'B2']);
    expect(unknown.at(-1)).toContain('a gate that saw nothing is not in this table');
  });

  test('one with edges of which none is a passage, and one whose passage is known in part', () => {
    const whole = fakeShot({ number: 1, fragment: true });
    const [, ...others] = whole.passages;
    const [second, ...rest] = others;
    const { occlusionS: _, chordM: __, offAxisM: ___, occlusionVelocityMps: ____, ...inPart } = known(second);
    const shot: Shot = { ...whole, passages: [inPart, ...rest] };
    expect(rowOf(gateLines(shot, GATES), 'A1')[2]).toBe('NO PASSAGE');
    expect(rowOf(gateLines(shot, GATES), 'A2').slice(2)).toEqual(['used, in part', expect.any(String), '−0.06 µs', '−0.20', '–', '–', '–']);
  });

  test('none at all', () => {
    expect(gateLines({ ...fakeShot({ number: 1 }), passages: [], edges: [] }, undefined)).toEqual(['No gate saw anything.']);
  });
});

describe('as JSON', () => {
  const shot = fakeShot({ number: 1, rejectedGate: 'B1', fragment: true });
  const json = JSON.parse(JSON.stringify(shotJson(shot))) as ReturnType<typeof shotJson>;

  test('every number of every gate is there, to the last digit', () => {
    expect(json.passages).toEqual(shot.passages);
    expect(json.rejectedPassages).toEqual(shot.rejectedPassages);
    expect(json.rejectedEdges.map(({ gate, reason }) => `${gate} ${reason}`)).toEqual([
      'A1 ahead of the projectile',
      'A1 ahead of the projectile',
      'B1 disagrees with all other gates',
      'B1 disagrees with all other gates',
    ]);
  });

  test('what a passage lacks is null, and no gate rejected is an empty list', () => {
    const passage = { gate: 'A1', pair: 'A', positionM: 1.5, timeS: 0.023 };
    const sparse = shotJson({ ...fakeShot({ number: 1 }), passages: [passage] });
    expect(sparse.passages).toEqual([
      {
        ...passage,
        timeStandardUncertaintyS: null,
        residualS: null,
        occlusionS: null,
        chordM: null,
        offAxisM: null,
        occlusionVelocityMps: null,
      },
    ]);
    expect(sparse.rejectedPassages).toEqual([]);
  });

  test('docs/shot.md names every field of a passage', () => {
    const doc = readFileSync(new URL('../../docs/shot.md', import.meta.url), 'utf8');
    const table = known(/## What each gate said\n([\s\S]+?)\n## /.exec(doc)?.[1]);
    const named = [...table.matchAll(/^\| `(\w+)`(?:, `(\w+)`)*/gm)].flatMap(([row]) =>
      [...row.matchAll(/`(\w+)`/g)].map(([, name]) => name),
    );
    expect(named.toSorted()).toEqual(Object.keys(known(json.passages[0])).toSorted());
  });
});
