/** One mistake in a good rig file gives one problem, at its line and column, from the loader and from the command. */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { runCheck } from '../../host/cli/check/check.ts';
import { ONE_BOARD, placeOf, problemsOf, swapped } from '../support/one-board-rig.ts';

const folder = mkdtempSync(join(tmpdir(), 'postern-rig-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const noPorts = () => Promise.resolve({ ok: true, ports: [] } as const);

type Case = readonly [what: string, from: string, to: string, at: string, path: string, message: RegExp];

const CASES: readonly Case[] = [
  // Shape.
  [
    'an unknown key',
    'site: Cold Sike',
    'site: Cold Sike\ncolour: red',
    'colour',
    'colour',
    /"colour" is not known here; remove it; known here are rig, name/,
  ],
  ['a misspelt key that is needed', '  mass: 126.0', '  maas: 126.0', 'maas', 'projectile.maas', /did you mean "mass"\?/],
  ['another word for a key', 'position: 1.5000 m', 'at: 1.5000 m', 'at: 1.5', 'gates[0].at', /did you mean "position"\?/],
  [
    'a misspelt key that has a default',
    'jitter: 0.15 us }\n  - { name: A2',
    'jiter: 0.15 us }\n  - { name: A2',
    'jiter',
    'gates[0].jiter',
    /did you mean "jitter"\?/,
  ],
  ['a misspelt channel', '  airHumidity:', '  airHumidty:', 'airHumidty', 'channels.airHumidty', /did you mean "airHumidity"\?/],
  ['a misspelt group', 'barrel:\n', 'barell:\n', 'barell', 'barell', /did you mean "barrel"\?/],
  ['a missing key', '  mass: 126.0 g ± 0.2 g\n', '', 'projectile:', 'projectile.mass', /"mass" is missing; add it/],
  ['a missing key in a list', 'input: 3, ', '', '{ name: B1', 'gates[2].input', /"input" is missing/],
  ['a missing key at the top', 'target: 11.000 m ± 5 mm # from the muzzle datum\n', '', 'rig: 1', 'target', /"target" is missing/],
  ['a key with nothing after it', 'gas: nitrogen', 'gas:', 'gas:', 'reservoir.gas', /nothing stands here; write the value/],
  ['text that YAML takes for a number', 'name: Heron', 'name: 12', '12', 'name', /"12" is not text; put it in quotes/],
  ['another format version', 'rig: 1', 'rig: 2', '2\nname', 'rig', /"2" must be 1/],
  ['a list for a group', 'trigger: { board: gate-board, input: 0 }', 'trigger: [0]', '[0]', 'trigger', /this list is not a group of keys/],
  [
    'a baud rate that is none',
    'baudRate: 500000',
    'baudRate: 50',
    '50\n',
    'boards.gate-board.baudRate',
    /"50" must be a whole number from 9600 to 4000000/,
  ],
  [
    'a number in another notation, as it was written',
    'baudRate: 500000',
    'baudRate: 0x40',
    '0x40\n',
    'boards.gate-board.baudRate',
    /^"0x40" must be a whole number from 9600 to 4000000/,
  ],
  ['a quantity without its unit, as it was written', 'mass: 126.0 g ± 0.2 g', 'mass: 1.260e2', '1.260e2', 'projectile.mass', /^"1.260e2"/],
  ['an input out of range', 'input: 4,', 'input: 9,', '9, position: 10', 'gates[3].input', /"9" must be a whole number from 1 to 8/],
  ['an input of 0 for a gate', 'input: 4,', 'input: 0,', '0, position: 10', 'gates[3].input', /"0" must be a whole number from 1 to 8/],
  ['half an input', 'input: 4,', 'input: 3.5,', '3.5, position', 'gates[3].input', /whole number/],
  ['an identity with a space', 'boardId: CS-GB-01', 'boardId: CS GB', 'CS GB', 'boards.gate-board.boardId', /1 to 24 letters/],
  [
    'one calibration point',
    '[[0, -40 °C], [65535, 60 °C]]',
    '[[0, -40 °C]]',
    '[[0, -40',
    'channels.airTemperature.calibration',
    /two pairs/,
  ],
  ['counts beyond 16 bits', '[65535, 60 °C]', '[65536, 60 °C]', '65536', 'channels.airTemperature.calibration[1][0]', /0 to 65535/],
  ['a channel number out of range', 'channel: 4', 'channel: 16', '16\n    calibration', 'channels.airHumidity.channel', /0 to 15/],
  // Quantities.
  ['a wrong unit', '126.0 g ± 0.2 g', '126.0 mm ± 0.2 g', '126.0 mm', 'projectile.mass', /"mm" is a unit of length; a mass is wanted here/],
  ['an unknown unit', 'bore: 60 mm', 'bore: 60 mmm', '60 mmm', 'barrel.bore', /"mmm" is not a unit known here/],
  ['a missing unit', 'bore: 60 mm', 'bore: 60', '60\n', 'barrel.bore', /the unit is missing/],
  ['a missing uncertainty', '126.0 g ± 0.2 g', '126.0 g', '126.0 g', 'projectile.mass', /the uncertainty is missing/],
  ['an uncertainty that nothing uses', 'bore: 60 mm', 'bore: 60 mm ± 0.1 mm', '60 mm ± 0.1', 'barrel.bore', /leave out/],
  [
    'a rating without gauge or absolute',
    'ratedPressure: 4.0 MPa gauge',
    'ratedPressure: 4.0 MPa',
    '4.0 MPa',
    'reservoir.ratedPressure',
    /gauge or absolute/,
  ],
  [
    'a rating that is absolute',
    'ratedPressure: 4.0 MPa gauge',
    'ratedPressure: 4.0 MPa absolute',
    '4.0 MPa',
    'reservoir.ratedPressure',
    /stated as gauge/,
  ],
  ['assumed air that is gauge', '98 kPa absolute', '98 kPa gauge', '98 kPa', 'assumedAir.pressure', /stated as absolute/],
  [
    'a calibration without gauge or absolute',
    '0 MPa gauge]',
    '0 MPa]',
    '0 MPa]',
    'channels.reservoirPressure.calibration[0][1]',
    /gauge or absolute/,
  ],
  [
    'a calibration unit of the wrong kind',
    '[65535, 60 °C]',
    '[65535, 60 kPa]',
    '60 kPa]',
    'channels.airTemperature.calibration[1][1]',
    /"kPa" is a unit of pressure/,
  ],
  [
    'an uncertainty of the wrong kind',
    '± 120 Pa',
    '± 120 K',
    '± 120 K',
    'channels.airPressure.uncertainty',
    /"K" is a unit of temperature/,
  ],
  [
    'a relative uncertainty of nothing',
    '400 kPa absolute]]\n    uncertainty: ± 0.25 % of span',
    '400 kPa absolute]]\n    uncertainty: ± 0.26 %',
    '± 0.26',
    'channels.barrelPressure.uncertainty',
    /"of span"/,
  ],
  ['no mass at all', '126.0 g ± 0.2 g', '0 g ± 0.2 g', '0 g ± 0.2 g', 'projectile.mass', /must be greater than zero/],
  ['a negative length', 'length: 5.5 m', 'length: -5.5 m', '-5.5', 'barrel.length', /must be greater than zero/],
  [
    'a negative jitter',
    'jitter: 0.15 us }\n  - { name: A2',
    'jitter: -0.15 us }\n  - { name: A2',
    '-0.15',
    'gates[0].jitter',
    /must not be negative/,
  ],
  ['air below absolute zero', '12 °C ± 15 K', '-300 °C ± 15 K', '-300', 'assumedAir.temperature', /must be greater than zero/],
  [
    'a calibration below vacuum',
    '[6553, 0 kPa absolute]',
    '[6553, -5 kPa absolute]',
    '-5 kPa',
    'channels.barrelPressure.calibration[0][1]',
    /below vacuum/,
  ],
  // Relations.
  ['a gate behind the muzzle', '1.5000 m ± 0.2 mm', '-1.5 m ± 0.2 mm', '-1.5 m', 'gates[0].position', /gate A1 is behind the muzzle/],
  ['a gate at the muzzle', '1.5000 m ± 0.2 mm', '0 m ± 0.2 mm', '0 m ± 0.2', 'gates[0].position', /gate A1 is at the muzzle/],
  ['a gate beyond the target', '10.0000 m', '11.5 m', '11.5 m', 'gates[3].position', /gate B2 at 11.5 m is beyond the target at 11 m/],
  ['two gates in one place', '2.5000 m', '1500 mm', '1500 mm', 'gates[1].position', /gates A1 and A2 are both at 1.5 m/],
  [
    'two gates of one name',
    'name: A2',
    'name: A1',
    'A1, pair: A, board: gate-board, input: 2',
    'gates[1].name',
    /two gates have the name A1/,
  ],
  [
    'two gates on one input',
    'input: 4,',
    'input: 1,',
    '1, position: 10',
    'gates[3].input',
    /gates A1 and B2 are both on input 1 of gate-board/,
  ],
  [
    'a gate on the input of the trigger',
    'trigger: { board: gate-board, input: 0 }',
    'trigger: { board: gate-board, input: 3 }',
    '3, position',
    'gates[2].input',
    /gate B1 and the trigger are both on input 3/,
  ],
  [
    'a board nobody describes',
    'trigger: { board: gate-board',
    'trigger: { board: gate-bord',
    'gate-bord',
    'trigger.board',
    /no board "gate-bord" is described under boards; did you mean "gate-board"\?/,
  ],
  [
    'a board described under another name',
    '  gate-board:\n',
    '  west:\n',
    'gate-board, input: 0',
    'trigger.board',
    /nor in 9 more places\); boards here are west/,
  ],
  [
    'a board name that is taken',
    '  gate-board:\n    path: ./wires/gate-board',
    '  operator: { path: ./b, baudRate: 9600, tickRate: 16 MHz ± 1 ppm }\n  gate-board:\n    path: ./wires/gate-board',
    'operator',
    'boards.operator',
    /taken/,
  ],
  [
    'a board name of two words',
    '  gate-board:\n',
    '  gate board: { path: ./b, baudRate: 9600, tickRate: 16 MHz ± 1 ppm }\n  gate-board:\n',
    'gate board',
    'boards.gate board',
    /1 to 24 letters/,
  ],
  [
    'two boards on one path',
    '  gate-board:\n',
    '  other: { path: ./wires/gate-board, baudRate: 9600, tickRate: 16 MHz ± 1 ppm }\n  gate-board:\n',
    './wires/gate-board #',
    'boards.gate-board.path',
    /other and gate-board have the same path/,
  ],
  [
    'two channels in one',
    'channel: 4',
    'channel: 3',
    '3\n    calibration: [[0, 0 %]',
    'channels.airHumidity.channel',
    /airPressure and airHumidity are both channel 3/,
  ],
  [
    'a fill above the rating',
    'maximumFill: 3.8 MPa',
    'maximumFill: 4.2 MPa',
    '4.2 MPa',
    'reservoir.maximumFill',
    /4.2 MPa gauge is above the vessel's rated 4 MPa gauge/,
  ],
  [
    'a ball too large for the bore',
    '59.80 mm ± 0.05 mm',
    '60.80 mm ± 0.05 mm',
    '60.80',
    'projectile.diameter',
    /60.8 mm does not fit a bore of 60 mm/,
  ],
  [
    'a calibration at one count',
    '[65535, 60 °C]',
    '[0, 60 °C]',
    '0, 60 °C',
    'channels.airTemperature.calibration[1][0]',
    /two different counts/,
  ],
  [
    'a calibration of one value',
    '[65535, 60 °C]',
    '[65535, -40 °C]',
    '-40 °C]]',
    'channels.airTemperature.calibration[1][1]',
    /two different values/,
  ],
  [
    'a calibration both gauge and absolute',
    '6 MPa gauge]',
    '6 MPa absolute]',
    '6 MPa absolute',
    'channels.reservoirPressure.calibration[1][1]',
    /one calibration point is gauge and the other absolute/,
  ],
  [
    'air pressure calibrated as gauge',
    '[[0, 60 kPa absolute], [65535, 120 kPa absolute]]',
    '[[0, 60 kPa gauge], [65535, 120 kPa gauge]]',
    '60 kPa gauge',
    'channels.airPressure.calibration[0][1]',
    /state both calibration points absolute/,
  ],
  ['humidity above 100 %', '60 % ± 40 %', '160 % ± 40 %', '160 %', 'assumedAir.humidity', /between 0 % and 100 %/],
];

describe('one mistake, one problem, at its place', () => {
  it.each(CASES)('%s', async (_what, from, to, at, path, message) => {
    const text = swapped(from, to);
    const problems = problemsOf(text);
    expect(problems).toHaveLength(1);
    expect(problems[0]).toMatchObject({ ...placeOf(text, at), path });
    expect(problems[0]?.message).toMatch(message);

    const file = join(folder, 'rig.yaml');
    writeFileSync(file, text);
    const lines: string[] = [];
    expect(await runCheck(file, (line) => lines.push(line), noPorts)).toBe(2);
    const { line, column } = placeOf(text, at);
    expect(lines).toEqual([`${file}:${line}:${column} ${path}: ${problems[0]?.message}`]);
  });

  it('tells a lone gate and a third gate of a pair', () => {
    // Moving a gate to another pair is one slip, but leaves two pairs wrong.
    const text = swapped('name: B1, pair: B', 'name: B1, pair: A');
    expect(problemsOf(text)).toEqual([
      {
        ...placeOf(text, 'A, board: gate-board, input: 3'),
        path: 'gates[2].pair',
        message: 'pair A has 3 gates, A1, A2, B1; a pair is two gates',
      },
      {
        ...placeOf(text, 'B, board: gate-board, input: 4'),
        path: 'gates[3].pair',
        message: 'pair B has one gate, B2; a pair is two gates',
      },
    ]);
  });

  it('tells several mistakes of different kinds in the order of the file', () => {
    const changes: readonly (readonly [string, string])[] = [
      ['site: Cold Sike', 'site: Cold Sike\ncolour: red'],
      ['  mass: 126.0 g', '  mass: 126.0 mm'],
      ['maximumFill: 3.8 MPa', 'maximumFill: 5 MPa'],
      ['1.5000 m ± 0.2 mm', '-1.5 m ± 0.2 mm'],
    ];
    const text = changes.reduce((before, [from, to]) => swapped(from, to, before), ONE_BOARD);
    expect(problemsOf(text).map(({ path }) => path)).toEqual(['colour', 'projectile.mass', 'reservoir.maximumFill', 'gates[0].position']);
  });
});
