/** Session time as a person writes it: hours, minutes and seconds since the session was opened. */
import type { SessionNs } from '../../../protocol/index.ts';

const TIME = /^(?:(?:(\d{1,4}):)?(\d{1,4}):)?(\d{1,6}(?:\.\d{1,9})?)$/;

/** @returns undefined where it is no such time */
export function sessionTimeOf(text: string): SessionNs | undefined {
  const match = TIME.exec(text.trim());
  if (!match) return undefined;
  const [, hours = '0', minutes = '0', seconds = '0'] = match;
  return Math.round((Number(hours) * 3600 + Number(minutes) * 60 + Number(seconds)) * 1e9);
}

/** Such as `00:12:30.5`, to the tenth of a second. */
export function sessionTimeText(atNs: SessionNs): string {
  const tenths = Math.floor(atNs / 1e8);
  const two = (value: number): string => String(value).padStart(2, '0');
  const whole = Math.floor(tenths / 10);
  return `${two(Math.floor(whole / 3600))}:${two(Math.floor(whole / 60) % 60)}:${two(whole % 60)}.${tenths % 10}`;
}
