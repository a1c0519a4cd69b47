/** Boards of each kind, in SI. What must hold between boards is check-boards.ts. */
import {
  type BoardSetup,
  type FirmataSetup,
  GATE_BOARD_ANALOG_BITS,
  type StampSetup,
  type TextLayout,
  type TextSetup,
} from '../board-setup.ts';
import { checkTextLayout } from '../check-text-layout.ts';
import { DEFAULTS } from '../defaults.ts';
import type { FieldReader, Report } from '../fields.ts';
import type { BoardShape, TextShape } from '../schema/boards.ts';
import type { RigShape } from '../schema/rig.ts';
import type { Path } from '../source.ts';

const SAMPLING_S = [0.01, 1] as const;
const POLL_S = [0.05, 3600] as const;

export function resolveBoards(boards: RigShape['boards'], fields: FieldReader, report: Report): readonly BoardSetup[] {
  return Object.entries(boards).map(([name, shape]) => {
    const path: Path = ['boards', name];
    if (shape.path === undefined && shape.serialNumber === undefined)
      report([...path, 'path'], 'the board has neither path nor serialNumber; add one, so that its port is found');
    return resolveBoard(name, shape, path, fields, report);
  });
}

function resolveBoard(name: string, shape: BoardShape, path: Path, fields: FieldReader, report: Report): BoardSetup {
  const common = {
    name,
    ...(shape.path === undefined ? {} : { path: shape.path }),
    ...(shape.serialNumber === undefined ? {} : { serialNumber: shape.serialNumber }),
  };
  switch (shape.kind) {
    case 'gate-board': {
      const { kind, baudRate, boardId, analogBits = GATE_BOARD_ANALOG_BITS } = shape;
      const tickRateHz = fields.uncertain([...path, 'tickRate'], shape.tickRate, 'frequency', 'positive');
      const capture = stampSetup(shape.capture, [...path, 'capture'], fields);
      const software = stampSetup(shape.software, [...path, 'software'], fields);
      return { kind, ...common, baudRate, ...(boardId === undefined ? {} : { boardId }), tickRateHz, capture, software, analogBits };
    }
    case 'firmata':
      return { ...common, ...firmataSetup(shape, path, fields, report) };
    case 'text':
      return { ...common, ...textSetup(shape, path, fields, report) };
  }
}

const stampSetup = (stamps: { readonly delay: string; readonly jitter: string }, path: Path, fields: FieldReader): StampSetup => ({
  delayS: fields.uncertain([...path, 'delay'], stamps.delay, 'time', 'any'),
  jitterS: fields.plain([...path, 'jitter'], stamps.jitter, 'time', 'not negative'),
});

type Own<Setup> = Omit<Setup, 'name' | 'path' | 'serialNumber'>;

function firmataSetup(
  { kind, baudRate, bme280, samplingInterval, analogBits }: Extract<BoardShape, { kind: 'firmata' }>,
  path: Path,
  fields: FieldReader,
  report: Report,
): Own<FirmataSetup> {
  const at = [...path, 'samplingInterval'];
  return {
    kind,
    baudRate: baudRate ?? DEFAULTS.firmataBaudRate,
    ...(bme280 === undefined ? {} : { bme280Address: bme280 }),
    samplingIntervalS: within(at, samplingInterval ?? DEFAULTS.samplingInterval, SAMPLING_S, '10 ms and 1 s', fields, report),
    analogBits: analogBits ?? DEFAULTS.analogBits,
  };
}

function textSetup(shape: TextShape, path: Path, fields: FieldReader, report: Report): Own<TextSetup> {
  const { kind, baudRate, poll, pollEvery } = shape;
  const layout = textLayout(shape);
  checkTextLayout(shape, layout, path, report);
  if (poll === undefined) {
    if (pollEvery !== undefined) report([...path, 'pollEvery'], 'pollEvery has no use without poll; add poll, or remove it', 'key');
    return { kind, baudRate, layout };
  }
  const everyS = within([...path, 'pollEvery'], pollEvery ?? DEFAULTS.pollEvery, POLL_S, '50 ms and 1 h', fields, report);
  return { kind, baudRate, layout, poll: { text: poll, everyS } };
}

function textLayout({ pattern, columns, separator }: TextShape): TextLayout {
  if (pattern !== undefined) return { by: 'pattern', pattern };
  return {
    by: 'columns',
    columns: (columns ?? []).map((column) => (column === '-' ? undefined : column)),
    separator: separator ?? DEFAULTS.separator,
  };
}

function within(
  path: Path,
  text: string,
  [from, to]: readonly [number, number],
  bounds: string,
  fields: FieldReader,
  report: Report,
): number {
  const seconds = fields.plain(path, text, 'time', 'positive');
  if (seconds < from || seconds > to) report(path, `"${text}" must lie between ${bounds}; correct it`);
  return seconds;
}
