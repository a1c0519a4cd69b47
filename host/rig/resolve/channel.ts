/** A channel: what it measures, where its number comes from, and by which conversion it becomes a quantity. */
import type { Measure } from '../../../protocol/index.ts';
import { type BoardSetup, fullScaleOf } from '../board-setup.ts';
import { type Channel, MEASURES, WELL_KNOWN, wellKnownMeasure } from '../channel.ts';
import { conversionRange } from '../conversion.ts';
import type { FieldReader, Report } from '../fields.ts';
import { nearest } from '../nearest.ts';
import type { ChannelShape } from '../schema/channels.ts';
import type { Path } from '../source.ts';
import { bme280Value, resolveBme280 } from './bme280.ts';
import { resolveConversion } from './conversion.ts';
import { resolveSource } from './source.ts';

/** Any name may be meant as it stands, so only a slip of the finger is asked after. */
const MISSPELT_STEPS_MAX = 2;

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
  const source = resolveSource(name, shape, board, path, report);
  const context = { name, shape, measures, path, fullScale: board && fullScaleOf(board), fields, report };
  const bme280 = board?.kind === 'firmata' ? bme280Value(shape.reads) : undefined;
  const resolved =
    bme280 === undefined
      ? resolveConversion({ ...context, ...(board && { isText: board.kind === 'text' }) })
      : resolveBme280(bme280, context);
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
    ...(shape.against === undefined ? {} : { against: shape.against }),
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
    const near = nearest(name, Object.keys(WELL_KNOWN), MISSPELT_STEPS_MAX);
    const question = near === undefined ? '' : `did you mean "${near}"? If not, `;
    report(
      path,
      `"${name}" does not say by itself what it measures; ${question}add measures: with pressure, temperature, ratio, speed or voltage`,
      'key',
    );
  }
  return measures;
}

function checkDates({ calibratedOn, calibrationDue }: ChannelShape, path: Path, report: Report): void {
  // ISO dates are in order as text.
  if (calibratedOn !== undefined && calibrationDue !== undefined && calibrationDue <= calibratedOn)
    report(
      [...path, 'calibrationDue'],
      `the next calibration, ${calibrationDue}, is not after the last, ${calibratedOn}; correct one of the two`,
    );
}
