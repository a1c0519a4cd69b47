/** The limits that the file states, in SI. Those that follow from the vessel and the fill are in limits.ts. */
import type { LimitSummary } from '../../../protocol/index.ts';
import type { Dimension } from '../../units/index.ts';
import { type Channel, MEASURES } from '../channel.ts';
import type { FieldReader, Report } from '../fields.ts';
import { defaultClearSi, RATE_CLEAR_SHARE } from '../limits.ts';
import { nearest } from '../nearest.ts';
import type { LimitShape } from '../schema/watches.ts';
import type { Path } from '../source.ts';

const KINDS = {
  above: 'above',
  below: 'below',
  risingFasterThan: 'rising-faster-than',
  fallingFasterThan: 'falling-faster-than',
} as const;
const KEYS = ['above', 'below', 'risingFasterThan', 'fallingFasterThan'] as const;
const WORDS = { above: 'above', below: 'below', risingFasterThan: 'rising faster than', fallingFasterThan: 'falling faster than' } as const;

/** @returns as many as the file has: one with a problem has NaN in it, which no later check takes offence at */
export function resolveLimits(
  shapes: readonly LimitShape[],
  channels: readonly Channel[],
  fields: FieldReader,
  report: Report,
): readonly LimitSummary[] {
  return shapes.map((shape, i): LimitSummary => {
    const path: Path = ['limits', i];
    const id = shape.id ?? `limit-${i + 1}`;
    const channel = channels.find(({ name }) => name === shape.channel);
    if (channel === undefined) {
      report([...path, 'channel'], unknownChannel(shape.channel, channels));
      return unresolved(id);
    }
    const [key, second] = KEYS.filter((candidate) => shape[candidate] !== undefined);
    if (key === undefined) {
      report(path, `the limit of ${channel.name} has no value; add above, below, risingFasterThan or fallingFasterThan`);
      return unresolved(id);
    }
    if (second !== undefined) {
      report([...path, second], `the limit has both ${key} and ${second}; make two limits of it`, 'key');
      return unresolved(id);
    }
    const threshold = thresholdOf(shape, key, channel, path, fields, report);
    const isRate = KINDS[key] !== key;
    const clear = shape.clear === undefined ? undefined : clearOf(shape.clear, isRate, channel, path, fields);
    return {
      id,
      channel: channel.name,
      kind: KINDS[key],
      ...threshold,
      holdS: fields.plain([...path, 'for'], shape.for, 'time', 'not negative'),
      clearSi: clear ?? (isRate ? RATE_CLEAR_SHARE * threshold.thresholdSi : defaultClearSi(channel)),
      severity: shape.severity,
      message: shape.message ?? `${channel.name} is ${WORDS[key]} ${shape[key]}`,
    };
  });
}

function unresolved(id: string): LimitSummary {
  const base = { id, channel: '', kind: 'above', reference: 'absolute', severity: 'alarm', message: '' } as const;
  return { ...base, thresholdSi: Number.NaN, holdS: Number.NaN, clearSi: Number.NaN };
}

function unknownChannel(name: string, channels: readonly Channel[]): string {
  const names = channels.map((channel) => channel.name);
  const near = nearest(name, names);
  const advice = near === undefined ? `channels here are ${names.join(', ')}` : `did you mean "${near}"?`;
  return `no channel "${name}" is described under channels; ${names.length === 0 ? 'describe it there' : advice}`;
}

function thresholdOf(
  shape: LimitShape,
  key: (typeof KEYS)[number],
  channel: Channel,
  path: Path,
  fields: FieldReader,
  report: Report,
): Pick<LimitSummary, 'thresholdSi' | 'reference'> {
  const at = [...path, key];
  const text = shape[key] ?? '';
  if (key === 'above' || key === 'below') {
    const { si, reference } = fields.level(at, text, MEASURES[channel.measures].dimension);
    return { thresholdSi: si, reference: reference ?? 'absolute' };
  }
  const dimension = rateOf(channel);
  if (dimension !== undefined) return { thresholdSi: fields.amount(at, text, dimension), reference: 'absolute' };
  report(
    at,
    `rates are watched of pressures and temperatures, and ${channel.name} measures ${channel.measures}; use above or below`,
    'key',
  );
  return { thresholdSi: Number.NaN, reference: 'absolute' };
}

function clearOf(text: string, isRate: boolean, channel: Channel, path: Path, fields: FieldReader): number {
  const dimension = isRate ? rateOf(channel) : MEASURES[channel.measures].difference;
  return dimension === undefined ? Number.NaN : fields.amount([...path, 'clear'], text, dimension);
}

function rateOf({ measures }: Channel): Dimension | undefined {
  if (measures === 'pressure') return 'pressureRate';
  return measures === 'temperature' ? 'temperatureRate' : undefined;
}
