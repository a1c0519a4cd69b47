/** What a server answers, in one form: the newest row of each series. Whatever it answers is checked. */
import { z } from 'zod';

export interface NewestRow {
  readonly tags: Readonly<Record<string, string>>;
  /** Of the newest value, ms since 1970. */
  readonly atUtcMs: number;
  readonly values: Readonly<Record<string, number>>;
}

/** The measurements that a fleet is made of, with the field whose time is the row's first. */
export const FLEET_FIELDS = {
  rig_state: ['open', 'links_up', 'links_down', 'alarms', 'warnings'],
  shot: ['number', 'revision', 'muzzle_velocity_mps', 'muzzle_velocity_u_mps', 'mach', 'reservoir_pressure_pa', 'flags'],
  shot_exclusion: ['excluded'],
} as const;
export type FleetMeasurement = keyof typeof FLEET_FIELDS;

const INFLUX = z.object({
  results: z
    .array(
      z.object({
        error: z.string().optional(),
        series: z
          .array(
            z.object({
              tags: z.record(z.string(), z.string()).default({}),
              columns: z.array(z.string()),
              values: z.array(z.array(z.union([z.number(), z.string(), z.boolean(), z.null()]))),
            }),
          )
          .default([]),
      }),
    )
    .min(1),
});

/** @throws Error where it is no such answer */
export function influxRows(answer: unknown): readonly NewestRow[] {
  const [result] = INFLUX.parse(answer).results;
  if (result?.error !== undefined) throw new Error(result.error);
  return (result?.series ?? []).flatMap(({ tags, columns, values }) => {
    const row = values.at(-1);
    const at = row?.[columns.indexOf('time')];
    if (!row || typeof at !== 'number') return [];
    const numbers = columns.flatMap((name, i) => (name !== 'time' && typeof row[i] === 'number' ? [[name, row[i]] as const] : []));
    return [{ tags, atUtcMs: at, values: Object.fromEntries(numbers) }];
  });
}

const VICTORIA = z.object({
  data: z.object({
    result: z.array(z.object({ metric: z.record(z.string(), z.string()), value: z.tuple([z.number(), z.string()]) })),
  }),
});

/**
 * @param newest  of `last_over_time` over all fields of a measurement
 * @param times  of `tlast_over_time` over its first field
 * @throws Error where it is no such answer
 */
export function victoriaRows(measurement: FleetMeasurement, newest: unknown, times: unknown): readonly NewestRow[] {
  const rows = new Map<string, { tags: Record<string, string>; atUtcMs: number; values: Record<string, number> }>();
  for (const { metric, value } of VICTORIA.parse(times).data.result) {
    const { __name__: _, ...tags } = metric;
    rows.set(keyOf(tags), { tags, atUtcMs: Math.round(Number(value[1]) * 1000), values: {} });
  }
  for (const { metric, value } of VICTORIA.parse(newest).data.result) {
    const { __name__: name = '', ...tags } = metric;
    const row = rows.get(keyOf(tags));
    const number = Number(value[1]);
    if (row && Number.isFinite(number)) row.values[name.slice(measurement.length + 1)] = number;
  }
  return [...rows.values()];
}

const keyOf = (tags: Readonly<Record<string, string>>): string => JSON.stringify(Object.entries(tags).sort(([a], [b]) => (a < b ? -1 : 1)));
