/** What a session asks of its shots from a file of its own: laid into the rig file, in place of what that says of it. */
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, describe, expect, test } from 'vitest';
import { runCheck } from '../../host/cli/check/check.ts';
import { openRigFile } from '../../host/cli/rig/rig-file.ts';
import { type AskedText, loadRig, type Rig, withAsked } from '../../host/rig/index.ts';
import { scratchFolder } from '../support/command.ts';
import { HERON_TEXT } from '../support/heron.ts';

const scratch = scratchFolder();
afterAll(() => scratch.remove());
const file = (name: string, text: string): string => {
  const path = join(scratch.path, name);
  writeFileSync(path, text);
  return path;
};

const ASKED = `acceptance:
  - { name: panel, of: target-velocity, from: 340 m/s, to: 350 m/s }
cameraAgreement:
  - { camera: side, within: 3 m/s }
`;
/** As a rig file may have it: in its midst, over lines, with remarks. */
const OWN = `acceptance: # of last year
  - name: old
    of: mach # at the datum
    from: 0.9
agreement: { pairs: [A, B], within: 4 m/s }
`;
const laid = (rigText: string, askedText = ASKED): Extract<AskedText, { ok: true }> => {
  const found = withAsked(rigText, askedText, 'asked.yaml');
  if (!found.ok) throw new Error(JSON.stringify(found.problems));
  return found;
};
const rigOf = (text: string): Rig => {
  const loaded = loadRig(text, 'rig.yaml');
  if (!loaded.ok) throw new Error(JSON.stringify(loaded.problems));
  return loaded.rig;
};

describe('laid into a rig file', () => {
  test('that asks for nothing, it is as if it stood there', () => {
    expect(rigOf(laid(HERON_TEXT).text)).toEqual(rigOf(`${HERON_TEXT}\n${ASKED}`));
  });

  test.each([
    ['at its end', `${HERON_TEXT}\n${OWN}`],
    ['at its end, without a line’s end', `${HERON_TEXT}\n${OWN}`.trimEnd()],
    ['at its beginning', `${OWN}${HERON_TEXT}`],
  ])('that asks for something itself, %s, it takes the place of that, and what it does not name stays', (_, rigText) => {
    const rig = rigOf(laid(rigText).text);
    expect(rig.acceptance.map(({ name }) => name)).toEqual(['panel']);
    expect(rig.agreement).toMatchObject({ pairs: ['A', 'B'] });
    expect(rig.cameraAgreement).toMatchObject([{ camera: 'side', withinMps: 3 }]);
    expect({ ...rig, acceptance: [], cameraAgreement: [] }).toEqual({ ...rigOf(rigText), acceptance: [], cameraAgreement: [] });
  });

  test('no line of the rig file moves', () => {
    const rigText = `${OWN}${HERON_TEXT}`;
    const { text, linesBefore } = laid(rigText);
    const lines = text.split('\n');
    for (const [i, line] of HERON_TEXT.split('\n').entries()) if (line !== '') expect(lines[OWN.split('\n').length - 1 + i]).toBe(line);
    expect(lines.slice(linesBefore).join('\n')).toBe(ASKED);
  });
});

test.each([
  ['', /asked\.yaml is empty|states nothing/],
  ['{}', /states nothing/],
  ['- 1', /states nothing/],
  ['acceptance: [\n', /asked\.yaml:\d+:\d+/],
  [`${ASKED}fill: { target: 9 MPa gauge }\n`, /asked\.yaml:5:1 fill: is not asked of a shot; this file may state acceptance/],
  ['acceptance:\n  - { name: a, of: mach }\n', /asked\.yaml:2:5 acceptance\[0\]: "a" asks for nothing/],
  ['cameraAgreement:\n  - { camera: above, within: 1 m/s }\n', /asked\.yaml:2:15 .*there is no camera "above"/],
  ['x'.repeat(300 * 1024), /bytes, and at most/],
])('%#: what is wrong is told with its file and line, by run and check alike', async (text, message) => {
  const [rig, asked] = [file('rig.yaml', HERON_TEXT), file('asked.yaml', text)];
  await expect(openRigFile(rig, asked)).rejects.toThrow(message);
  const lines: string[] = [];
  expect(
    await runCheck(
      rig,
      (line) => lines.push(line),
      async () => ({ ok: true, ports: [] }),
      asked,
    ),
  ).toBe(2);
  expect(lines.join('\n')).toMatch(message);
});

test('what is wrong in the rig file is told of that, and a file that is not there of itself', async () => {
  const asked = file('asked.yaml', ASKED);
  await expect(openRigFile(file('bad.yaml', HERON_TEXT.replace('126', '-126')), asked)).rejects.toThrow(/bad\.yaml:\d+/);
  await expect(openRigFile(file('rig.yaml', HERON_TEXT), join(scratch.path, 'none.yaml'))).rejects.toThrow(/none\.yaml cannot be read/);
  expect((await openRigFile(file('rig.yaml', HERON_TEXT), asked)).rig.acceptance).toHaveLength(1);
});
