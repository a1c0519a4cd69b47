/** The beginning of a rig file: complete but for what is left open, each place of which is named; and it never stands in the way. */
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Ajv2020 } from 'ajv/dist/2020.js';
import fc from 'fast-check';
import { afterAll, describe, expect, it } from 'vitest';
import { parse } from 'yaml';
import { writeStarter } from '../../host/cli/check/starter.ts';
import { type FoundDevice, starterText } from '../../host/cli/check/starter-text.ts';
import { loadRig, RIG_SCHEMA_FILE } from '../../host/rig/index.ts';

const folder = mkdtempSync(join(tmpdir(), 'postern-starter-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const GATE_BOARD: FoundDevice = {
  path: '/dev/ttyUSB0',
  serialNumber: '0042',
  detail: 'A maker, 0042',
  heard: { kind: 'gate-board', baudRate: 500_000, boardId: 'CS-GB-01' },
};
const OTHERS: readonly FoundDevice[] = [
  { path: '/dev/ttyUSB1', detail: '', heard: { kind: 'firmata', baudRate: 57_600, firmware: 'Weather.ino 2.6' } },
  { path: '/dev/ttyUSB2', detail: '', heard: { kind: 'text', baudRate: 9600, line: 'P=12.004 bar' } },
  { path: '/dev/ttyS0', detail: '', heard: { kind: 'nothing', why: 'nothing was heard' } },
];

/** As a user would who has the very rig that the examples speak of. */
const filledIn = (text: string): string => text.replaceAll(/FILL IN, such as /g, '');

describe('a starter rig file', () => {
  it.each<[string, readonly FoundDevice[]]>([
    ['nothing is plugged in', []],
    ['a gate board', [GATE_BOARD]],
    ['a gate board and others', [GATE_BOARD, ...OTHERS]],
    [
      'two gate boards',
      [GATE_BOARD, { ...GATE_BOARD, path: '/dev/ttyUSB9', serialNumber: '0043', heard: { kind: 'gate-board', baudRate: 500_000 } }],
    ],
  ])('is in order once each place is filled in, and until then each is named, one by one: %s', (_what, devices) => {
    const text = starterText(devices, 'rig.schema.json');
    const load = loadRig(text, 'rig.yaml');
    const lines = text.split('\n').flatMap((line, i) => (/: FILL IN, such as /.test(line) ? [i + 1] : []));
    expect(lines.length).toBeGreaterThan(15);
    if (load.ok) throw new Error('a starter file passes for a whole one');
    expect(load.problems.map(({ line }) => line)).toEqual(lines);
    for (const { message } of load.problems) expect(message).toMatch(/^still to be filled in, such as ./);
    const whole = loadRig(filledIn(text), 'rig.yaml');
    expect(whole.ok ? [] : whole.problems).toEqual([]);
    const validate = new Ajv2020({ strict: false, validateFormats: false }).compile(JSON.parse(readFileSync(RIG_SCHEMA_FILE, 'utf8')));
    expect([validate(parse(filledIn(text))), validate.errors]).toEqual([true, null]);
    expect(validate(parse(text))).toBe(false);
  });

  it('names a board as it was found, by serial number too', () => {
    const { boards } = parse(starterText([GATE_BOARD, ...OTHERS], 's.json'));
    expect(boards['gate-board']).toMatchObject({ path: '/dev/ttyUSB0', serialNumber: '0042', baudRate: 500_000, boardId: 'CS-GB-01' });
    expect(boards['weather-board']).toMatchObject({ kind: 'firmata', path: '/dev/ttyUSB1', baudRate: 57_600 });
    expect(boards.instrument).toMatchObject({ kind: 'text', path: '/dev/ttyUSB2', example: 'P=12.004 bar' });
  });

  it('stays the file that it is, whatever a device and a system say', () => {
    const said = fc.string({ unit: 'binary', maxLength: 60 });
    const clean = parse(starterText(OTHERS, 's.json'));
    fc.assert(
      fc.property(said, said, said, (path, detail, line) => {
        const devices: FoundDevice[] = [
          { path, detail, heard: { kind: 'text', baudRate: 9600, line } },
          { path, detail, heard: { kind: 'firmata', baudRate: 57_600, firmware: line } },
          { path, detail, heard: { kind: 'nothing', why: line } },
        ];
        const { boards, ...rest } = parse(starterText(devices, 's.json'));
        const { boards: _, ...before } = clean;
        expect(rest).toEqual(before);
        expect(Object.keys(boards).toSorted()).toEqual(['gate-board', 'instrument', 'weather-board']);
        expect(boards.instrument).toMatchObject({ path, example: line });
      }),
    );
  });
});

describe('writing it', () => {
  const ports = () => Promise.resolve({ ok: true as const, ports: [{ path: '/dev/ttyUSB0', detail: '', serialNumber: '0042' }] });
  const listen = () => Promise.resolve(GATE_BOARD.heard);

  it('says what was heard, puts the schema beside it, and never writes over a file', async () => {
    const file = join(folder, 'rig.yaml');
    const lines: string[] = [];
    await writeStarter(file, { out: (line) => lines.push(line), ports, listen });
    expect(lines).toContain('port /dev/ttyUSB0: a gate board, CS-GB-01, at 500000 baud');
    expect(parse(readFileSync(file, 'utf8')).boards['gate-board'].serialNumber).toBe('0042');
    expect(readFileSync(file, 'utf8').split('\n', 1)).toEqual(['# yaml-language-server: $schema=./rig.schema.json']);
    expect(readFileSync(join(folder, 'rig.schema.json'), 'utf8')).toBe(readFileSync(RIG_SCHEMA_FILE, 'utf8'));
    writeFileSync(file, 'mine');
    writeFileSync(join(folder, 'rig.schema.json'), 'mine too');
    await expect(writeStarter(file, { out: () => undefined, ports, listen })).rejects.toThrow(
      `${file} is there already and stays as it is`,
    );
    expect(readFileSync(file, 'utf8')).toBe('mine');
    await writeStarter(join(folder, 'other.yaml'), { out: () => undefined, ports, listen });
    expect(readFileSync(join(folder, 'rig.schema.json'), 'utf8')).toBe('mine too');
  });

  it('opens no port where it is not to', async () => {
    const file = join(folder, 'unheard.yaml');
    await writeStarter(file, { out: () => undefined, ports });
    expect(readFileSync(file, 'utf8')).toContain('# port /dev/ttyUSB0: not listened to');
  });
});
