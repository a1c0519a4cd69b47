/** A channel: what it measures, where its number comes from, and by which conversion it becomes a quantity. */
import type { Measure } from '../../protocol/index.ts';
import { ANALOG_PINS, BME280_VALUES, type BoardSetup, fullScaleOf } from './board-setup.ts';
import { type Channel, type ChannelSource, MEASURES, WELL_KNOWN, wellKnownMeasure } from './channel.ts';
import { namesIn } from './check-text-layout.ts';
import { conversionRange } from './conversion.ts';
import { BME280_RANGES } from './conversions/direct.ts';
import type { FieldReader, Report } from './fields.ts';
import { nearest } from './nearest.ts';
import { resolveConversion } from './resolve-conversion.ts';
import type { ChannelShape } from './schema-channels.ts';
import type { Path } from './source.ts';

const BME280_MEASURES = { temperature: 'temperature', pressure: 'pressure', humidity: 'ratio' } as const;
type Bme280Value = keyof typeof BME280_MEASURES;

/** @param board  undefined where no board of that name is described, which is told elsewhere */
export function resolveChannel(
  name: string,
  shape: ChannelShape,
  board: BoardSetup | undefined,
  fields: FieldReader,
  report: Report,
): Channel {
  const path: Path = ['channels', name];
  const measures = measureOf(name, shape, path, report);
  const source = sourceOf(name, shape, board, path, report);
  const bme280 = board?.kind === 'firmata' && source.kind === 'name' ? bme280Value(source.reads) : undefined;
  if (bme280 !== undefined && measures !== undefined) checkBme280(bme280, name, shape, measures, path, report);
  const resolved =
    bme280 !== undefined
      ? { conversion: { kind: 'direct', multiply: 1, add: 0, divide: 1, rangeSi: BME280_RANGES[bme280] } as const, reference: undefined }
      : resolveConversion({
          name,
          shape,
          measures,
          path,
          ...(board && { isText: board.kind === 'text' }),
          fullScale: board && fullScaleOf(board),
          fields,
          report,
        });
  const { dimension, unit } = MEASURES[measures ?? 'ratio'];
  const range = conversionRange(resolved.conversion);
  // Without a measure no unit can be right or wrong.
  const spread =
    measures === undefined
      ? Number.NaN
      : fields.spread([...path, 'uncertainty'], shape.uncertainty, dimension, range && range[1] - range[0]);
  checkDates(shape, path, report);
  return {
    name,
    measures: measures ?? 'ratio',
    unit,
    board: shape.board,
    source,
    conversion: resolved.conversion,
    reference: resolved.reference ?? 'absolute',
    standardUncertaintySi: spread,
    ...(shape.calibratedOn === undefined ? {} : { calibratedOn: shape.calibratedOn }),
    ...(shape.calibrationDue === undefined ? {} : { calibrationDue: shape.calibrationDue }),
  };
}

function measureOf(name: string, { measures }: ChannelShape, path: Path, report: Report): Measure | undefined {
  const known = wellKnownMeasure(name);
  if (known !== undefined) {
    if (measures !== undefined && measures !== known)
      report([...path, 'measures'], `${name} measures ${known}; remove measures, or give the channel another name`);
    return known;
  }
  if (!/^[A-Za-z0-9_-]{1,24}$/.test(name))
    report(path, `the channel name "${name}" must be 1 to 24 letters, digits, - or _; write another`, 'key');
  else if (name in Object.prototype) report(path, `the channel name "${name}" is taken by the program itself; write another`, 'key');
  else if (measures === undefined) {
    const near = nearest(name, Object.keys(WELL_KNOWN));
    const question = near === undefined ? '' : `did you mean "${near}"? If not, `;
    report(
      path,
      `"${name}" does not say by itself what it measures; ${question}add measures: with pressure, temperature, ratio, speed or voltage`,
      'key',
    );
  }
  return measures;
}

function sourceOf(name: string, shape: ChannelShape, board: BoardSetup | undefined, path: Path, report: Report): ChannelSource {
  const { channel, reads } = shape;
  if (board?.kind === 'gate-board') {
    if (reads !== undefined)
      report(
        [...path, 'reads'],
        `${board.name} is a gate board, whose channels have numbers; write channel: and the number instead`,
        'key',
      );
    else if (channel === undefined) report([...path, 'channel'], 'the key "channel" is missing; add it');
    return { kind: 'number', channel: channel ?? Number.NaN };
  }
  if (board === undefined) return channel === undefined ? { kind: 'name', reads: reads ?? '' } : { kind: 'number', channel };
  if (channel !== undefined)
    report([...path, 'channel'], `channel goes with gate boards, and ${board.name} is of kind ${board.kind}; write reads: instead`, 'key');
  else if (reads === undefined) report([...path, 'reads'], `the key "reads" is missing; add it, with ${availableText(board)}`);
  else checkAvailable(name, reads, board, path, report);
  return { kind: 'name', reads: reads ?? '' };
}

/** undefined where the board's own description could not be read. */
function available(board: BoardSetup): readonly string[] | undefined {
  if (board.kind === 'text') return namesIn(board.layout);
  if (board.kind === 'gate-board') return [];
  const pins = Array.from({ length: ANALOG_PINS }, (_, i) => `A${i}`);
  return board.bme280Address === undefined ? pins : [...pins, ...BME280_VALUES];
}

function availableText(board: BoardSetup): string {
  if (board.kind === 'firmata')
    return `A0 to A${ANALOG_PINS - 1}${board.bme280Address === undefined ? '' : `, ${BME280_VALUES.join(', ')}`}`;
  return available(board)?.join(', ') ?? 'a name from its lines';
}

function checkAvailable(name: string, reads: string, board: BoardSetup, path: Path, report: Report): void {
  const names = available(board);
  if (names === undefined || names.length === 0 || names.includes(reads)) return;
  const advice =
    board.kind === 'firmata' && bme280Value(reads) !== undefined
      ? `add bme280: 0x76 or 0x77 to the board; without it there are ${availableText(board)}`
      : `there are ${availableText(board)}`;
  report([...path, 'reads'], `${board.name} has no "${reads}" for ${name} to read; ${advice}`);
}

function bme280Value(reads: string): Bme280Value | undefined {
  return BME280_VALUES.find((value) => value === reads);
}

function checkBme280(value: Bme280Value, name: string, shape: ChannelShape, measures: Measure, path: Path, report: Report): void {
  const own = BME280_MEASURES[value];
  if (own !== measures) {
    report([...path, 'reads'], `the ${value} of a BME280 is a ${own}, and ${name} measures ${measures}; correct one of the two`);
    return;
  }
  const needless = (['calibration', 'polynomial', 'loop', 'thermistor', 'unit', 'range', 'reference'] as const).find(
    (key) => shape[key] !== undefined,
  );
  if (needless !== undefined)
    report([...path, needless], `a BME280 tells its ${value} by itself, calibrated by its maker; remove ${needless}`, 'key');
}

function checkDates({ calibratedOn, calibrationDue }: ChannelShape, path: Path, report: Report): void {
  // ISO dates are in order as text.
  if (calibratedOn !== undefined && calibrationDue !== undefined && calibrationDue <= calibratedOn)
    report(
      [...path, 'calibrationDue'],
      `the next calibration, ${calibrationDue}, is not after the last, ${calibratedOn}; correct one of the two`,
    );
}
