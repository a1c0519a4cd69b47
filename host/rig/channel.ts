/** A channel: where its raw number comes from, and what quantity that number stands for. */
import type { ChannelRole, Measure, SiUnit } from '../../protocol/index.ts';
import type { Dimension } from '../units/index.ts';
import type { Conversion } from './conversion.ts';

export type ChannelSource =
  /** Of a gate board. */
  | { readonly kind: 'number'; readonly channel: number }
  /** A key of what a Firmata board or a text instrument tells: `A0`, `temperature`, the name of a group or a column. */
  | { readonly kind: 'name'; readonly reads: string };

export interface Channel {
  /** A well-known name or any other; unique. */
  readonly name: string;
  readonly measures: Measure;
  readonly unit: SiUnit;
  readonly board: string;
  readonly source: ChannelSource;
  readonly conversion: Conversion;
  /** Gauge readings get the ambient pressure added. */
  readonly reference: 'absolute' | 'gauge';
  /** Of a reading, k = 1, SI. */
  readonly standardUncertaintySi: number;
  /** ISO dates. */
  readonly calibratedOn?: string;
  readonly calibrationDue?: string;
  /** Another channel that should show the same. */
  readonly against?: string;
}

export const MEASURES: Readonly<Record<Measure, { readonly dimension: Dimension; readonly difference: Dimension; readonly unit: SiUnit }>> =
  {
    pressure: { dimension: 'pressure', difference: 'pressure', unit: 'Pa' },
    temperature: { dimension: 'temperature', difference: 'temperatureDifference', unit: 'K' },
    ratio: { dimension: 'ratio', difference: 'ratio', unit: '1' },
    speed: { dimension: 'speed', difference: 'speed', unit: 'm/s' },
    voltage: { dimension: 'voltage', difference: 'voltage', unit: 'V' },
  };

export const WELL_KNOWN: Readonly<Record<ChannelRole, Measure>> = {
  reservoirPressure: 'pressure',
  barrelPressure: 'pressure',
  barrelVacuum: 'pressure',
  airTemperature: 'temperature',
  airPressure: 'pressure',
  airHumidity: 'ratio',
  reservoirTemperature: 'temperature',
  tailwind: 'speed',
};

/** @returns undefined where the name is not a well-known one */
export function wellKnownMeasure(name: string): Measure | undefined {
  return Object.hasOwn(WELL_KNOWN, name) ? WELL_KNOWN[name as ChannelRole] : undefined;
}

/** `channel 3`, or what is read: `A0`. */
export function sourceText(source: ChannelSource): string {
  return source.kind === 'number' ? `channel ${source.channel}` : source.reads;
}
