import { CommandError } from '../output.ts';

const TIME = /^\d{4}-\d\d-\d\d(T\d\d:\d\d(:\d\d(\.\d+)?)?(Z|[+-]\d\d:?\d\d)?)?$/i;

/**
 * A time as a person gives it. Without a zone it is UTC, as the table's times are, whatever this computer's zone.
 * @returns ISO 8601, UTC
 * @throws CommandError with exit code 2 for what is no time
 */
export function sinceUtc(text: string): string {
  const [, clock, , , zone] = TIME.exec(text) ?? [];
  const ms = TIME.test(text) ? Date.parse(clock !== undefined && zone === undefined ? `${text}Z` : text) : Number.NaN;
  if (Number.isNaN(ms)) throw new CommandError(`--since ${text}: give a time such as 2026-03-14 or 2026-03-14T09:30:00Z.`, 2);
  return new Date(ms).toISOString();
}
